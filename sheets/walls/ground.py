"""What lies under the words of a wall's drawing: bays, keep-outs, a grid to measure by, and which side is which."""

from __future__ import annotations

import math

from ribway.models.lengths import format_feet_inches
from ribway.models.plan.plan import Plan
from ribway.models.printed import Units
from ribway.sheets.drawing.scale import Extent, Flat, Scaled
from ribway.sheets.marks import Box, Face, Mark, Stroke, Text
from ribway.sheets.walls.view import View, wall_outlines

GRID_M = {"metric": 0.5, "feet and inches": 0.6096}
RED = "#a00000"
SKIN, SKIN_LINE, KEEP_OUT = "#efefef", "#9a9a9a", "#f0c4c4"
FINE_M = {"metric": 0.1, "feet and inches": 0.1524}
_GRID_LINE = "#c8c8c8"
_FINE_LINE = "#dcdcdc"
_TICK_PT, _SIDE_PT, _KEEP_OUT_PT = 9.0, 10.0, 9.0


def polygon(points: tuple[Flat, ...], scaled: Scaled, line: float, colour: str, fill: str) -> Stroke:
    """A closed outline on the page.

    Args:
        points: in the plane [m].
        scaled: the scale.
        line: width of the line [pt].
        colour: of the line.
        fill: ``#rrggbb``; empty for none.
    """
    placed = [scaled.at(point) for point in points]
    x, y = placed[0]
    return Stroke(x, y, tuple((a - x, b - y) for a, b in placed[1:]), line, colour, fill, closed=True)


def ground_marks(
    plan: Plan, view: View, extent: Extent, scaled: Scaled, face: Face, above: float = 4.0, fine: bool = False
) -> tuple[Mark, ...]:
    """Bays, keep-outs and grid of a wall.

    Args:
        plan: the plan.
        view: how it is looked at.
        extent: what of it is drawn [m].
        scaled: the scale.
        face: the typeface.
        above: how far over it the word for its upper end stands [pt].
        fine: whether lines a hand's breadth apart stand between those that have numbers.
    """
    outlines = wall_outlines(plan, view.wall)
    marks: list[Mark] = [
        polygon(_clipped(one, extent), scaled, 0.6, SKIN_LINE, SKIN) for one in outlines if _clipped(one, extent)
    ]
    for zone in plan.keep_outs:
        shape = _clipped(tuple(view.flat(point) for point in zone.outline), extent) if zone.wall == view.wall else ()
        if shape:
            marks.append(polygon(shape, scaled, 1.4, RED, KEEP_OUT))
            marks += _keep_out_words([scaled.at(point) for point in shape], face)
    marks += _fine_grid(FINE_M[plan.rules.units], extent, scaled) if fine else []
    marks += _grid(plan.rules.units, view, extent, scaled, face)
    marks += _sides(view, extent, scaled, face, above)
    return tuple(marks)


def _keep_out_words(placed: list[Flat], face: Face) -> list[Mark]:
    across, up = zip(*placed, strict=True)
    for size in (_KEEP_OUT_PT, _KEEP_OUT_PT - 1.0):
        wide = face.measure("KEEP OUT", size, True)
        x, y = (min(across) + max(across)) / 2, (min(up) + max(up)) / 2
        if wide <= max(across) - min(across):
            return [Text(x - wide / 2, y - 0.36 * size, "KEEP OUT", size, True, x - wide, x + wide, RED, give="drop")]
    if wide <= max(up) - min(up):
        return [Text(x + 0.36 * size, y - wide / 2, "KEEP OUT", size, True, x - wide, x + wide, RED, turn=90.0)]
    return []


def _fine_grid(step: float, extent: Extent, scaled: Scaled) -> list[Mark]:
    left, bottom = scaled.at((extent.left, extent.bottom))
    right, top = scaled.at((extent.right, extent.top))
    columns = range(math.ceil(extent.left / step - 1e-6), math.floor(extent.right / step + 1e-6) + 1)
    rows = range(math.ceil(extent.bottom / step - 1e-6), math.floor(extent.top / step + 1e-6) + 1)
    spots_x = [scaled.at((number * step, 0.0))[0] for number in columns]
    spots_y = [scaled.at((0.0, number * step))[1] for number in rows]
    return [
        *(Stroke(x, bottom, ((0.0, top - bottom),), 0.25, _FINE_LINE) for x in spots_x),
        *(Stroke(left, y, ((right - left, 0.0),), 0.25, _FINE_LINE) for y in spots_y),
    ]


def _grid(units: Units, view: View, extent: Extent, scaled: Scaled, face: Face) -> list[Mark]:
    marks: list[Mark] = []
    step = GRID_M[units]
    left, bottom = scaled.at((extent.left, extent.bottom))
    right, top = scaled.at((extent.right, extent.top))
    for number in range(math.ceil(extent.left / step - 1e-6), math.floor(extent.right / step + 1e-6) + 1):
        x = scaled.at((number * step, 0.0))[0]
        zero = number == 0
        marks.append(Stroke(x, bottom, ((0.0, top - bottom),), 1.6 if zero else 0.4, "#000000" if zero else _GRID_LINE))
        text = _tick(abs(number) * step, units)
        wide = face.measure(text, _TICK_PT, zero)
        marks.append(Text(x - wide / 2, bottom - 11.0, text, _TICK_PT, zero, x - wide, x + wide, give="drop"))
    for number in range(math.ceil(extent.bottom / step - 1e-6), math.floor(extent.top / step + 1e-6) + 1):
        y = scaled.at((0.0, number * step))[1]
        zero = number == 0
        marks.append(Stroke(left, y, ((right - left, 0.0),), 1.6 if zero else 0.4, "#000000" if zero else _GRID_LINE))
        text = _tick(abs(number) * step, units)
        wide = face.measure(text, _TICK_PT, zero)
        marks.append(Text(left - wide - 3.0, y - 3.0, text, _TICK_PT, zero, left - wide - 4.0, left, give="drop"))
    return marks


def _tick(m: float, units: Units) -> str:
    return f"{m:g}" if units == "metric" else format_feet_inches(round(m, 4), 4)


def _sides(view: View, extent: Extent, scaled: Scaled, face: Face, above: float) -> list[Mark]:
    left, bottom = scaled.at((extent.left, extent.bottom))
    right, top = scaled.at((extent.right, extent.top))
    spots = (
        (view.sides[0], left, bottom - 24.0, 0.0), (view.sides[1], right, bottom - 24.0, 1.0),
        (view.ends[0], (left + right) / 2, top + above, 0.5), (view.ends[1], (left + right) / 2, bottom - 24.0, 0.5),
    )  # fmt: skip
    marks: list[Mark] = []
    for words, x, y, share in spots:
        wide = face.measure(words, _SIDE_PT, True)
        marks.append(Text(x - share * wide, y, words, _SIDE_PT, True, x - wide, x + wide, give="move"))
    return marks


def _clipped(points: tuple[Flat, ...], extent: Extent) -> tuple[Flat, ...]:
    """An outline cut to a rectangle (Sutherland and Hodgman 1974, Communications of the ACM 17:32-42)."""
    shape = list(points)
    for axis, limit, sign in ((0, extent.left, 1), (0, extent.right, -1), (1, extent.bottom, 1), (1, extent.top, -1)):
        kept: list[Flat] = []
        for here, after in zip(shape, shape[1:] + shape[:1], strict=True):
            inside, next_inside = sign * (here[axis] - limit) >= -1e-9, sign * (after[axis] - limit) >= -1e-9
            if inside:
                kept.append(here)
            if inside != next_inside:
                share = (limit - here[axis]) / (after[axis] - here[axis])
                kept.append((here[0] + share * (after[0] - here[0]), here[1] + share * (after[1] - here[1])))
        shape = kept
        if not shape:
            return ()
    return tuple(shape)


def cross_mark(spot: Flat, size: float, colour: str) -> tuple[Mark, ...]:
    """A cross with a square about it, as it is drawn on metal."""
    x, y = spot
    return (
        Box(x - size / 2, y - size / 2, size, size, "#ffffff", 1.2),
        Stroke(x - size, y, ((2 * size, 0.0),), 1.2, colour),
        Stroke(x, y - size, ((0.0, 2 * size),), 1.2, colour),
    )
