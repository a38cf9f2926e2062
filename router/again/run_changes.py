"""Which runs a second plan has otherwise than the first, and how: numbers, for whoever shows or counts them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun

Kind = Literal["new", "gone", "other ends", "rerouted", "resized", "longer", "shorter"]

SAME_M = 1e-6


@dataclass(frozen=True)
class RunSaid:
    """What one plan says of a run.

    Args:
        from_, to: ids of the devices at its ends.
        cable: id of its cable.
        pieces: how many of them side by side.
        openings: openings and other ways that it passes, in order.
        cut_m: length to cut [m].
        copper_kg: copper in it [kg].
    """

    from_: str
    to: str
    cable: str
    pieces: int
    openings: tuple[str, ...]
    cut_m: float
    copper_kg: float


@dataclass(frozen=True)
class RunChange:
    """What one run has otherwise.

    Args:
        run: its id.
        kinds: in which ways it changed.
        before: as it was; None if it was not there.
        after: as it is; None if it is gone.
    """

    run: str
    kinds: tuple[Kind, ...]
    before: RunSaid | None
    after: RunSaid | None


def run_changes(old: Plan, new: Plan) -> tuple[RunChange, ...]:
    """Runs that changed from one plan to another, by id.

    Args:
        old: the earlier plan.
        new: the later one.
    """
    before, after = {run.id: run for run in old.runs}, {run.id: run for run in new.runs}
    out = []
    for name in sorted({*before, *after}):
        was, now = before.get(name), after.get(name)
        kinds = tuple(_kinds(was, now)) if was is not now else ()
        if kinds:
            out.append(RunChange(name, kinds, _said(was), _said(now)))
    return tuple(out)


def _kinds(was: PlanRun | None, now: PlanRun | None) -> Iterator[Kind]:
    if was is None or now is None:
        yield "new" if was is None else "gone"
        return
    if (was.from_, was.to) != (now.from_, now.to):
        yield "other ends"
    if was.openings != now.openings:
        yield "rerouted"
    if (was.cable, was.pieces) != (now.cable, now.pieces):
        yield "resized"
    if abs(now.cut_m - was.cut_m) > SAME_M:
        yield "longer" if now.cut_m > was.cut_m else "shorter"


def _said(run: PlanRun | None) -> RunSaid | None:
    if run is None:
        return None
    return RunSaid(run.from_, run.to, run.cable, run.pieces, run.openings, run.cut_m, run.copper_kg)
