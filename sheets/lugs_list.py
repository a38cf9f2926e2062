"""Lugs to crimp: by size of conductor and stud, and where each goes."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.sheets.paper.record import Field, Record, Section, Values, tick
from ribway.sheets.places import device_names
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import typeset

UNKNOWN = "stud not known"


def lugs_record(plan: Plan) -> Record:
    """The lugs of a plan.

    Args:
        plan: the plan.

    Returns:
        One row for each size of conductor and stud, the thickest first; no rows if there is no lug.
    """
    fields = (
        Field("conductor", "Conductor", weight=0.6, strong=True),
        Field("stud", "Stud", weight=0.5, strong=True),
        Field("lugs", "Lugs", weight=0.3, align="right", strong=True),
        Field("where", "Where: run, device, how many", weight=4.0),
        tick("In hand", "in_hand"),
        tick("Crimped", "crimped"),
    )
    notes = (
        "A lug is named by its conductor and the screw that it goes on. Every cable on a mounting board is cut to "
        "template there; crimp one end, lay it, then cut and crimp the other.",
    )
    return Record("lugs", "Lugs", fields, (Section("", _rows(plan)),), notes, LARGE_PT)


def _rows(plan: Plan) -> tuple[Values, ...]:
    names = device_names(plan)
    where: dict[tuple[float, str, str], list[str]] = {}
    count: dict[tuple[float, str, str], int] = {}
    for run in plan.runs:
        for lug in run.lugs:
            key = (-run.conductor_area_mm2, lug.size, lug.stud)
            where.setdefault(key, []).append(f"{run.id} at {names.get(lug.at, lug.at)}: {lug.count}")
            count[key] = count.get(key, 0) + lug.count
    return tuple(
        (typeset(key[1]), key[2] or UNKNOWN, count[key], "; ".join(where[key]), None, None) for key in sorted(where)
    )
