"""Words beside a drawing: in columns to its left and right, each with a line to what it is about."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ribway.sheets.drawing.scale import Flat
from ribway.sheets.marks import Box, Face, Frame, Mark, Stroke, Text
from ribway.sheets.wrap import ASCENT, LEADING, fitted, wrap

NAME_PT, LINE_PT = 14.0, 13.0
LEAST_SHRINK = 0.5
_NAME_LINES = 2
_PAD = 4.0


@dataclass(frozen=True)
class Callout:
    """Words about a spot.

    Attributes:
        spot: on the page [pt].
        name: in bold on top.
        lines: below it.
    """

    spot: Flat
    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Placed:
    """A callout in its column.

    Attributes:
        callout: what is said.
        left, top: upper left corner of its words [pt].
        height: of its words [pt].
        end: where its line leaves the words [pt].
    """

    callout: Callout
    left: float
    top: float
    height: float
    end: Flat


def place_callouts(
    callouts: Sequence[Callout], left: Frame, right: Frame, shrink: float, face: Face
) -> tuple[Placed, ...]:
    """Put words into two columns: the left half of the spots to the left, each column from top to bottom, no lines crossing
    within a column.

    Args:
        callouts: what is said.
        left, right: the columns [pt].
        shrink: the letters' size, as a share of the usual.
        face: the typeface.

    Returns:
        The words placed, left column first.
    """
    ordered = sorted(callouts, key=lambda one: (one.spot[0], -one.spot[1]))
    half = (len(ordered) + 1) // 2
    return (
        *_column(ordered[:half], left, True, shrink, face),
        *_column(ordered[half:], right, False, shrink, face),
    )


def shrink_to_fit(callouts: Sequence[Callout], left: Frame, right: Frame, face: Face) -> float:
    """How much smaller the letters must be for all words to fit, 1 if they do."""
    shrink = 1.0
    while shrink > LEAST_SHRINK:
        if _fits(place_callouts(callouts, left, right, shrink, face), left, right):
            break
        shrink -= 0.05
    return shrink


def callout_marks(placed: Sequence[Placed], left: Frame, right: Frame, shrink: float, face: Face) -> tuple[Mark, ...]:
    """Words and lines as marks.

    Args:
        placed: from `place_callouts`.
        left, right: the same columns [pt].
        shrink: the same size.
        face: the typeface.
    """
    marks: list[Mark] = []
    for one in placed:
        across, up = one.callout.spot[0] - one.end[0], one.callout.spot[1] - one.end[1]
        marks.append(Stroke(*one.end, ((across, up),), 0.6, "#555555"))
    for one in placed:
        column = left if one.left < right.left - 1e-6 else right
        top = one.top
        for text, size, bold in _lines(one.callout, column.width, shrink, face):
            marks.append(Text(one.left, top - ASCENT * size, text, size, bold, column.left, column.right))
            top -= LEADING * size
        marks.append(Box(column.left, one.top + _PAD, column.width, 0.0, line=0.4))
    return tuple(marks)


def _lines(callout: Callout, room: float, shrink: float, face: Face) -> list[tuple[str, float, bool]]:
    name, line = NAME_PT * shrink, LINE_PT * shrink
    named = wrap(callout.name, room, name, True, face)
    if len(named) > _NAME_LINES:
        rest = " ".join(named[_NAME_LINES - 1 :])
        named = (*named[: _NAME_LINES - 1], fitted(rest, room, name, True, face))
    lines = [(text, name, True) for text in named]
    return lines + [(text, line, False) for part in callout.lines for text in wrap(part, room, line, False, face)]


def _height(callout: Callout, room: float, shrink: float, face: Face) -> float:
    return sum(LEADING * size for _, size, _ in _lines(callout, room, shrink, face)) + _PAD


def _column(callouts: list[Callout], frame: Frame, is_left: bool, shrink: float, face: Face) -> list[Placed]:
    order = sorted(callouts, key=lambda one: -one.spot[1])
    heights = {id(one): _height(one, frame.width, shrink, face) for one in order}
    spare = max(0.0, frame.height - sum(heights.values())) / max(1, len(order))
    edge = frame.right + _PAD if is_left else frame.left - _PAD

    def placed(these: list[Callout]) -> list[Placed]:
        top, made = frame.top - spare / 2, []
        for one in these:
            height = heights[id(one)]
            made.append(Placed(one, frame.left, top, height, (edge, top - height / 2)))
            top -= height + spare
        return made

    made = placed(order)
    for _ in range(len(order) ** 2):
        crossing = _crossing(made)
        if crossing is None:
            break
        first, second = crossing
        order[first], order[second] = order[second], order[first]
        shorter = placed(order)
        if _total(shorter) >= _total(made) - 1e-9:
            break
        made = shorter
    return made


def _total(made: Sequence[Placed]) -> float:
    return sum(math.dist(one.end, one.callout.spot) for one in made)


def _crossing(made: Sequence[Placed]) -> tuple[int, int] | None:
    for first in range(len(made)):
        for second in range(first + 1, len(made)):
            if _cross(made[first].end, made[first].callout.spot, made[second].end, made[second].callout.spot):
                return first, second
    return None


def _cross(a: Flat, b: Flat, c: Flat, d: Flat) -> bool:
    def side(p: Flat, q: Flat, r: Flat) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


def _fits(placed: Sequence[Placed], left: Frame, right: Frame) -> bool:
    return all(one.top - one.height >= min(left.bottom, right.bottom) - 1e-6 for one in placed)
