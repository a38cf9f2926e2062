"""Why each conductor has its size: what decided it, what the table gives, what heat and bundle take away."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.models.printed import in_shops_units, rounded_down
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.record import Field, Record, Section, Values
from ribway.sheets.places import cable_size, cables_by_id
from ribway.sheets.words import NOTHING, carried_amps, glued, typeset

_TYPE_PT = 9.0


def sizes_record(plan: Plan) -> Record:
    """Every run that carries a current, with what decided its size.

    Args:
        plan: the plan.
    """
    fields = (
        Field("run", "Run", strong=True, weight=0.3),
        Field("conductor", "One conductor", strong=True, weight=1.0),
        Field("decided_by", "Decided by", weight=1.6),
        Field("tightest", "Tightest limit", weight=2.4),
        Field("table_a", "Table gives", _carries, "A", 0.3, "right"),
        Field("air_factor", "Air", _factor, "×", 0.2, "right"),
        Field("bundle_factor", "Bundle", _factor, "×", 0.2, "right"),
        Field("heat_factor", "Heat", _factor, "×", 0.2, "right"),
        Field("carries_a", "Carries here", _carries, "A", 0.3, "right", True),
        Field("copper_c", "Copper reckoned at", _degrees, "°C", 0.3, "right"),
        Field("size_by", "Size by bundle's factor alone / heat alone / neither", weight=2.0, if_any=True),
        Field("table", ""),
        Field("factors", ""),
    )
    rows = tuple(_row(plan, run) for run in plan.runs if run.design_a > 0.0 and run.kind != "data")
    decided = any(run.size_by for run in plan.runs)
    last = " Where the bundle decided, the last column has the size that each way of reckoning would ask for by itself."
    notes = (
        "Carries here is what the table gives, times the factor of the air where it is hottest, times the stricter of the "
        f"bundle's factor and its heat balance.{last if decided else ''}",
    )
    return Record("sizes", "Why each size", fields, (Section("", rows),), notes, _TYPE_PT, True)


def states_record(plan: Plan) -> Record:
    """What each feeder carries in its worst state of the van, and in the others.

    Args:
        plan: the plan.
    """
    fields = (
        Field("circuit", "Feeder", strong=True, weight=0.4),
        Field("name", "What it feeds", weight=2.0),
        Field("worst_state", "Worst state of the van", strong=True, weight=1.2),
        Field("takes_a", "Takes then", _needs, "A", 0.4, "right", True),
        Field("gives_a", "Gives then", _needs, "A", 0.4, "right"),
        Field("others", "In the other states, takes / gives (A)", weight=3.0),
    )
    notes = (
        "What the loads behind a feeder draw together in each state of the van, each by its share. Gives: what chargers "
        "behind it drive back. Size and fuse are held against the worst.",
    )
    rows = tuple(_states(circuit) for circuit in plan.circuits if circuit.states)
    return Record("feeder-states", "Feeders by state of the van", fields, (Section("", rows),), notes, follows=True)


def _states(circuit: PlanCircuit) -> Values:
    heaviest = max(circuit.states, key=lambda one: max(one.takes_a, one.gives_a))
    same = [one for one in circuit.states if (one.takes_a, one.gives_a) == (heaviest.takes_a, heaviest.gives_a)]
    others = [f"{one.state} {one.takes_a:g} / {one.gives_a:g}" for one in circuit.states if one not in same]
    worst = "every state" if not others and len(same) > 1 else ", ".join(one.state for one in same)
    return circuit.id, circuit.name, worst, heaviest.takes_a, heaviest.gives_a, "; ".join(others) or None


def _row(plan: Plan, run: PlanRun) -> Values:
    size = cable_size(cables_by_id(plan)[run.cable], plan.rules.units)
    units = plan.rules.units
    by = {one.by: f"{typeset(one.size) or 'none stocked'} ({carried_amps(one.carries_a)} A)" for one in run.size_by}
    ways = [by[name] for name in ("factor alone", "heat balance alone", "neither") if name in by]
    limits = [one for one in run.limits if one.bound]
    tightest = min(limits, key=lambda one: abs(one.margin / one.bound), default=None)
    says = NOTHING if tightest is None else typeset(in_shops_units(tightest.says, units))
    steps = "; ".join(
        f"{one.name} {one.value:g}: {one.before_a:g} to {one.after_a:g} A, {in_shops_units(one.because, units)}"
        for one in run.factors
    )
    return (
        run.id, size, run.deciding, says, run.table_a, run.ambient_factor,
        run.bundle_factor, run.heat_factor, run.derated_a, run.copper_c, " / ".join(glued(one) for one in ways) or None,
        run.table_says or None, steps or None,
    )  # fmt: skip


def _carries(value: Value) -> str:
    return carried_amps(None if value is None else float(value))


def _needs(value: Value) -> str:
    return NOTHING if value is None else f"{float(value):g}"


def _factor(value: Value) -> str:
    return NOTHING if value is None else rounded_down(float(value), 2)


def _degrees(value: Value) -> str:
    return NOTHING if value is None else f"{float(value):.0f}"
