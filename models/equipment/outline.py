"""The van's inside as a few numbers: enough to place a thing roughly, and to tell what is near what."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from pydantic import ValidationError

from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length
from ribway.models.tape import Tape

DEFAULT_PRESET = "medium-high"
_SIZES = ("length", "floor_width", "waist_width", "waist_height", "roof_edge_width", "roof_edge_height", "rib_width")
_DOOR_MARGIN_M, _ARCH_MARGIN_M, _RIB_MARGIN_M = 0.10, 0.06, 0.03
_ARCH_WIDTH_M = 0.24
_RAIL_M = 0.0275  # half the face of the waist rail; common practice, no source


@dataclass(frozen=True)
class Patch:
    """A rectangle of a wall where nothing can be fitted.

    Attributes:
        wall: left, right, roof or floor.
        low: its corner nearest to datum and floor: distance back, and height or distance to the left [m].
        high: the opposite corner [m].
    """

    wall: str
    low: tuple[float, float]
    high: tuple[float, float]

    def holds(self, wall: str, back_m: float, across_m: float) -> bool:
        """Whether a point lies in it.

        Args:
            wall: the point's wall.
            back_m: distance back from the datum [m].
            across_m: height above the floor, on roof and floor the distance to the left [m].
        """
        inside = self.low[0] < back_m < self.high[0] and self.low[1] < across_m < self.high[1]
        return wall == self.wall and inside


@dataclass(frozen=True)
class Outline:
    """The van's inside.

    Attributes:
        front_m: distance back of the foremost place, negative if the datum lies behind the cargo floor's front edge [m].
        length_m: distance back of the rear sill from the datum [m].
        half_floor_m, half_waist_m, half_roof_m: half widths [m].
        edge_m: height of the roof edge above the floor [m].
        patches: doors, windows, wheel arches, ribs, bows, rails and keep-outs.
    """

    front_m: float
    length_m: float
    half_floor_m: float
    half_waist_m: float
    half_roof_m: float
    edge_m: float
    patches: tuple[Patch, ...]


@cache
def presets() -> dict[str, dict[str, str]]:
    """What each preset measures, by its name; lengths in metres as text."""
    text = (files("ribway.models.equipment") / "presets.csv").read_text(encoding="utf-8")
    return {row["preset"]: row for row in csv.DictReader(text.splitlines(), strict=True)}


def outline_of(vehicle: object) -> Outline | None:
    """The outline of a project's vehicle.

    Args:
        vehicle: the raw ``vehicle`` part of a project file; what is malformed in it is taken from the preset, since the
            file's own check finds it.

    Returns:
        The outline, or None for a mesh file, whose size is not known here.
    """
    said = vehicle if isinstance(vehicle, Mapping) else {}
    if said.get("preset") is None and said.get("mesh") is not None:
        return None
    name = said.get("preset")
    row = presets()[name if isinstance(name, str) and name in presets() else DEFAULT_PRESET]
    given = said.get("parameters")
    measured: Mapping[str, Any] = given if isinstance(given, Mapping) else _by_tape(said.get("tape"))
    size = {key: _length(measured.get(key), float(row[key])) for key in _SIZES}
    datum = said.get("datum")
    forward_m = _length(datum.get("forward") if isinstance(datum, Mapping) else None, 0.0)
    patches = [
        *_features(row, measured, size["roof_edge_height"]),
        *_members(row, measured, size),
        *_keep_outs(said.get("keep_outs"), forward_m),
    ]
    return Outline(
        front_m=-forward_m,
        length_m=size["length"] - forward_m,
        half_floor_m=size["floor_width"] / 2,
        half_waist_m=size["waist_width"] / 2,
        half_roof_m=size["roof_edge_width"] / 2,
        edge_m=size["roof_edge_height"],
        patches=tuple(
            Patch(one.wall, (one.low[0] - forward_m, one.low[1]), (one.high[0] - forward_m, one.high[1]))
            for one in patches
        ),
    )


def _by_tape(lines: object) -> dict[str, Any]:
    """What was read off the van with a tape, under the names of a preset's parameters; numbers are metres."""
    try:
        tape = Tape.model_validate(lines)
    except ValidationError:
        return {}
    found: dict[str, Any] = {key: getattr(tape, key) for key in _SIZES if key != "rib_width"}
    found["rib_width"] = tape.rib.face_width
    found["rib_stations_left"] = list(tape.ribs_left)
    found["rib_stations_right"] = list(tape.rib_stations_right)
    found["bow_stations"] = list(tape.bows or tape.ribs_left)
    found["side_door"] = tape.side_door.model_dump() if tape.side_door else None
    arch = tape.wheel_arch.model_dump(exclude_none=True) if tape.wheel_arch else None
    found["wheel_arch"] = {"width": _ARCH_WIDTH_M, **arch} if arch else None
    if tape.windows is not None:
        found["windows"] = [window.model_dump() for window in tape.windows]
    return found


def _length(text: object, otherwise: float) -> float:
    if isinstance(text, int | float) and not isinstance(text, bool):
        return float(text)
    try:
        return parse_length(text, allow_negative=True) if text is not None else otherwise
    except SpellingError:
        return otherwise


def _features(row: Mapping[str, str], measured: Mapping[str, Any], edge_m: float) -> list[Patch]:
    """Door, wheel arches and windows, with the room round them that nobody fits a thing in."""
    door, arch = (
        _group(row, measured, "side_door", ("side", "front", "rear")),
        _group(row, measured, "wheel_arch", ("front", "length", "height", "width")),
    )
    found: list[Patch] = []
    if door:
        side, front, rear = str(door[0]), _metres(door[1]), _metres(door[2])
        found.append(Patch(side, (front - _DOOR_MARGIN_M, -1.0), (rear + _DOOR_MARGIN_M, edge_m + 1.0)))
    if arch:
        front, long, high, wide = (_metres(value) for value in arch)
        low, back = front - _ARCH_MARGIN_M, front + long + _ARCH_MARGIN_M
        found += [Patch(side, (low, -1.0), (back, high + _ARCH_MARGIN_M)) for side in ("left", "right")]
        half = _metres(row["floor_width"]) / 2
        found.append(Patch("floor", (low, half - wide - _ARCH_MARGIN_M), (back, 9.0)))
        found.append(Patch("floor", (low, -9.0), (back, wide + _ARCH_MARGIN_M - half)))
    for wall, *edges in _windows(row, measured):
        front, rear, bottom, top = (_metres(edge) for edge in edges)
        margin = _DOOR_MARGIN_M
        found.append(Patch(str(wall), (front - margin, bottom - margin), (rear + margin, top + margin)))
    return found


def _members(row: Mapping[str, str], measured: Mapping[str, Any], size: Mapping[str, float]) -> list[Patch]:
    """Ribs, bows and waist rails: a cable that ends on one of them would have to run through it."""
    half = size["rib_width"] / 2 + _RIB_MARGIN_M
    stations = {side: _stations(row, measured, f"rib_stations_{side}") for side in ("left", "right")}
    stations["roof"] = _stations(row, measured, "bow_stations") or stations["left"]
    found = [Patch(wall, (at - half, -9.0), (at + half, 9.0)) for wall, places in stations.items() for at in places]
    rail, end = _RAIL_M + _RIB_MARGIN_M, size["length"] + 1.0
    low, high = size["waist_height"] - rail, size["waist_height"] + rail
    return [*found, *(Patch(wall, (-1.0, low), (end, high)) for wall in ("left", "right"))]


def _stations(row: Mapping[str, str], measured: Mapping[str, Any], key: str) -> list[float]:
    said = measured.get(key)
    return [_metres(one) for one in (said if isinstance(said, list) else row.get(key, "").split())]


def _group(row: Mapping[str, str], measured: Mapping[str, Any], key: str, parts: tuple[str, ...]) -> list[object]:
    """The values of a group, as the project says them or else as the preset has them; empty if there is none."""
    if key not in measured:
        return list(row[key].split())
    said = measured[key]
    return [said.get(part) for part in parts] if isinstance(said, Mapping) else []


def _windows(row: Mapping[str, str], measured: Mapping[str, Any]) -> list[list[object]]:
    said = measured.get("windows")
    if isinstance(said, list):
        parts = ("side", "front", "rear", "bottom", "top")
        return [[one.get(part) for part in parts] for one in said if isinstance(one, Mapping)]
    return [list(one.split()) for one in row["windows"].split("|")]


def _metres(value: object) -> float:
    """A bare number is a preset's, in metres; text with a unit is the project's."""
    try:
        return float(str(value))
    except ValueError:
        return _length(value, 0.0)


def _keep_outs(entries: object, forward_m: float) -> list[Patch]:
    found = []
    for entry in entries if isinstance(entries, list) else []:
        corners = [entry.get(key) for key in ("corner", "opposite")] if isinstance(entry, Mapping) else []
        points = [_point(corner) for corner in corners if isinstance(corner, Mapping)]
        if len(points) == 2 and all(point is not None for point in points):
            (wall, *a), (_, *b) = [point for point in points if point is not None]
            margin = _ARCH_MARGIN_M
            low = (min(a[0], b[0]) - margin + forward_m, min(a[1], b[1]) - margin)
            high = (max(a[0], b[0]) + margin + forward_m, max(a[1], b[1]) + margin)
            found.append(Patch(wall, low, high))
    return found


def _point(corner: Mapping[str, Any]) -> tuple[str, float, float] | None:
    wall = corner.get("wall")
    if wall in ("left", "right"):
        return wall, _length(corner.get("back"), 0.0), _length(corner.get("up"), 0.0)
    if wall in ("roof", "floor"):
        return (
            wall,
            _length(corner.get("back"), 0.0),
            _length(corner.get("left"), 0.0) - _length(corner.get("right"), 0.0),
        )
    return None
