"""The looms: which runs are pulled together, how thick the bundle is, and where runs leave it."""

from __future__ import annotations

from collections.abc import Mapping

from ribway.models.plan.bundles import BundleCheck, bundle_checks
from ribway.models.plan.looms import Breakout, LoomSection, PlanLoom
from ribway.models.plan.measuring import measured_note
from ribway.models.plan.plan import Plan
from ribway.models.printed import Units, counted, length, radius_down, radius_up, size_up
from ribway.sheets.buying.parts import clips_along
from ribway.sheets.colours import colour_name
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import (
    NOTHING,
    bare,
    bare_length,
    bare_place,
    bare_room,
    bare_thick,
    glued,
    joined,
    length_unit,
    size_unit,
)

TACK_M, TACK_IN_BENDS_M = 0.15, 0.05
"""How far apart a loom is tacked on its board (common practice, no source) [m]."""
_SAME_M = 1e-6


def looms_list(plan: Plan) -> Table:
    """Every loom by its sections and breakouts; cables pulled on their own come last, in one group.

    Args:
        plan: the plan.

    Returns:
        One row for each section, with what leaves or joins the trunk at its end.
    """
    unit, across = length_unit(plan.rules.units), size_unit(plan.rules.units)
    columns = (
        Column("Part", weight=0.3, strong=True),
        Column("Begins", weight=1.6),
        Column("Ends at", unit, weight=0.3, align="right"),
        Column("Long", unit, weight=0.2, align="right", strong=True),
        Column("Runs", weight=2.0),
        Column("Openings", weight=1.6),
        Column("At its end", weight=1.6),
        Column("Diameter", across, weight=0.2, align="right"),
        Column("Bends to / corners leave", across, weight=0.3, align="right"),
        Column("Bay deep", across, weight=0.1, align="right"),
        Column("Clips", weight=0.1, align="right"),
        Column("Loaded wires", weight=0.1, align="right"),
        Column("Taped", weight=0.1, align="box"),
    )
    units = plan.rules.units
    looms = [loom for loom in plan.looms if len(loom.runs) > 1]
    alone = [loom for loom in plan.looms if len(loom.runs) == 1]
    checks = {
        (one.loom, one.section): one
        for one in bundle_checks(
            plan.looms, {run.id: run for run in plan.runs}, plan.bays, plan.rules.bend_counts_above_deg
        )
    }
    groups = [Group(_heading(loom, units), _rows(loom, plan, checks), loom.colour) for loom in looms]
    groups.append(Group("Pulled on their own", tuple(row for loom in alone for row in _rows(loom, plan, checks))))
    loose = tuple(run.id for run in plan.runs if not run.loom)
    notes = [
        measured_note(plan),
        "Each loom is listed from where it begins: first its trunk, then its branches in the order in which they leave "
        "it. Ends at counts along the trunk from its beginning, to the nearest, as on the loom's board; long is rounded up. At "
        "its end: which runs leave or join there, as one walks along the trunk from its beginning.",
        "Diameter is that of the bundle without sleeve or tape, rounded up. Loaded wires are the conductors that "
        "warm each other. One cable alone needs no tape.",
        f"Clips: one at the beginning of each section, then no farther apart than "
        f"{length(plan.rules.support_spacing_m, units)}. Tack a "
        f"loom on its board every {length(TACK_M, units)}, on both sides of each breakout, and every "
        f"{length(TACK_IN_BENDS_M, units)} in bends (common practice, no source).",
        "Bends to: the least radius of the cable in it that bends least; corners leave: the radius that its tightest corner has "
        "room for. NO: do not tape it there for a hand's breadth, or lay it in a wider sweep. Bay deep: room behind the lining.",
    ]
    notes += by_hand_notes(plan)
    if loose:
        notes.append(f"Draw cords that lie in no loom, see the spares: {joined(loose)}.")
    return Table("Looms, section by section", columns, groups_of(*groups), tuple(notes), follows=True)


def by_hand_notes(plan: Plan) -> tuple[str, ...]:
    """What a person asked of the looms, in a sentence; none if nobody did."""
    wishes = plan.loom_wishes
    looms = {run: loom.id for loom in plan.looms for run in loom.runs}
    parts = [
        f"{joined(runs)} together{'' if len({looms.get(run) for run in runs}) == 1 else ', as far as they share a stretch'}"
        for runs in wishes.together
    ]
    parts += [" apart from ".join(joined(runs) for runs in sets) for sets in wishes.apart]
    parts += [f"{counted(count, 'spare')} for {zone}" for zone, count in wishes.spares.items()]
    return (f"Asked for by hand: {'; '.join(parts)}.",) if parts else ()


def part_begins(loom: PlanLoom, section: LoomSection) -> str:
    """Where a part of a loom begins, in a few words.

    Args:
        loom: the loom.
        section: one of its sections.
    """
    if section.begins:
        return section.begins
    return "the trunk's beginning" if section == loom.sections[0] else "goes on"


def part_ends_m(loom: PlanLoom, section: LoomSection) -> float | None:
    """How far along the trunk from its beginning a part of it ends [m]; None for a part of a branch."""
    return round(section.to_m - loom.begins_m, 4) if section.branch == 0 else None


def _heading(loom: PlanLoom, units: Units) -> str:
    return (
        f"Loom {loom.id}, {loom.zone}: {counted(len(loom.runs), 'run')}, trunk {length(loom.trunk_m, units)}, "
        f"widest {size_up(loom.diameter_mm, units)}, {colour_name(loom.colour)} in the pictures"
    )


def _rows(loom: PlanLoom, plan: Plan, checks: Mapping[tuple[str, str], BundleCheck]) -> tuple[Row, ...]:
    """Along the trunk, then branch by branch; each breakout stands with the section that it ends."""
    return tuple(_section(loom, section, plan, checks.get((loom.id, section.name))) for section in loom.sections)


def _section(loom: PlanLoom, section: LoomSection, plan: Plan, check: BundleCheck | None) -> Row:
    units, spacing_m = plan.rules.units, plan.rules.support_spacing_m
    ends_m = part_ends_m(loom, section)
    ending = [one for one in loom.breakouts if abs(one.at_m - section.to_m) < _SAME_M] if section.branch == 0 else []
    return (
        section.name,
        part_begins(loom, section) if len(loom.sections) > 1 else NOTHING,
        NOTHING if ends_m is None else bare_place(ends_m, units),
        bare_length(section.to_m - section.from_m, units),
        joined(section.runs),
        joined(section.openings),
        "\n".join(f"{one.place}: {leave_and_join(one)}" if one.place else leave_and_join(one) for one in ending),
        bare_thick(section.diameter_mm, units),
        _bends(check, units),
        _depth(check, units),
        str(clips_along(section.to_m - section.from_m, spacing_m)) if check is not None else NOTHING,
        str(section.loaded_conductors),
        "" if len(section.runs) > 1 else NOTHING,
    )


def _bends(check: BundleCheck | None, units: Units) -> str:
    """The radius that a bundle needs and the one that its corners leave, and NO where that is less."""
    if check is None:
        return NOTHING
    room = NOTHING if check.room_mm is None else bare(radius_down(check.room_mm, units))
    return glued(f"{bare(radius_up(check.needs_mm, units))} / {room}{'' if check.bends else ' NO'}")


def _depth(check: BundleCheck | None, units: Units) -> str:
    if check is None or check.depth_mm is None:
        return NOTHING
    return glued(f"{bare_room(check.depth_mm, units)}{'' if check.fits else ' NO'}")


def leave_and_join(breakout: Breakout) -> str:
    """Who leaves a loom and who joins it.

    Args:
        breakout: the place.

    Returns:
        ``C4, C7 leave; D3 joins``.
    """
    leaving = tuple(run for run in breakout.runs if run not in breakout.joining)
    parts = []
    for runs, one, more in ((leaving, "leaves", "leave"), (breakout.joining, "joins", "join")):
        if runs:
            parts.append(f"{joined(runs)} {one if len(runs) == 1 else more}")
    return "; ".join(parts) or NOTHING
