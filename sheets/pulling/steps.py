"""The steps of the pull plan, on the bench and in the van."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from ribway.models.plan.bundles import bundle_checks
from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.rates.rates import Rates
from ribway.sheets.buying.parts import clips_of
from ribway.sheets.pulling.order import LoomPull, RunPull, pull_order
from ribway.sheets.pulling.plugs import TightPlug, remedies, tight_plugs
from ribway.sheets.pulling.stiffness import is_stiff

LAY_OUT = "Lay its cables on its board, mark ends and breakouts, no tape yet"
BUILD = "Build it on its board, mark both ends of each, tape it between breakouts"
TAPE = "Clip it, and tape it section by section"


@dataclass(frozen=True)
class Step:
    """One step.

    Attributes:
        number: from 1.
        loom: id of the loom; empty for what lies by itself.
        where: on the bench, or in the van.
        people: how many.
        what: what is done.
        pull: the run that is pulled; None on the bench.
        tape_back: which ends are parked, and where.
        first: numbers of steps, and works, that come before it.
        notes: what to take care of.
        minutes: the likely time [min].
    """

    number: int
    loom: str
    where: Literal["bench", "van"]
    people: int
    what: str
    pull: RunPull | None
    tape_back: str
    first: str
    notes: tuple[str, ...]
    minutes: float


def pull_steps(plan: Plan, rates: Rates) -> tuple[Step, ...]:
    """All steps, in the order of the work.

    Args:
        plan: the plan.
        rates: the shop's minutes.

    Returns:
        For each loom its step on the bench, then one step for each run, then its taping, the next loom behind it. A loom that
        passes no opening is taped on the bench; any other is not, since a taped bundle with its branches on goes through no
        closed hole as its cables do one by one.
    """
    order = pull_order(plan)
    return tuple(_steps(plan, rates, order, tight_plugs(plan, order)))


def _steps(plan: Plan, rates: Rates, order: tuple[LoomPull, ...], tight: tuple[TightPlug, ...]) -> Iterator[Step]:
    looms = {loom.id: loom for loom in plan.looms}
    drilled = {one.id for one in plan.openings if one.state == "drill"}
    number = 0
    for loom in order:
        cables = [pull for pull in loom.pulls if not is_draw_cord(pull.run)]
        bench = 0
        passes = any(pull.openings for pull in loom.pulls)
        if loom.loom and len(cables) > 1:
            number, bench = number + 1, number + 1
            minutes = rates.minutes_for("build a loom").likely
            yield Step(
                number, loom.loom, "bench", 1, LAY_OUT if passes else BUILD, None, "", "cut and marked", (), minutes
            )
        for pull in loom.pulls:
            number += 1
            first = [f"step {bench}"] if bench else ["cut and marked"]
            to_drill = [name for name in pull.openings if name in drilled]
            first += [f"drill {', '.join(to_drill)}"] if to_drill else []
            plugs = remedies(pull.run.id, tight)
            yield Step(
                number, loom.loom, "van", pull.people, _what(pull), pull,
                _tape_back(looms.get(loom.loom), pull), "; ".join(first), (*_notes(pull), *plugs),
                pull_minutes(pull, rates),
            )  # fmt: skip
        if bench and passes and loom.loom in looms:
            number += 1
            clips = clips_of(plan, looms[loom.loom])
            yield Step(
                number, loom.loom, "van", 1, TAPE, None, "", f"steps {bench} to {number - 1}",
                tuple(_taping(plan, looms[loom.loom])), round(clips * rates.minutes_for("fix a clip").likely, 1),
            )  # fmt: skip


def pull_minutes(pull: RunPull, rates: Rates) -> float:
    """Likely time for one run: by its metres and its openings, whoever helps [min]."""
    metre, opening = rates.minutes_for("pull a metre").likely, rates.minutes_for("pass an opening").likely
    return round(metre * pull.run.one_way_m + opening * len(pull.openings), 1)


def _taping(plan: Plan, loom: PlanLoom) -> Iterator[str]:
    """Which sections get tape, and which of them stay untaped at their corners."""
    runs, above = {run.id: run for run in plan.runs}, plan.rules.bend_counts_above_deg
    checks = bundle_checks((loom,), runs, plan.bays, above)
    taped = [one.name for one in loom.sections if len(one.runs) > 1]
    stiff = {one.section for one in checks if one.cables > 1 and not one.bends}
    if taped:
        yield f"tape {', '.join(taped)}"
    if stiff:
        yield f"leave {', '.join(sorted(stiff))} untaped for a hand's breadth at the corners"


def _what(pull: RunPull) -> str:
    if is_draw_cord(pull.run):
        return "Leave a draw cord"
    return "Lay in" if not pull.openings else "Pull"


def _tape_back(loom: PlanLoom | None, pull: RunPull) -> str:
    """Where a run's end waits: where it leaves its loom's trunk."""
    if loom is None or len(loom.runs) < 2:
        return ""
    places = [one.place for one in loom.breakouts if pull.run.id in one.runs and one.place]
    return f"tape its end back {places[0]}, till its branch is run" if places else ""


def _notes(pull: RunPull) -> Iterator[str]:
    if pull.known and pull.openings and pull.goes_n > pull.limit_n:
        yield "lay it by hand from bay to bay, its slack drawn through at each hole: it bears no pull round these bends"
    elif pull.stops:
        yield f"stop and draw the slack through at {', '.join(pull.stops)}"
    if not pull.known:
        yield "its way is known by tape only: find holes for it, and see how it pulls"
    if pull.run.plug_mm > pull.run.outside_mm:
        yield "its plug goes last through each hole"
    if pull.run.kind == "ac":
        yield "AC: for the licensed person; apart from all others"
    if is_stiff(pull.run) and pull.openings:
        yield "stiff: bend it by hand before each hole, do not let the edge bend it"
    if pull.run.fixed_length_m is not None:
        yield "maker's lead: never cut it; what is over lies as a coil, see Makers' leads"
    if pull.run.cut_to_template:
        yield "cut to template on the van before it is pulled"
