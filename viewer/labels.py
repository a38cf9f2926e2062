"""Places names on a picture so that none lies on another, with lines to what they name."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.viewer.meeting import crossings, meetings

Box = tuple[float, float, float, float]
Spot = tuple[float, float]
Values = NDArray[np.float64]

DISTANCES = (10.0, 20.0, 32.0, 46.0, 64.0, 86.0, 112.0, 142.0, 178.0, 220.0, 270.0, 330.0)
DIRECTIONS = 24
GAP = 4.0
CROSSING = 90.0
COVERED_SPOT = 160.0
SPOT_PX = 8.0
BUSY = 0.6
LEAN = 2.0
BUSY_LEADER = 0.25
AT_ONCE = 24


@dataclass(frozen=True)
class Wish:
    """A name that wants a place.

    Args:
        spot: the point it names, in pixels.
        width: of the name's box, in pixels.
        height: of the name's box, in pixels.
        rank: lower ones choose first.
        worth: what its place may cost at most, in pixels of distance; a name that costs more is left out.
    """

    spot: Spot
    width: float
    height: float
    rank: int = 0
    worth: float = math.inf


@dataclass(frozen=True)
class Placed:
    """A name with its place.

    Args:
        wish: number of the wish it fulfils.
        box: left, top, right, bottom in pixels.
        leader: from the box's border to the spot.
    """

    wish: int
    box: Box
    leader: tuple[Spot, Spot]


def overlap(first: Box, second: Box, gap: float = 0.0) -> bool:
    """Whether two boxes share any area.

    Args:
        first: left, top, right, bottom.
        second: left, top, right, bottom.
        gap: how far apart they must be to count as apart.

    Returns:
        True if they overlap or are nearer than the gap.
    """
    return (
        first[0] < second[2] + gap
        and second[0] < first[2] + gap
        and first[1] < second[3] + gap
        and second[1] < first[3] + gap
    )


def _nearest(box: Box, spot: Spot) -> Spot:
    """The point of a box nearest to a spot."""
    return min(max(spot[0], box[0]), box[2]), min(max(spot[1], box[1]), box[3])


def _rays() -> list[tuple[float, float, float, float, float]]:
    """Steps from a spot to a box's upper left corner: dx, dy, shares of the box's width and height, and the cost."""
    rays = []
    for distance in DISTANCES:
        for k in range(DIRECTIONS):
            angle = 2.0 * math.pi * k / DIRECTIONS
            east, south = round(math.cos(angle), 9), round(math.sin(angle), 9)
            cost = distance + LEAN * abs(south)
            rays.append((east * distance, south * distance, east * 0.5 - 0.5, south * 0.5 - 0.5, cost))
    return sorted(rays, key=lambda ray: ray[4])


RAYS = np.array(_rays())


def _candidates(wish: Wish) -> tuple[Values, Values]:
    """Boxes round a spot ``(n, 4)`` and what their distance costs ``(n,)``, the nearest first; sides before above and below."""
    corner = np.array(wish.spot) + RAYS[:, :2] + RAYS[:, 2:4] * (wish.width, wish.height)
    return np.hstack([corner, corner + (wish.width, wish.height)]), RAYS[:, 4]


class _Busy:
    """How much of a box is covered by what should stay seen; sums over boxes in one step."""

    def __init__(self, mask: NDArray[np.bool_] | None) -> None:
        self._mask = mask
        self._sums = None if mask is None else np.pad(mask.astype(np.int64).cumsum(0).cumsum(1), ((1, 0), (1, 0)))

    def in_boxes(self, boxes: Values) -> Values:
        """Covered pixels of each box, per pixel of its height."""
        if self._sums is None:
            return np.zeros(len(boxes))
        tall, wide = self._sums.shape[0] - 1, self._sums.shape[1] - 1
        x0, x1 = (np.clip(boxes[:, i], 0, wide).astype(int) for i in (0, 2))
        y0, y1 = (np.clip(boxes[:, i], 0, tall).astype(int) for i in (1, 3))
        covered = self._sums[y1, x1] - self._sums[y0, x1] - self._sums[y1, x0] + self._sums[y0, x0]
        found: Values = covered / np.maximum(boxes[:, 3] - boxes[:, 1], 1.0)
        return found

    def on_line(self, line: tuple[Spot, Spot]) -> float:
        """Covered pixels along a line."""
        if self._mask is None:
            return 0.0
        count = int(max(abs(line[1][0] - line[0][0]), abs(line[1][1] - line[0][1]))) + 1
        x = np.linspace(line[0][0], line[1][0], count).astype(int).clip(0, self._mask.shape[1] - 1)
        y = np.linspace(line[0][1], line[1][1], count).astype(int).clip(0, self._mask.shape[0] - 1)
        return float(np.count_nonzero(self._mask[y, x]))


def _corners(boxes: Sequence[Box]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Upper left and lower right corners of boxes, each with the gap that is kept round it, ``(n, 2)``."""
    corners = np.array(boxes, dtype=np.float64).reshape(-1, 4)
    return corners[:, :2] - GAP, corners[:, 2:] + GAP


def place_labels(
    wishes: Sequence[Wish],
    area: Box,
    taken: Sequence[Box] = (),
    busy: NDArray[np.bool_] | None = None,
) -> tuple[Placed, ...]:
    """Gives each name the cheapest free place near its spot: near, off the cables, its line crossing nothing.

    Args:
        wishes: the names.
        area: left, top, right, bottom within which all must lie.
        taken: boxes that nothing may lie on.
        busy: ``(height, width)`` pixels better left uncovered.

    Returns:
        Placed names in the order of the wishes; a name for which there is no room, or none worth it, is left out.
    """
    covered = _Busy(busy)
    boxes: list[Box] = list(taken)
    spots = np.array([wish.spot for wish in wishes]).reshape(-1, 2)
    leaders: list[tuple[Spot, Spot]] = []
    placed: list[Placed] = []
    for number in sorted(range(len(wishes)), key=lambda i: (wishes[i].rank, i)):
        box = _cheapest(wishes[number], area, boxes, leaders, spots, covered)
        if box is None:
            continue
        boxes.append(box)
        leaders.append((_nearest(box, wishes[number].spot), wishes[number].spot))
        placed.append(Placed(number, box, leaders[-1]))
    return tuple(sorted(placed, key=lambda one: one.wish))


def _cheapest(
    wish: Wish,
    area: Box,
    taken: Sequence[Box],
    leaders: Sequence[tuple[Spot, Spot]],
    spots: Values,
    covered: _Busy,
) -> Box | None:
    """The cheapest free place for one name, the nearest of equals; None if there is none worth it."""
    every, distance = _candidates(wish)
    low, high = _corners(taken)
    inside = (every[:, :2] >= area[:2]).all(axis=1) & (every[:, 2:] <= area[2:]).all(axis=1)
    every, distance = every[inside], distance[inside]
    spot = np.array(wish.spot)
    others = np.array(leaders, dtype=np.float64).reshape(-1, 4)
    walls = np.array(taken, dtype=np.float64).reshape(-1, 4)
    best, found = wish.worth, None
    # A few at a time: most names find their place near, and what lies farther cannot be cheaper than it is far.
    for first in range(0, len(every), AT_ONCE):
        near = distance[first : first + AT_ONCE]
        if near[0] >= best:
            break
        boxes = every[first : first + AT_ONCE]
        under = ((low < boxes[:, None, 2:]) & (high > boxes[:, None, :2])).all(axis=2)
        free = ~np.any(under, axis=1) & (near < best)
        boxes, near = boxes[free], near[free]
        if not len(boxes):
            continue
        cost = near + BUSY * covered.in_boxes(boxes)
        lines = np.hstack([np.clip(spot, boxes[:, :2], boxes[:, 2:]), np.broadcast_to(spot, (len(boxes), 2))])
        met = crossings(lines, others).sum(axis=1) + meetings(others, boxes).sum(axis=0)
        met += meetings(lines, walls).sum(axis=1)
        reach = (spots > boxes[:, None, :2] - SPOT_PX) & (spots < boxes[:, None, 2:] + SPOT_PX)
        cost += CROSSING * met + COVERED_SPOT * reach.all(axis=2).sum(axis=1)
        cheapest: list[int] = []
        for i in np.argsort(cost, kind="stable"):
            if cost[i] >= best:
                break  # what lies under the line only makes it dearer
            x, y, x_end, y_end = map(float, lines[i])
            whole = float(cost[i]) + BUSY_LEADER * covered.on_line(((x, y), (x_end, y_end)))
            if whole < best or (cheapest and whole == best and i < cheapest[0]):
                best, cheapest = whole, [int(i)]
        if cheapest:
            left, top, right, bottom = map(float, boxes[cheapest[0]])
            found = (left, top, right, bottom)
    return found
