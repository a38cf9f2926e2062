"""What the plan itself found and the user must know, the serious first."""

from __future__ import annotations

from collections.abc import Mapping

from ribway.models.plan.plan import Plan
from ribway.sheets.places import device_names
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import typeset

LEVELS = (
    ("error", "NOT SAFE: to be put right before anything is cut"),
    ("warning", "TAKE CARE"),
    ("note", "TO KNOW"),
)


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
    return Table("Findings", columns, groups)


def _rows(plan: Plan, level: str) -> tuple[Row, ...]:
    others = {one.id for kind in (plan.circuits, plan.runs, plan.openings, plan.looms) for one in kind}
    names = {id: name for id, name in device_names(plan).items() if id not in others}
    return tuple(
        (_about(one.about, names), typeset(one.message), typeset(one.remedy), "")
        for one in plan.findings
        if one.level == level
    )


def _about(about: str, names: Mapping[str, str]) -> str:
    """What a finding is about, devices by their names."""
    return ", ".join(names.get(one, one) for one in about.split(", "))
