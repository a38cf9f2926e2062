"""In which order looms go in, and which way each is pulled."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.sheets.pulling.stiffness import is_stiff, stiffness_nm2
from ribway.sheets.pulling.tension import (
    FRICTION_DRY,
    FRICTION_WET,
    greatest_pull_n,
    hardest_go_n,
    kg_per_m,
    pull_n,
    stops,
    stretches_of,
    turned_round,
)  # fmt: skip

TWO_PEOPLE_M, TWO_PEOPLE_DEG = 3.0, 360.0
"""Longer, or with more bends together, and one pulls while another feeds (common practice, no source)."""
_ANY_BETTER = 0.7
SKETCHED = ("outside", "taped")


@dataclass(frozen=True)
class RunPull:
    """How one run is pulled.

    Attributes:
        run: the run.
        feed, pull: ids of the devices at which it is fed in and pulled out.
        dry_n, wet_n: pull that way, dry and with compound [N].
        other_dry_n: pull the other way, dry [N].
        goes_n: the hardest of the goes between its stops, dry [N].
        limit_n: what its copper may be pulled with [N].
        openings: in the order in which they are passed.
        stops: those of them at which to stop and pull the slack through.
        angle_deg: all bends together [deg].
        stiffness_nm2: of the run [N m2].
    """

    run: PlanRun
    feed: str
    pull: str
    dry_n: float
    wet_n: float
    other_dry_n: float
    goes_n: float
    limit_n: float
    openings: tuple[str, ...]
    stops: tuple[str, ...]
    angle_deg: float
    stiffness_nm2: float

    @property
    def known(self) -> bool:
        """Whether its way is drawn as it lies, and no sketch beside a tape's length: only then is the pull reckoned."""
        return all(leg.kind not in SKETCHED for leg in self.run.legs)

    @property
    def people(self) -> int:
        """How many hands-pairs it takes."""
        return 2 if self.run.one_way_m > TWO_PEOPLE_M or self.angle_deg > TWO_PEOPLE_DEG else 1


@dataclass(frozen=True)
class LoomPull:
    """What goes in together.

    Attributes:
        loom: its id; empty for a draw cord by itself.
        pulls: its runs: plugs first, then the stiff, the stiffest first, then the farthest; draw cords last.
        hub: id of the device where most of them end; they are pulled towards it.
    """

    loom: str
    pulls: tuple[RunPull, ...]
    hub: str


def pull_order(plan: Plan) -> tuple[LoomPull, ...]:
    """All looms in the order in which they go in: what has a plug, then the stiff, the stiffest first, then the farthest;
    loose cords last.

    Args:
        plan: the plan.

    Returns:
        One entry for each loom and each draw cord that lies by itself; runs without a way are left out.
    """
    groups: dict[str, list[PlanRun]] = {}
    for run in plan.runs:
        if run.legs:
            groups.setdefault(run.loom or f"\0{run.id}", []).append(run)
    made = [_loom_pull("" if loom.startswith("\0") else loom, runs) for loom, runs in groups.items()]
    return tuple(sorted(made, key=_rank))


def _rank(one: LoomPull) -> tuple[bool, bool, float, float, str, str]:
    runs = [pull.run for pull in one.pulls]
    cords = all(is_draw_cord(run) for run in runs)
    plug = any(run.plug_mm > max(run.outside_mm, 0.0) for run in runs)
    stiff = max(_stiff_first(run) for run in runs)
    return cords, not plug, -stiff, -max(run.one_way_m for run in runs), one.loom, runs[0].id


def _stiff_first(run: PlanRun) -> float:
    """A stiff cable's stiffness; of all others none: they go by how far they lead."""
    return round(stiffness_nm2(run), 6) if is_stiff(run) else 0.0


def _loom_pull(loom: str, runs: list[PlanRun]) -> LoomPull:
    ends: dict[str, int] = {}
    for run in runs:
        for device in (run.from_, run.to):
            ends[device] = ends.get(device, 0) + 1
    hub = max(ends, key=lambda device: (ends[device], device == runs[0].from_))
    ordered = sorted(
        runs, key=lambda run: (is_draw_cord(run), -run.plug_mm, -_stiff_first(run), -run.one_way_m, run.id)
    )
    return LoomPull(loom, tuple(run_pull(run, hub if ends[hub] > 1 else "") for run in ordered), hub)


def run_pull(run: PlanRun, hub: str = "") -> RunPull:
    """How a run is pulled: towards the device where most of its loom end, else the easier way.

    Args:
        run: the run.
        hub: id of that device; empty for none.
    """
    way, weight = stretches_of(run), kg_per_m(run)
    back = turned_round(way)
    there_n, back_n = pull_n(way, weight, FRICTION_DRY), pull_n(back, weight, FRICTION_DRY)
    forward = run.to == hub or (run.from_ != hub and there_n < back_n * _ANY_BETTER)
    chosen, limit = way if forward else back, greatest_pull_n(run)
    names = run.openings if forward else run.openings[::-1]
    sketched = any(leg.kind in SKETCHED for leg in run.legs)
    halts = () if sketched else stops(chosen, weight, FRICTION_DRY, limit)
    return RunPull(
        run=run,
        feed=run.from_ if forward else run.to,
        pull=run.to if forward else run.from_,
        dry_n=there_n if forward else back_n,
        wet_n=pull_n(chosen, weight, FRICTION_WET),
        other_dry_n=back_n if forward else there_n,
        goes_n=hardest_go_n(chosen, halts, weight, FRICTION_DRY),
        limit_n=limit,
        openings=names,
        stops=halts,
        angle_deg=math.degrees(sum(one.angle_rad for one in way)),
        stiffness_nm2=stiffness_nm2(run),
    )
