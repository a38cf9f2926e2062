"""Circuits and fuses: what each protective device feeds, and what it may be."""

from __future__ import annotations

from ribway.models.circuits import NEGATIVES
from ribway.models.plan.measuring import measured_note
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit
from ribway.models.plan.unconfirmed import LEGEND, Unconfirmed, marked, unconfirmed
from ribway.sheets.places import device_names
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import NOTHING, amps, carried_amps, glued, limit, percent, volts

NO_FUSE = "NONE FITS"


def circuits_list(plan: Plan) -> Table:
    """Every circuit with its fuse.

    Args:
        plan: the plan.

    Returns:
        One row for each circuit: DC, then AC, then data.
    """
    columns = (
        Column("Circuit", weight=0.3, strong=True),
        Column("Fed from", weight=1.2),
        Column("What it feeds", weight=3.0),
        Column("Pattern, supply", weight=0.8),
        Column("Volts", weight=0.2, align="right"),
        Column("Design", "A", weight=0.2, align="right"),
        Column("Start", "A", weight=0.2, align="right"),
        Column("Fuse", "A", weight=0.6, align="centre", strong=True),
        Column("Fuse window", "A", weight=0.5, align="centre"),
        Column("Weakest wire", "A", weight=0.3, align="right"),
        Column("Drop", "V", weight=0.2, align="right"),
        Column("Drop", "%", weight=0.2, align="right"),
        Column("Limit", "%", weight=0.2, align="right"),
        Column("Drop at start", "%", weight=0.2, align="right"),
        Column("Fuse fitted", weight=0.1, align="box"),
    )
    groups = groups_of(
        Group("DC", _rows(plan, "dc")),
        Group("AC: fuse and protection by a licensed person; figures for information only", _rows(plan, "ac")),
        Group("Data", _rows(plan, "data")),
    )
    notes = (
        measured_note(plan),
        "The fuse sits at the source, where the circuit is fed from. The window is the least fuse that holds the load, "
        f"and the largest that still protects the weakest wire (rule: {plan.rules.fuse_rule}). Weakest wire is what "
        "it carries after heat and bundling. Stated: given in the project, not chosen.",
        "Drop is from the source of power to the farthest device, feeders included, at the design current, there and "
        "back, and at the start current where it says so.",
        *_short_loads(plan),
        "Pattern: how its cables lead from one device to another; home run: each load has a cable of its own from the box. "
        "Supply: when it has power.",
        LEGEND,
    )
    return Table("Circuits and fuses", columns, groups, notes)


def _short_loads(plan: Plan) -> tuple[str, ...]:
    """What is counted as on for a while only: its neighbours' heat rests on it, so the user has to know."""
    told = []
    for one in plan.circuits:
        if one.on_s is not None:
            rest = "once, then left to cool" if one.off_s is None else f"then off for {one.off_s:g} s at least"
            told.append(f"{one.id} on for {one.on_s:g} s at most, {rest}")
    return (f"Counted as on for a while only, in the heat of cables beside it: {'; '.join(told)}.",) if told else ()


def fuse_text(circuit: PlanCircuit) -> str:
    """The fuse as it is printed; AC and data have none that this plan chose."""
    if circuit.fuse_a is not None:
        return glued(f"{circuit.fuse_a:g}{' stated' if circuit.fuse_given else ''}")
    return NO_FUSE if circuit.kind == "dc" and circuit.pattern not in NEGATIVES else NOTHING


def window_text(circuit: PlanCircuit) -> str:
    """The fuse window, its low end rounded up and its high end rounded down."""
    if circuit.kind != "dc" or circuit.pattern in NEGATIVES:
        return NOTHING
    return glued(f"{amps(circuit.fuse_low_a)} to {carried_amps(circuit.fuse_high_a)}")


def feeds_text(plan: Plan, circuit: PlanCircuit) -> str:
    """A circuit's name, and on the line below its devices where they are not what it is called."""
    names = device_names(plan)
    loads = ", ".join(names.get(load, load) for load in circuit.loads)
    return circuit.name if loads in ("", circuit.name) else f"{circuit.name}\n{loads}"


_PATTERNS = {"home": "home run", "stated": "as stated"}
"""Patterns that a fitter calls otherwise than the project file does."""


def pattern_text(circuit: PlanCircuit) -> str:
    """A circuit's pattern, and on the line below what is to switch its power, and what does if that is another."""
    other = circuit.supply_given not in ("", circuit.supply)
    supply = f"{circuit.supply}, but fed by: {circuit.supply_given}" if other else circuit.supply
    back = {"chassis": f", back through the body at {circuit.earth}", "shared": f", back by {circuit.negative}"}
    never = f"\nnever with others of: {circuit.never_with}" if circuit.never_with else ""
    pattern = _PATTERNS.get(circuit.pattern, circuit.pattern)
    return f"{pattern}{back.get(circuit.return_, '')}\n{supply}".rstrip() + never


def _rows(plan: Plan, kind: str) -> tuple[Row, ...]:
    still = unconfirmed(plan)
    return tuple(_row(plan, circuit, still) for circuit in plan.circuits if circuit.kind == kind)


def _row(plan: Plan, circuit: PlanCircuit, still: Unconfirmed) -> Row:
    powered = circuit.kind != "data"
    fed = marked(device_names(plan).get(circuit.source, circuit.source), bool(still.feeds & set(circuit.loads)))
    return (
        circuit.id,
        fed,
        feeds_text(plan, circuit),
        pattern_text(circuit),
        f"{circuit.volts:g}" if powered else NOTHING,
        marked(amps(circuit.design_a), circuit.id in still.circuit_amps) if powered else NOTHING,
        marked(amps(circuit.start_a), circuit.id in still.circuit_starts) if powered else NOTHING,
        marked(fuse_text(circuit), circuit.id in still.fuses),
        window_text(circuit),
        carried_amps(circuit.weakest_derated_a),
        volts(circuit.worst_drop_v) if powered else NOTHING,
        percent(circuit.worst_drop_percent) if powered else NOTHING,
        limit(circuit.drop_limit_percent),
        percent(circuit.start_drop_percent) if powered else NOTHING,
        "" if circuit.kind == "dc" and circuit.fuse_a is not None else NOTHING,
    )
