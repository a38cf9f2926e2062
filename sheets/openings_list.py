"""The openings list: every hole that the plan uses, what it must be like, and what goes through."""

from __future__ import annotations

from ribway.models.plan.measuring import way_words
from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanOpening, PlanWay
from ribway.models.plan.unconfirmed import LEGEND, marked
from ribway.models.printed import Units
from ribway.sheets.places import measured_from, opening_sideways, opening_up, wall_name
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import (
    NOTHING,
    bare_place,
    inches,
    joined,
    length_unit,
    limit,
    percent,
    room_inches,
    room_mm,
    thick_mm,
)

STATE_WORDS = {
    "assumed": "ASSUMED",
    "measured": "measured",
    "drill": "DRILL",
    "blocked": "blocked",
}

_WALLS = ("left", "right", "roof", "floor", "bulkhead", "rear")
_NEAREST_DIGITS = 1
_TYPE_PT = 9.0


def used_openings(plan: Plan) -> tuple[PlanOpening, ...]:
    """The openings that a run goes through: wall by wall, each from front to rear, low before high.

    Args:
        plan: the plan.

    Returns:
        The openings; walls of other names come last.
    """
    known = {wall: index for index, wall in enumerate(_WALLS)}
    used = [opening for opening in plan.openings if opening.runs]
    return tuple(
        sorted(used, key=lambda one: (known.get(one.wall, len(_WALLS)), one.wall, one.back_m, one.up_m, one.id))
    )


def openings_list(plan: Plan) -> Table:
    """Every opening in use, and below them the other ways in use.

    Args:
        plan: the plan.

    Returns:
        One row for each.
    """
    units = plan.rules.units
    unit, bore = length_unit(units), "mm" if units == "metric" else "mm, in"
    columns = (
        Column("Opening", weight=0.3, strong=True),
        Column("Back", unit, weight=0.2, align="right"),
        Column("Up", unit, weight=0.2, align="right"),
        Column("Off centre", unit, weight=0.5),
        Column("State", weight=1.0),
        Column("Raw bore", bore, weight=0.3, align="right"),
        Column("Clear bore or slot", bore, weight=0.3, align="right"),
        Column("Grommet", weight=0.8),
        Column("What goes through", weight=6.0),
        Column("Bundle", "mm", weight=0.2, align="right"),
        Column("Full", "%", weight=0.2, align="right"),
        Column("Limit", "%", weight=0.1, align="right"),
        Column("Hole checked", weight=0.1, align="box"),
        Column("Edge protected", weight=0.1, align="box"),
    )
    used = used_openings(plan)
    walls = dict.fromkeys(opening.wall for opening in used)
    groups = [
        Group(_capital(wall_name(wall)), tuple(_row(one, units) for one in used if one.wall == wall)) for wall in walls
    ]
    groups.append(Group("Other ways", tuple(_way_row(way, units) for way in plan.ways if way.runs)))
    notes = (
        f"{measured_from(plan)} Each to the middle of the opening.",
        "ASSUMED: never measured on this van; measure it before anything is cut for it. DRILL: to be made.",
        LEGEND,
        "Raw bore is the hole in the metal, a slot's width. Clear bore is what has to be left inside the grommet or "
        "edge strip; a slot's has its length behind it. Bundle is the diameter of all that goes through, full the "
        "share of the clear area that it takes.",
    )
    return Table("Openings", columns, groups_of(*groups), notes, _TYPE_PT)


def state_text(opening: PlanOpening) -> str:
    """What is to be done about an opening before anything is cut for it."""
    return STATE_WORDS[opening.state]


def grommet_text(opening: PlanOpening) -> str:
    """The grommet by its clear inside; where none is named, any that leaves the clear bore will do."""
    return "to choose" if opening.grommet_mm is None else f"{room_mm(opening.grommet_mm)} mm"


def _row(opening: PlanOpening, units: Units) -> Row:
    return (
        marked(opening.id, opening.state == "assumed"),
        bare_place(opening.back_m, units),
        opening_up(opening, units),
        opening_sideways(opening, units),
        state_text(opening),
        _raw_bore(opening.raw_bore_mm, units),
        _clear_bore(opening.clear_bore_mm, opening.slot_length_mm, units),
        grommet_text(opening),
        _through(opening),
        thick_mm(opening.bundle_diameter_mm),
        percent(opening.fill_percent),
        limit(opening.fill_limit_percent),
        "",
        "",
    )


def _way_row(way: PlanWay, units: Units) -> Row:
    kind = way_words(way)
    return (
        way.id,
        NOTHING,
        NOTHING,
        "",
        f"{kind} {way.member}" if way.kind == "over" and not way.lined else kind,
        NOTHING,
        _clear_bore(way.clear_bore_mm, None, units),
        NOTHING,
        joined(way.runs),
        NOTHING,
        percent(way.fill_percent),
        limit(way.fill_limit_percent),
        "",
        "",
    )


def _raw_bore(mm: float, units: Units) -> str:
    """The hole in the metal; where the shop works in inches, those are on the line below."""
    text = f"{round(mm, _NEAREST_DIGITS):g}"
    return text if units == "metric" else f"{text}\n{inches(mm)}"


def _clear_bore(mm: float, slot_mm: float | None, units: Units) -> str:
    """What is left for cables, with a slot's length behind it."""
    text = room_mm(mm) if slot_mm is None else f"{room_mm(mm)}×{room_mm(slot_mm)}"
    return text if units == "metric" else f"{text}\n{room_inches(mm)}"


def _through(opening: PlanOpening) -> str:
    there = f", beside {thick_mm(opening.taken_mm)} mm there already" if opening.taken_mm > 0 else ""
    return f"{joined(opening.runs)}{there}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
