"""Budgets of data circuits: how long a link may be, what a coax may lose, what volts a bus must keep."""

from __future__ import annotations

from ribway.models.plan.electric import PlanBudget
from ribway.models.plan.plan import Plan
from ribway.models.printed import rounded_down, rounded_up
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.record import Field, Record, Section, Values
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import joined

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
    rows = tuple(_row(one) for one in sorted(plan.budgets, key=lambda one: one.holds))
    notes = ("Cut lengths count, not ways: a coil loses as much as a straight cable. Plugs of a coax are counted.",)
    return Record(
        "budgets", "Data cables: what they may lose", fields, (Section("", rows),), notes, LARGE_PT, follows=True
    )


def _row(one: PlanBudget) -> Values:
    upwards = one.sense == "at most"
    value = f"{(rounded_up if upwards else rounded_down)(one.value, 2)} {one.unit}"
    bound = f"{one.sense} {(rounded_down if upwards else rounded_up)(one.bound, 2)} {one.unit}"
    left = one.bound - one.value if upwards else one.value - one.bound
    spare = f"{rounded_down(left, 2)} {one.unit}" if one.holds else "none"
    what: Value = f"{one.of} at {one.frequency_mhz:g} MHz" if one.frequency_mhz else one.of or None
    return one.circuit, joined(one.runs), KINDS[one.kind], what, value, bound, spare, one.holds, one.says
