"""Zones: several things at one place, side by side, as far apart as they need and as near as there is room."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from ribway.models.equipment.outline import Outline
from ribway.models.equipment.place_resolve import END_M, Resolved, resolve
from ribway.models.equipment.row import EquipmentRow
from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length

APART_M = 0.10
"""From the middle of one thing to the middle of the next: two sockets fit; common practice, no source."""
_STEP_M = 0.05
_REACH_M = 3.0


def zone_places(
    rows: Sequence[EquipmentRow], outline: Outline | None, arm_m: float | None
) -> Callable[[EquipmentRow], Resolved]:
    """Find the places of all things that are in zones.

    Args:
        rows: all rows of the sheet.
        outline: the van; None if its size is not known, and then a zone's place must be by the tape.
        arm_m: length of one arm measure [m].

    Returns:
        A function that gives a row's place. It raises a SpellingError as `resolve` does, and where a zone has no room
        for all that is in it.
    """
    members: dict[str, list[str]] = {}
    for row in rows:
        if row.place.zone:
            members.setdefault(row.place.zone, []).append(row.id)

    def place_of(row: EquipmentRow) -> Resolved:
        names = members[row.place.zone]
        found = side_by_side(row, len(names), outline, arm_m)[names.index(row.id)]
        return replace(found, at={**found.at, "stand_off": row.stand_off}) if row.stand_off else found

    return place_of


def side_by_side(row: EquipmentRow, count: int, outline: Outline | None, arm_m: float | None) -> tuple[Resolved, ...]:
    """Places in a zone, from the front (on the bulkhead, from the right).

    Each is free of doors, windows, wheel arches and members, and `APART_M` from the next. What the zone's place may be
    off by holds for each of them; where there are several, nobody said which is where, and half the width that they
    take together is added.

    Args:
        row: one of them, with the zone's place.
        count: how many things are in the zone.
        outline: the van.
        arm_m: length of one arm measure [m].

    Returns:
        One place for each.

    Raises:
        SpellingError: a rough place in a van of unknown size, or no room.
    """
    zone = resolve(row.place, outline, row.place.zone, "", arm_m)
    if count == 1:
        return (zone,)
    at = {key: text if key == "wall" else _metres(text, arm_m) for key, text in zone.at.items()}
    axis = "back" if "back" in at else "x" if "x" in at else "left"
    middle = float(at.get("left", 0.0)) - float(at.get("right", 0.0)) if axis == "left" else float(at[axis])
    spots: list[float] = []
    for index in range(2 * int(_REACH_M / _STEP_M)):
        step = (index + 1) // 2 * _STEP_M * (1.0 if index % 2 else -1.0)
        spot = round(middle + step, 2)
        if all(abs(spot - other) > APART_M - 1e-6 for other in spots) and _free(at, axis, spot, outline):
            spots.append(spot)
        if len(spots) == count:
            break
    else:
        message = f"there is no room for {count} things side by side in {row.place.zone}"
        raise SpellingError(message, row.place.zone, "a zone on a wall with more room, or places of their own")
    error_m = zone.error_m + (max(spots) - min(spots)) / 2.0 + APART_M / 2.0
    return tuple(Resolved(_moved(zone.at, axis, spot), round(error_m, 4)) for spot in sorted(spots))


def _metres(text: str, arm_m: float | None) -> float:
    return parse_length(text, arm_m=arm_m, allow_negative=True)


def _free(at: Mapping[str, object], axis: str, spot_m: float, outline: Outline | None) -> bool:
    """Whether nothing stands there, and the wall goes on so far."""
    if outline is None or axis == "x":
        return True
    if axis == "left":
        return abs(spot_m) <= outline.half_floor_m - END_M
    up, left, right = (
        value if isinstance(value := at.get(key, 0.0), float) else 0.0 for key in ("up", "left", "right")
    )
    wall = str(at["wall"])
    across_m = up if wall in ("left", "right") else left - right
    inside = outline.front_m + END_M <= spot_m <= outline.length_m - END_M
    return inside and not any(patch.holds(wall, spot_m, across_m) for patch in outline.patches)


def _moved(at: Mapping[str, str], axis: str, spot_m: float) -> dict[str, str]:
    if axis != "left":
        return {**at, axis: f"{spot_m:.2f} m"}
    kept = {key: text for key, text in at.items() if key not in ("left", "right")}
    return {**kept, "left" if spot_m >= 0.0 else "right": f"{abs(spot_m):.2f} m"}
