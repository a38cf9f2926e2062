"""Lugs to buy and crimp: by size of conductor and stud, and where each goes."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.sheets.places import device_names
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import typeset

UNKNOWN = "stud not known"


def lugs_list(plan: Plan) -> Table:
    """The lugs of a plan.

    Args:
        plan: the plan.

    Returns:
        One row for each size of conductor and stud, the thickest first; no rows if there is no lug.
    """
    columns = (
        Column("Conductor", weight=0.6, strong=True),
        Column("Stud", weight=0.5, strong=True),
        Column("Lugs", weight=0.3, align="right", strong=True),
        Column("Where: run, device, how many", weight=4.0),
        Column("In hand", weight=0.1, align="box"),
        Column("Crimped", weight=0.1, align="box"),
    )
    notes = (
        "A lug is named by its conductor and the screw that it goes on. Every cable on a mounting board is cut to "
        "template there; crimp one end, lay it, then cut and crimp the other.",
    )
    return Table("Lugs", columns, groups_of(Group("", _rows(plan))), notes)


def _rows(plan: Plan) -> tuple[Row, ...]:
    names = device_names(plan)
    where: dict[tuple[float, str, str], list[str]] = {}
    count: dict[tuple[float, str, str], int] = {}
    for run in plan.runs:
        for lug in run.lugs:
            key = (-run.conductor_area_mm2, lug.size, lug.stud)
            where.setdefault(key, []).append(f"{run.id} at {names.get(lug.at, lug.at)}: {lug.count}")
            count[key] = count.get(key, 0) + lug.count
    return tuple(
        (typeset(key[1]), key[2] or UNKNOWN, str(count[key]), "; ".join(where[key]), "", "") for key in sorted(where)
    )
