"""Plans of one van set side by side: what each costs in copper, and what differs from the base run by run."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, fields

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import Units
from ribway.plan_changes import same_runs
from ribway.units import signed_length

BASE = "base"
_SAME_M = 1e-6


@dataclass(frozen=True)
class Line:
    """One plan's figures.

    Args:
        name: the alternative; ``base`` for the base.
        complete: whether every run has a route and a size.
        copper_kg: all copper [kg]; the next three add up to it.
        mains_kg: of the mains [kg].
        circuits_kg: of the circuits [kg].
        spares_kg: of the spares [kg].
        tails_kg: share of it in tails, slack and rounding [kg].
        ac_kg: share of it in AC [kg].
        cable_m: all cable, cut lengths [m].
        draw_cord_m: all draw cords, cut lengths; not in the former [m].
        openings: openings used.
        fullest: the fullest opening.
        fullest_percent: how full it is [%].
        drilled: holes to drill.
        bends: over all runs.
        worst_drop_percent: greatest voltage drop [%].
        worst_drop_run: where it is.
        volts: nominal voltage of its DC [V].
        loom_m: all looms, along them [m].
        sizes: how many sizes of DC cable it takes.
        sizes_used: which, thin to thick.
        other_metal_kg: aluminium in conductors, beside the copper [kg].
    """

    name: str
    complete: bool
    copper_kg: float
    mains_kg: float
    circuits_kg: float
    spares_kg: float
    tails_kg: float
    ac_kg: float
    cable_m: float
    draw_cord_m: float
    openings: int
    fullest: str
    fullest_percent: float
    drilled: int
    bends: int
    worst_drop_percent: float
    worst_drop_run: str
    volts: float
    loom_m: float
    sizes: int
    sizes_used: str
    other_metal_kg: float


@dataclass(frozen=True)
class Difference:
    """What one run does otherwise than in the base.

    Args:
        run: its id in the alternative; in the base if only that has it.
        what: in words.
        copper_kg: copper that it takes more than in the base [kg].
        cut_m: length that it is cut longer [m].
        only_one: whether only one of the two plans has it.
        moved: whether it goes through other openings.
        resized: whether it is another cable, or another number of pieces.
    """

    run: str
    what: str
    copper_kg: float
    cut_m: float
    only_one: bool
    moved: bool
    resized: bool


def lines_of(plans: Sequence[Plan]) -> tuple[Line, ...]:
    """The plans' figures, least copper first; plans that are not complete come last, since they lack copper.

    Args:
        plans: the base and its alternatives, in any order.

    Returns:
        A line for each.
    """
    lines = [_line(plan) for plan in plans]
    return tuple(sorted(lines, key=lambda line: (not line.complete, line.copper_kg, line.name)))


def _line(plan: Plan) -> Line:
    totals = plan.totals
    return Line(
        name=plan.alternative or BASE,
        complete=plan.complete,
        copper_kg=totals.copper_kg,
        mains_kg=totals.copper_mains_kg,
        circuits_kg=totals.copper_circuits_kg,
        spares_kg=totals.copper_spares_kg,
        tails_kg=totals.copper_tails_kg,
        ac_kg=totals.copper_ac_kg,
        cable_m=totals.cable_m,
        draw_cord_m=totals.draw_cord_m,
        openings=totals.openings_used,
        fullest=totals.fullest_opening,
        fullest_percent=totals.fullest_percent,
        drilled=totals.holes_drilled,
        bends=totals.bends,
        worst_drop_percent=totals.worst_drop_percent,
        worst_drop_run=totals.worst_drop_run,
        volts=plan.rules.volts,
        loom_m=totals.loom_m,
        sizes=len(sizes_of(plan)),
        sizes_used=", ".join(sizes_of(plan)),
        other_metal_kg=totals.other_metal_kg,
    )


def sizes_of(plan: Plan) -> tuple[str, ...]:
    """Sizes of the DC cables that a plan takes, thin to thick; one size may come as twin and as single.

    Args:
        plan: the plan.

    Returns:
        Such as ``2.5 mm2`` or ``10 AWG``, each once.
    """
    used = {run.cable for run in plan.runs}
    found = {cable.size_name: cable.area_mm2 for cable in plan.cables if cable.id in used and cable.kind == "dc"}
    return tuple(name for name, area in sorted(found.items(), key=lambda one: (one[1], one[0])) if area > 0.0)


def differences(base: Plan, other: Plan) -> tuple[Difference, ...]:
    """What differs run by run.

    Args:
        base: the base's plan.
        other: an alternative's plan.

    Returns:
        A difference for each run that has another route, length or cable, or that one of the plans lacks; by run id. A run is
        the same in both if it leads the same way in the same circuit, else if it has the same name.
    """
    found = [_difference(old, new, base, other) for old, new in same_runs(base, other)]
    return tuple(sorted((one for one in found if one is not None), key=lambda one: one.run))


def _difference(old: PlanRun | None, new: PlanRun | None, base: Plan, other: Plan) -> Difference | None:
    parts = list(_changes(old, new, base, other))
    run = new or old
    if run is None or not parts:
        return None
    both = old is not None and new is not None
    return Difference(
        run=run.id,
        what="; ".join(parts),
        copper_kg=(new.copper_kg if new else 0.0) - (old.copper_kg if old else 0.0),
        cut_m=(new.cut_m if new else 0.0) - (old.cut_m if old else 0.0),
        only_one=not both,
        moved=old is not None and new is not None and old.openings != new.openings,
        resized=old is not None and new is not None and (old.cable, old.pieces) != (new.cable, new.pieces),
    )


def _changes(old: PlanRun | None, new: PlanRun | None, base: Plan, other: Plan) -> Iterator[str]:
    units = other.rules.units
    if old is None or new is None:
        run, plan, word = (new, other, "only here") if new is not None else (old, base, "only in the base")
        if run is not None:
            yield f"{word}: {_cable(run, plan)}, {_route(run)}"
        return
    if old.id != new.id:
        yield f"called {old.id} in the base"
    if (old.from_, old.to) != (new.from_, new.to):
        yield f"from {new.from_} to {new.to} instead of {old.from_} to {old.to}"
    if old.openings != new.openings:
        yield f"{_route(new)} instead of {_route(old)}"
    if abs(new.cut_m - old.cut_m) > _SAME_M:
        yield f"cut {signed_length(new.cut_m - old.cut_m, units)}"
    if (old.cable, old.pieces) != (new.cable, new.pieces):
        yield f"{_cable(new, other)} instead of {_cable(old, base)}"


def _route(run: PlanRun) -> str:
    return f"through {', '.join(run.openings)}" if run.openings else "through no opening"


def _cable(run: PlanRun, plan: Plan) -> str:
    name = next((cable.name for cable in plan.cables if cable.id == run.cable), run.cable)
    return f"{run.pieces} of {name}" if run.pieces > 1 else name


def comparison_csv(lines: Sequence[Line]) -> str:
    """The figures as CSV, lengths and masses in SI.

    Args:
        lines: in the order in which to write them.

    Returns:
        Header and one row a plan.
    """
    text = io.StringIO()
    writer = csv.DictWriter(text, [field.name for field in fields(Line)], lineterminator="\n")
    writer.writeheader()
    for line in lines:
        writer.writerow({**asdict(line), "complete": "yes" if line.complete else "no"})
    return text.getvalue()


def units_of(plans: Sequence[Plan]) -> Units:
    """The units to show all of them in: the first plan's."""
    return plans[0].rules.units
