"""Budgets of data circuits: how long a link may be, what a coax may lose, what volts a bus must keep."""

from __future__ import annotations

from ribway.models.plan.electric import PlanBudget
from ribway.models.plan.plan import Plan
from ribway.models.printed import Units, in_shops_units, length, rounded_down, rounded_up
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.record import Field, Record, Section, Values
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import GLUE, joined, left_length

KINDS = {
    "length": "length of the link",
    "loss": "loss in the coax",
    "volts": "volts at the last device",
    "lead": "reach of the lead",
}


def budgets_record(plan: Plan) -> Record:
    """Every budget of the data circuits, those that are broken first.

    Args:
        plan: the plan.

    Returns:
        One row for each; no rows if no circuit names a link, a coax or a bus, and no lead is of fixed length.
    """
    fields = (
        Field("circuit", "Circuit", strong=True, weight=0.4),
        Field("runs", "Runs", weight=0.8),
        Field("budget", "Budget", weight=1.0),
        Field("of", "Of", weight=0.8),
        Field("value", "Is", weight=0.4, align="right", strong=True),
        Field("bound", "May be", weight=0.5, align="right"),
        Field("left", "To spare", weight=0.4, align="right"),
        Field("holds", "Kept", lambda value: "yes" if value else "NO", weight=0.2, align="centre"),
        Field("says", "How", weight=3.0),
    )
    rows = tuple(_row(one, plan.rules.units) for one in sorted(plan.budgets, key=lambda one: one.holds))
    notes = ("Cut lengths count, not ways: a coil loses as much as a straight cable. Plugs of a coax are counted.",)
    return Record(
        "budgets", "Data cables: what they may lose", fields, (Section("", rows),), notes, LARGE_PT, follows=True
    )


def _amount(value: float, unit: str, up: bool, units: Units) -> str:
    """A figure with its unit, rounded up or down; lengths in the shop's own."""
    if unit == "m" and units != "metric":
        return length(value, units) if up else left_length(value, units).replace(GLUE, " ")
    return f"{(rounded_up if up else rounded_down)(value, 2)} {unit}"


def _row(one: PlanBudget, units: Units) -> Values:
    upwards = one.sense == "at most"
    value = _amount(one.value, one.unit, upwards, units)
    bound = f"{one.sense} {_amount(one.bound, one.unit, not upwards, units)}"
    left = one.bound - one.value if upwards else one.value - one.bound
    spare = _amount(left, one.unit, False, units) if one.holds else "none"
    what: Value = f"{one.of} at {one.frequency_mhz:g} MHz" if one.frequency_mhz else one.of or None
    says = in_shops_units(one.says, units)
    return one.circuit, joined(one.runs), KINDS[one.kind], what, value, bound, spare, one.holds, says
