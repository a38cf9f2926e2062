"""The openings list: every hole that the plan uses, what it must be like, and what goes through."""

from __future__ import annotations

import math

from ribway.models.plan.measuring import way_words
from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanOpening, PlanWay
from ribway.models.plan.unconfirmed import LEGEND, marked
from ribway.models.printed import Units, size_down, size_near, size_up
from ribway.sheets.places import measured_from, opening_sideways, opening_up, wall_name
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import (
    NOTHING,
    bare,
    bare_place,
    bare_room,
    bare_thick,
    glued,
    joined,
    length_unit,
    limit,
    percent,
    size_unit,
    width_by_length,
)

STATE_WORDS = {
    "assumed": "ASSUMED",
    "measured": "measured",
    "drill": "DRILL",
    "blocked": "blocked",
}

_WALLS = ("left", "right", "roof", "floor", "bulkhead", "rear")
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
    unit, across = length_unit(units), size_unit(units)
    columns = (
        Column("Opening", weight=0.3, strong=True),
        Column("Back", unit, weight=0.2, align="right"),
        Column("Up, or off centre", unit, weight=0.3, align="right"),
        Column("State", weight=1.0),
        Column("Raw bore or slot", across, weight=0.3, align="right"),
        Column("Clear", across, weight=0.3, align="right"),
        Column("Grommet", weight=0.6),
        Column("What goes through", weight=6.0),
        Column("Bundle", across, weight=0.2, align="right"),
        Column("Full / limit", "%", weight=0.2, align="right"),
        Column("Takes yet", across, weight=0.2, align="right"),
        Column("Hole there", weight=0.0, align="box"),
        Column("Far side seen", weight=0.0, align="box"),
        Column("Rust done", weight=0.0, align="box"),
        Column("Edge done", weight=0.0, align="box"),
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
        "Raw is the hole in the metal, clear what has to be left inside the grommet or edge strip; a slot's is width by "
        "length. Bundle is the diameter of all that goes through, full the share of the clear area that it takes. Takes yet: "
        "the one round cable that would fill it to its limit, by area; try whether it passes.",
        "Before drilling, and again after it: look at the far side for wires, pipes, fuel and airbags. Then deburr, vacuum the "
        "chips, treat the bare edge against rust, and only then put the grommet or strip on.",
    )
    return Table("Openings", columns, groups_of(*groups), notes, _TYPE_PT)


def state_text(opening: PlanOpening) -> str:
    """What is to be done about an opening before anything is cut for it."""
    return STATE_WORDS[opening.state]


def grommet_text(opening: PlanOpening, units: Units) -> str:
    """The grommet by its clear inside; where none is named, any that leaves the clear bore will do; on a slot edge strip."""
    if opening.grommet_mm is not None:
        return size_down(opening.grommet_mm, units)
    return "to choose" if opening.slot_length_mm is None else "edge strip"


def up_or_sideways(opening: PlanOpening, units: Units) -> str:
    """What finds an opening beside its distance back: its height, how far it is off the centre line, or both."""
    up, side = opening_up(opening, units), opening_sideways(opening, units)
    return f"{glued(f'{up} up')}, {glued(side)}" if up and side else up or glued(side)


def _row(opening: PlanOpening, units: Units) -> Row:
    return (
        marked(opening.id, opening.state == "assumed"),
        bare_place(opening.back_m, units),
        up_or_sideways(opening, units),
        state_text(opening),
        bare(raw_size(opening, units)),
        bare(clear_size(opening.clear_bore_mm, opening.slot_length_mm, units)),
        grommet_text(opening, units),
        _through(opening, units),
        bare_thick(opening.bundle_diameter_mm, units),
        glued(f"{percent(opening.fill_percent)} / {limit(opening.fill_limit_percent)}"),
        bare_room(takes_yet_mm(opening), units),
        "",
        "",
        "",
        "",
    )


def _way_row(way: PlanWay, units: Units) -> Row:
    kind = way_words(way)
    return (
        way.id,
        NOTHING,
        NOTHING,
        f"{kind} {way.member}" if way.kind == "over" and not way.lined else kind,
        NOTHING,
        bare(clear_size(way.clear_bore_mm, None, units)),
        NOTHING,
        joined(way.runs),
        NOTHING,
        glued(f"{percent(way.fill_percent)} / {limit(way.fill_limit_percent)}"),
        NOTHING,
        "",
        NOTHING,
        NOTHING,
        "",
    )


def raw_slot_mm(opening: PlanOpening) -> float | None:
    """Length of a slot in the bare metal: the clear one and what the edge takes of it; None of a round hole [mm]."""
    if opening.slot_length_mm is None:
        return None
    return opening.slot_length_mm + opening.raw_bore_mm - opening.clear_bore_mm


def takes_yet_mm(opening: PlanOpening) -> float:
    """The one round cable that would fill an opening to its limit, by area alone [mm].

    A slot has round ends: its clear area is width times what the length is more than the width, and a circle of the width.
    """
    wide, long = opening.clear_bore_mm, opening.slot_length_mm or opening.clear_bore_mm
    area_mm2 = math.pi / 4.0 * wide**2 + wide * max(0.0, long - wide)
    left = max(0.0, opening.fill_limit_percent - opening.fill_percent) / 100.0
    return min(wide, math.sqrt(4.0 / math.pi * left * area_mm2))


def raw_size(opening: PlanOpening, units: Units) -> str:
    """The hole in the metal, to the nearest: ``25 mm``, ``20 × 45 mm``, ``31/32"``."""
    slot_mm = raw_slot_mm(opening)
    long = None if slot_mm is None else size_near(slot_mm, units)
    return width_by_length(size_near(opening.raw_bore_mm, units), long)


def clear_size(mm: float, slot_mm: float | None, units: Units) -> str:
    """What is left for cables, rounded down, with a slot's length behind it."""
    return width_by_length(size_down(mm, units), None if slot_mm is None else size_down(slot_mm, units))


def _through(opening: PlanOpening, units: Units) -> str:
    there = f", beside {size_up(opening.taken_mm, units)} there already" if opening.taken_mm > 0 else ""
    return f"{joined(opening.runs)}{there}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
