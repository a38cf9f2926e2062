"""What the plan itself found and the user must know, the serious first."""

from __future__ import annotations

from collections import Counter

from ribway.models.plan.plan import Plan
from ribway.models.printed import in_shops_units
from ribway.sheets.places import device_names, wall_name
from ribway.sheets.table import LARGE_PT, Column, Group, Row, Table, groups_of
from ribway.sheets.words import typeset

LEVELS = (
    ("error", "NOT SAFE: to be put right before anything is cut"),
    ("warning", "TAKE CARE"),
    ("note", "TO KNOW"),
)


MOST_NAMED = 12
"""So many openings are named one by one; more are counted, and stand by name on a list of their own."""


def findings_list(plan: Plan) -> Table:
    """The plan's findings.

    Args:
        plan: the plan.

    Returns:
        One row for each, errors first.
    """
    columns = (
        Column("About", weight=1.6),
        Column("What was found", weight=3.0),
        Column("What to do", weight=3.0),
        Column("Seen to", weight=0.1, align="box"),
    )
    groups = groups_of(*(Group(words, _rows(plan, level)) for level, words in LEVELS))
    return Table("Findings", columns, groups, type_pt=LARGE_PT)


def about_text(plan: Plan, about: str, about_looms: bool = False) -> str:
    """What a finding is about, devices by their names; many openings by how many each wall has of them.

    Args:
        plan: the plan.
        about: as the finding says it.
        about_looms: whether its names are those of looms, which else read like runs.
    """
    others = {one.id for kind in (plan.circuits, plan.runs, plan.openings, plan.looms) for one in kind}
    names = {id: name for id, name in device_names(plan).items() if id not in others}
    walls = {one.id: one.wall for one in plan.openings}
    named = about.split(", ")
    if len(named) > MOST_NAMED and all(one in walls for one in named):
        each = Counter(wall_name(walls[one]) for one in named)
        return "Openings: " + ", ".join(f"{wall} {count}" for wall, count in each.items())
    looms = {one.id: f"loom {one.id}" for one in plan.looms} if about_looms else {}
    return ", ".join(names.get(one, looms.get(one, one)) for one in named)


def _rows(plan: Plan, level: str) -> tuple[Row, ...]:
    return tuple(
        (
            about_text(plan, one.about, one.code.startswith("bundle")),
            said(plan, one.message),
            said(plan, one.remedy),
            "",
        )
        for one in plan.findings
        if one.level == level
    )


def said(plan: Plan, text: str) -> str:
    """A finding's sentence in the shop's units, typeset."""
    return typeset(in_shops_units(text, plan.rules.units))
