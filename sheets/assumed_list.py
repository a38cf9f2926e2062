"""Everything that nobody confirmed, to be gone through on the van with a pen."""

from __future__ import annotations

import re

from ribway.models.plan.assumptions import PlanAssumption, Whose
from ribway.models.plan.plan import Plan
from ribway.models.plan.unconfirmed import open_assumptions
from ribway.models.printed import Units, counted
from ribway.sheets.places import wall_name
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import NOTHING, place

TITLE = "Assumed values"
LINE = "_" * 10
_REMARK = re.compile(r" \(common practice, no source[^)]*\)")
_HEADINGS: tuple[tuple[Whose, str], ...] = (
    ("device", "Devices: read the plate, measure the place"),
    ("circuit", "Circuits: what they are fed from and switched by"),
    ("shell", "The van's body: the tape"),
    ("cable", "Cables in stock: lay a caliper on them"),
)


def assumed_list(plan: Plan) -> Table:
    """Every value that nobody confirmed, by whose it is.

    Holes are on a sheet of their own, in walking order; here each wall has one line for all of its holes.

    Args:
        plan: the plan.

    Returns:
        One row for each value.
    """
    columns = (
        Column("Of what", weight=1.6, strong=True),
        Column("Which value", weight=1.8),
        Column("Assumed", weight=3.2, strong=True),
        Column("May be off by", weight=0.5, align="right"),
        Column("Where it comes from", weight=4.0),
        Column("What it really is", weight=0.6),
        Column("Right as it is", weight=0.0, align="box"),
    )
    still = open_assumptions(plan)
    units = plan.rules.units
    groups = [Group(head, tuple(_row(one, units) for one in still if one.whose == whose)) for whose, head in _HEADINGS]
    groups.insert(2, Group("Holes: see the sheet of holes to check", _hole_rows(plan, still)))
    done = sum(1 for one in plan.assumptions if one.confirmed)
    notes = (
        "Nobody has confirmed these for this van. Tick what is right; write down what is not, put it into the project, "
        "and plan again. Values of the catalogue and of the stock list are common practice, without a source.",
        f"Confirmed already: {counted(done, 'value')}. Still open: {len(still)}.",
    )
    return Table(TITLE, columns, groups_of(*groups), notes)


def unplanned_list(plan: Plan) -> Table:
    """Leads that belong to a device and are not in the plan.

    Args:
        plan: the plan.

    Returns:
        One row for each lead; no rows if there is none.
    """
    columns = (
        Column("Device", weight=1.2, strong=True),
        Column("Lead", weight=1.2),
        Column("Why it is not in this plan", weight=3.0),
        Column("Not wanted", weight=0.0, align="box"),
        Column("Put into the project", weight=0.0, align="box"),
    )
    rows = tuple((one.name, one.lead or "all of them", one.why, "", "") for one in plan.unplanned)
    notes = ("They need room and holes all the same: no cable of this plan is counted for them.",)
    return Table("Leads not in this plan", columns, groups_of(Group("", rows)), notes, follows=True)


def _row(one: PlanAssumption, units: Units) -> Row:
    off = place(one.error_m, units) if one.error_m > 0.0 else NOTHING
    source = _REMARK.sub("", one.source)
    return (one.name, one.what, one.value or "as the preset has it", off, source, LINE, "")


def _hole_rows(plan: Plan, still: tuple[PlanAssumption, ...]) -> tuple[Row, ...]:
    holes = {one.about: one for one in still if one.whose == "opening"}
    walls: dict[str, list[str]] = {}
    for opening in plan.openings:
        if opening.id in holes:
            walls.setdefault(opening.wall, []).append(opening.id)
    return tuple(
        (
            wall_name(wall).capitalize(), "that it is there, its size, its place", ", ".join(names), NOTHING,
            holes[names[0]].source, "on that sheet", "",
        )
        for wall, names in walls.items()
    )  # fmt: skip
