"""Check these holes before cutting: every hole in use that nobody measured, in the order of a walk round the van."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanOpening
from ribway.models.plan.unconfirmed import holes_to_check
from ribway.models.printed import Units, size_near
from ribway.sheets.places import measured_from, opening_sideways, opening_up, wall_name
from ribway.sheets.table import LARGE_PT, Column, Group, Row, Table, groups_of
from ribway.sheets.words import bare, bare_place, bare_thick, joined, length_unit, size_unit, width_by_length

TITLE = "Holes to check"
WALK = ("left", "rear", "right", "bulkhead", "roof", "floor")
"""Along the left wall to the back, forward again along the right one, then the bulkhead, the roof and the floor."""
_FORWARD = ("right",)
_HEADS = {
    "left": "Left wall, from the front to the back",
    "rear": "Back",
    "right": "Right wall, from the back to the front",
    "bulkhead": "Bulkhead and front pillars",
    "roof": "Roof, from the front to the back",
    "floor": "Floor, from the front to the back",
}


def in_walking_order(plan: Plan) -> tuple[PlanOpening, ...]:
    """The holes to be checked, in the order of the walk.

    Args:
        plan: the plan.

    Returns:
        Wall by wall, walls of other names last; on a wall along the walk, and at one station from below.
    """
    known = {wall: index for index, wall in enumerate(WALK)}

    def key(one: PlanOpening) -> tuple[int, str, float, float, str]:
        along = -one.back_m if one.wall in _FORWARD else one.back_m
        return known.get(one.wall, len(WALK)), one.wall, round(along, 2), one.up_m, one.id

    return tuple(sorted(holes_to_check(plan), key=key))


def holes_to_check_list(plan: Plan) -> Table:
    """The sheet to walk round with.

    Args:
        plan: the plan.

    Returns:
        One row for each hole; no rows if all were measured.
    """
    units = plan.rules.units
    unit, across = length_unit(units), size_unit(units)
    columns = (
        Column("No.", weight=0.1, align="right"),
        Column("Hole", weight=0.3, strong=True),
        Column("Member", weight=0.3),
        Column("Back", unit, weight=0.3, align="right"),
        Column("Up", unit, weight=0.3, align="right"),
        Column("Off centre", unit, weight=2.0),
        Column("Bore wanted", across, weight=0.1, align="right", strong=True),
        Column("Cables that need it", weight=9.0),
        Column("Bundle", across, weight=0.2, align="right"),
        Column("Bore measured", across, weight=0.1),
        Column("In it already", across, weight=0.1),
        Column("Good", weight=0.0, align="box"),
    )
    holes = in_walking_order(plan)
    rows = {one.id: _row(number, one, units) for number, one in enumerate(holes, start=1)}
    walls = dict.fromkeys(one.wall for one in holes)
    groups = [
        Group(_HEADS.get(wall, wall_name(wall)), tuple(rows[one.id] for one in holes if one.wall == wall))
        for wall in walls
    ]
    notes = (
        "Check these holes before cutting anything; they stand in the order of a walk round the van. "
        f"{measured_from(plan)} Each to the middle of the hole.",
        "Bore wanted is the hole in the bare metal that this plan counts on, a slot's width and length, to the nearest. If a "
        "hole is missing, smaller, or has something in it already, write it down and plan again before anything is cut.",
    )
    return Table(TITLE, columns, groups_of(*groups), notes, LARGE_PT)


def bore_wanted(opening: PlanOpening, units: Units) -> str:
    """The hole in bare metal that the plan counts on: a slot's width and length.

    Args:
        opening: the hole.
        units: the shop's.
    """
    long = None if opening.slot_length_mm is None else size_near(opening.slot_length_mm + _edge_mm(opening), units)
    return width_by_length(size_near(opening.raw_bore_mm, units), long)


def _edge_mm(opening: PlanOpening) -> float:
    """What a grommet takes of a hole's size."""
    return max(0.0, opening.raw_bore_mm - opening.clear_bore_mm)


def _row(number: int, one: PlanOpening, units: Units) -> Row:
    return (
        str(number),
        one.id,
        one.member,
        bare_place(one.back_m, units),
        opening_up(one, units),
        opening_sideways(one, units),
        bare(bore_wanted(one, units)),
        joined(one.runs),
        bare_thick(one.bundle_diameter_mm, units),
        "_" * 7,
        "_" * 6,
        "",
    )
