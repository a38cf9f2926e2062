"""From what a person said of a place to a place of the project, with how far off a rough one may be."""

from __future__ import annotations

import hashlib
import itertools
import math
from dataclasses import dataclass

from ribway.models.equipment.outline import Outline
from ribway.models.equipment.place_text import SaidPlace
from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length

Span = tuple[float, float]

END_M = 0.12
"""Kept from the ends of a wall: sill, header and rear pillars are there. Common practice, no source."""
EDGE_M = 0.22
"""Kept from the edges of roof and floor: roof-edge rail and sill are there. Common practice, no source."""
STEP_M = 0.05
SPREAD = 0.5
"""Share of a region over which things with the same rough place are spread, so that no two lie on one point."""


@dataclass(frozen=True)
class Resolved:
    """A place of the project.

    Attributes:
        at: the place as the project file gives it: text with units.
        error_m: how far off it may be [m]; 0 if it was given by the tape.
    """

    at: dict[str, str]
    error_m: float = 0.0


def resolve(
    said: SaidPlace, outline: Outline | None, name: str, stand_off: str = "", arm_m: float | None = None
) -> Resolved:
    """Turn what was said into a place.

    Args:
        said: the place as it was said.
        outline: the van; None if its size is not known.
        name: of the thing: things at the same rough place are spread by it, always alike.
        stand_off: how far off the metal the wire ends, text; empty if not said.
        arm_m: length of one arm measure [m].

    Returns:
        The place; a rough one with the distance to the farthest point that the words could mean.

    Raises:
        SpellingError: a rough place in a van of unknown size, or no room anywhere on that wall.
    """
    at = {"wall": said.wall} if said.wall else {}
    at.update(said.lengths)
    rough = said.rough
    error_m = 0.0
    if rough:
        if outline is None:
            message = (
                f"a rough place ({', '.join(rough)} not by the tape) needs a preset: this van comes from a mesh file"
            )
            raise SpellingError(message, " ".join(rough), "distances with their units")
        at, error_m = _placed(said, outline, name, arm_m)
    if stand_off:
        at["stand_off"] = stand_off
    return Resolved(at, error_m)


def _placed(said: SaidPlace, outline: Outline, name: str, arm_m: float | None) -> tuple[dict[str, str], float]:
    """Take the point of the region that the words mean which is nearest to its spread middle and free."""
    along, across = _along_span(said, outline, arm_m), _across_span(said, outline, arm_m)
    wanted = tuple(_spread(span, f"{name} {axis}") for axis, span in enumerate((along, across)))
    point = _nearest_free(said.wall, wanted, along, across, outline)
    if point is None:
        # The words mean a door or a window: the nearest free place on the same wall, with the error grown to it.
        whole: Span = (outline.front_m + END_M, outline.length_m - END_M)
        point = _nearest_free(said.wall, wanted, whole if along[0] < along[1] else along, across, outline)
    if point is None:
        raise SpellingError(
            f"there is no room on the {said.wall} there (door, window or wheel arch)", said.wall, "another place"
        )
    error_m = max(math.dist(point, corner) for corner in itertools.product(along, across))
    at = {"wall": said.wall, **said.lengths}
    if said.wall != "bulkhead":
        at.setdefault("back", _text(point[0]))
    if said.wall in ("left", "right", "bulkhead") and "up" not in at:
        at["up"] = _text(point[1] if said.wall != "bulkhead" else point[0])
    if said.wall not in ("left", "right") and not {"left", "right"} & set(said.lengths):
        at["left" if point[1] >= 0 else "right"] = _text(abs(point[1]))
    return at, math.ceil(error_m * 100 - 1e-9) / 100


def _text(metres: float) -> str:
    return f"{metres:.2f} m"


def _given(said: SaidPlace, key: str, arm_m: float | None) -> float | None:
    text = said.lengths.get(key)
    return parse_length(text, arm_m=arm_m) if text is not None else None


def _along_span(said: SaidPlace, outline: Outline, arm_m: float | None) -> Span:
    """Where along the van; on the bulkhead, where in height."""
    if said.wall == "bulkhead":
        return _height_span(said, outline, arm_m)
    back = _given(said, "back", arm_m)
    if back is not None:
        return back, back
    third = (outline.length_m - outline.front_m) / 3
    starts = {"front": 0.0, "middle": 1.0, "back": 2.0}
    if said.along not in starts:
        return outline.front_m + END_M, outline.length_m - END_M
    low = outline.front_m + starts[said.along] * third
    return max(low, outline.front_m + END_M), min(low + third, outline.length_m - END_M)


def _across_span(said: SaidPlace, outline: Outline, arm_m: float | None) -> Span:
    """Where in height on the walls, where across the van elsewhere."""
    if said.wall in ("left", "right"):
        return _height_span(said, outline, arm_m)
    left, right = _given(said, "left", arm_m), _given(said, "right", arm_m)
    if left is not None or right is not None:
        at = left if left is not None else -(right or 0.0)
        return at, at
    half = (outline.half_roof_m if said.wall == "roof" else outline.half_floor_m) - EDGE_M
    inner = half / 4
    return {"left": (inner, half), "right": (-half, -inner)}.get(said.side, (-inner, inner))


def _height_span(said: SaidPlace, outline: Outline, arm_m: float | None) -> Span:
    up = _given(said, "up", arm_m)
    if up is not None:
        return up, up
    low, high = END_M, outline.edge_m - END_M
    third = (high - low) / 3
    starts = {"low": 0.0, "waist": 1.0, "up": 2.0}
    if said.height not in starts:
        return low, high
    return low + starts[said.height] * third, low + (starts[said.height] + 1.0) * third


def _spread(span: Span, key: str) -> float:
    """A point near the middle of a span, for the same key always the same one."""
    number = int.from_bytes(hashlib.sha256(key.encode("utf-8")).digest()[:4], "big") / 2**32
    middle, width = (span[0] + span[1]) / 2, span[1] - span[0]
    return middle + (number - 0.5) * SPREAD * width


def _nearest_free(
    wall: str, wanted: tuple[float, ...], along: Span, across: Span, outline: Outline
) -> tuple[float, float] | None:
    places = [(a, b) for a in _steps(along, wanted[0]) for b in _steps(across, wanted[1])]
    free = [place for place in places if not any(patch.holds(wall, *place) for patch in outline.patches)]
    wanted_point = (wanted[0], wanted[1])
    return min(free, key=lambda place: (round(math.dist(place, wanted_point), 6), place), default=None)


def _steps(span: Span, wanted: float) -> list[float]:
    """Points of a span in steps, the wanted one among them, in whole centimetres."""
    count = int((span[1] - span[0]) / STEP_M) + 1
    inside = min(max(wanted, span[0]), span[1])
    found = {round(span[0] + index * STEP_M, 2) for index in range(count)} if count > 1 else set()
    return sorted(
        {value for value in found if span[0] <= value <= span[1]} | {round(inside, 2) if count > 1 else inside}
    )
