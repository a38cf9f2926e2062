"""The looms: which runs are pulled together, how thick the bundle is, and where runs leave it."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanLoom
from ribway.sheets.colours import colour_name
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import NOTHING, Units, bare_place, counted, joined, length, length_unit, thick_mm

SECTION = "section"


def looms_list(plan: Plan) -> Table:
    """Every loom by its sections and breakouts; cables pulled on their own come last, in one group.

    Args:
        plan: the plan.

    Returns:
        One row for each section and each breakout.
    """
    unit = length_unit(plan.rules.units)
    columns = (
        Column("Loom", weight=0.3, strong=True),
        Column("Part", weight=0.8),
        Column("From", unit, weight=0.2, align="right"),
        Column("To", unit, weight=0.2, align="right"),
        Column("Runs", weight=3.0),
        Column("Openings", weight=2.5),
        Column("Diameter", "mm", weight=0.2, align="right"),
        Column("Loaded conductors", weight=0.1, align="right"),
        Column("Taped", weight=0.1, align="box"),
    )
    units = plan.rules.units
    looms = [loom for loom in plan.looms if len(loom.runs) > 1]
    alone = [loom for loom in plan.looms if len(loom.runs) == 1]
    groups = [Group(_heading(loom, units), _rows(loom, units), loom.colour) for loom in looms]
    groups.append(Group("On their own", tuple(row for loom in alone for row in _rows(loom, units))))
    notes = (
        "From and to are distances along the loom from where it begins; side branches are counted on from their own "
        "beginning or from where they leave.",
        "Diameter is that of the bundle without sleeve or tape, rounded up. Loaded conductors are those that warm "
        "each other.",
    )
    return Table("Looms", columns, groups_of(*groups), notes)


def section_name(loom: PlanLoom, name: str) -> str:
    """A section's name inside its loom: without the loom's own name before it, which reads like a run's."""
    return f"{SECTION} {name.removeprefix(loom.id).lstrip('/-. ') or name}"


def _heading(loom: PlanLoom, units: Units) -> str:
    return (
        f"Loom {loom.id}, {loom.zone}: {counted(len(loom.runs), 'run')}, {length(loom.length_m, units)} long, "
        f"widest {thick_mm(loom.diameter_mm)} mm, {colour_name(loom.colour)} in the pictures"
    )


def _rows(loom: PlanLoom, units: Units) -> tuple[Row, ...]:
    """Sections and breakouts in the order of their places along the loom; runs lying alone come last."""
    placed: list[tuple[int, float, int, Row]] = []
    for section in loom.sections:
        row = (
            loom.id,
            section_name(loom, section.name) + (", alone" if len(section.runs) == 1 < len(loom.runs) else ""),
            bare_place(section.from_m, units),
            bare_place(section.to_m, units),
            joined(section.runs),
            joined(section.openings),
            thick_mm(section.diameter_mm),
            str(section.loaded_conductors),
            "",
        )
        placed.append((1 if len(section.runs) == 1 else 0, section.from_m, 1, row))
    for leave in loom.breakouts if len(loom.runs) > 1 else ():
        row = (
            loom.id,
            "breakout",
            bare_place(leave.at_m, units),
            "",
            f"in or out here: {joined(leave.runs)}",
            leave.place or NOTHING,
            "",
            "",
            "",
        )
        placed.append((0, leave.at_m, 0, row))
    return tuple(row for *_, row in sorted(placed, key=lambda one: one[:3]))
