"""Plugs that do not pass a hole beside what is in it already, and what to do about them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.plan.shell import PlanOpening
from ribway.sheets.pulling.order import LoomPull


@dataclass(frozen=True)
class TightPlug:
    """A plug and a hole.

    Attributes:
        run: the run it is on.
        opening: the hole.
        beside: runs that are in it before.
        alone: whether it would not pass the empty hole either.
    """

    run: str
    opening: str
    beside: tuple[str, ...]
    alone: bool


def remedies(run: str, tight: Sequence[TightPlug]) -> tuple[str, ...]:
    """What to do about a run's plug: one sentence for all holes that ask the same.

    Args:
        run: the run.
        tight: from `tight_plugs`.
    """
    alike: dict[tuple[bool, tuple[str, ...]], list[str]] = {}
    for one in tight:
        if one.run == run:
            alike.setdefault((one.alone, () if one.alone else one.beside), []).append(one.opening)
    return tuple(
        f"its plug does not pass {', '.join(holes)} at all: take it off and fit it again behind the hole"
        if alone
        else f"its plug may not pass {', '.join(holes)} beside {', '.join(beside)}: try it first; else draw those back, pass the "
        "plug, and pull them again, or take the plug off"
        for (alone, beside), holes in alike.items()
    )


def tight_plugs(plan: Plan, order: Sequence[LoomPull]) -> tuple[TightPlug, ...]:
    """Plugs that are not shown to pass, in the order in which they are pulled.

    A plug passes for certain where its size and the circle that surely holds all before it fit side by side. That circle is
    the one of twice their area (Fekete, Keldenich, Scheffer 2019), each taken as round by its greater size, and never less
    than the greatest of them.

    Args:
        plan: the plan.
        order: from `pull_order`.
    """
    holes = {one.id: one for one in plan.openings}
    inside: dict[str, list[PlanRun]] = {}
    found = []
    for loom in order:
        for pull in loom.pulls:
            for name in pull.openings:
                hole, before = holes.get(name), inside.setdefault(name, [])
                if hole is not None and pull.run.plug_mm > pull.run.outside_mm and not passes(hole, pull.run, before):
                    alone = not passes(hole, pull.run, ())
                    found.append(TightPlug(pull.run.id, name, tuple(one.id for one in before), alone))
                before.append(pull.run)
    return tuple(found)


def passes(hole: PlanOpening, run: PlanRun, before: Sequence[PlanRun]) -> bool:
    """Whether a run's plug passes a hole for certain.

    Args:
        hole: the hole.
        run: the run.
        before: what is in it.
    """
    if run.plug_mm > hole.clear_bore_mm:
        return False
    sizes = [one.outside_mm for one in before for _ in range(one.pieces)] + ([hole.taken_mm] if hole.taken_mm else [])
    circle = max([math.sqrt(2.0 * sum(size**2 for size in sizes)) if len(sizes) > 1 else 0.0, *sizes], default=0.0)
    room = hole.slot_length_mm if hole.slot_length_mm is not None else hole.clear_bore_mm
    return circle + run.plug_mm <= room + 1e-9
