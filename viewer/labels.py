"""Places names on a picture so that none lies on another, with lines to what they name."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Box = tuple[float, float, float, float]
Spot = tuple[float, float]

DISTANCES = (10.0, 20.0, 32.0, 46.0, 64.0, 86.0, 112.0, 142.0, 178.0, 220.0, 270.0, 330.0)
DIRECTIONS = 24
GAP = 4.0
CROSSING = 90.0
COVERED_SPOT = 160.0
SPOT_PX = 8.0
BUSY = 0.6
LEAN = 2.0
BUSY_LEADER = 0.25


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


RAYS = tuple(_rays())


def _candidates(wish: Wish) -> Iterator[tuple[float, Box]]:
    """Boxes round a spot, the nearest first; right and left before above and below."""
    for dx, dy, wide, tall, cost in RAYS:
        x = wish.spot[0] + dx + wide * wish.width
        y = wish.spot[1] + dy + tall * wish.height
        yield cost, (x, y, x + wish.width, y + wish.height)


def crossing(first: tuple[Spot, Spot], second: tuple[Spot, Spot]) -> bool:
    """Whether two lines cross in their inside.

    Args:
        first: its two ends.
        second: its two ends.

    Returns:
        True if each line's ends lie on different sides of the other.
    """

    def side(a: Spot, b: Spot, c: Spot) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = first, second
    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


def line_meets_box(line: tuple[Spot, Spot], box: Box) -> bool:
    """Whether any of a line lies inside a box (Liang and Barsky's clipping).

    Args:
        line: its two ends.
        box: left, top, right, bottom.

    Returns:
        True if they share more than a border point.
    """
    (x, y), (x_end, y_end) = line
    if max(x, x_end) <= box[0] or min(x, x_end) >= box[2] or max(y, y_end) <= box[1] or min(y, y_end) >= box[3]:
        return False
    start, end = 0.0, 1.0
    for step, low, high in ((x_end - x, box[0] - x, box[2] - x), (y_end - y, box[1] - y, box[3] - y)):
        if abs(step) < 1e-12:
            if low >= 0.0 or high <= 0.0:
                return False
            continue
        near, far = sorted((low / step, high / step))
        start, end = max(start, near), min(end, far)
    return start < end - 1e-9


class _Busy:
    """How much of a box is covered by what should stay seen; sums over boxes in one step."""

    def __init__(self, mask: NDArray[np.bool_] | None) -> None:
        self._mask = mask
        self._sums = None if mask is None else np.pad(mask.astype(np.int64).cumsum(0).cumsum(1), ((1, 0), (1, 0)))

    def in_box(self, box: Box) -> float:
        """Covered pixels, per pixel of the box's height."""
        if self._sums is None:
            return 0.0
        tall, wide = self._sums.shape[0] - 1, self._sums.shape[1] - 1
        x0, x1 = (int(np.clip(v, 0, wide)) for v in (box[0], box[2]))
        y0, y1 = (int(np.clip(v, 0, tall)) for v in (box[1], box[3]))
        covered = self._sums[y1, x1] - self._sums[y0, x1] - self._sums[y1, x0] + self._sums[y0, x0]
        return float(covered) / max(box[3] - box[1], 1.0)

    def on_line(self, line: tuple[Spot, Spot]) -> float:
        """Covered pixels along a line."""
        if self._mask is None:
            return 0.0
        count = int(max(abs(line[1][0] - line[0][0]), abs(line[1][1] - line[0][1]))) + 1
        x = np.clip(np.linspace(line[0][0], line[1][0], count).astype(int), 0, self._mask.shape[1] - 1)
        y = np.clip(np.linspace(line[0][1], line[1][1], count).astype(int), 0, self._mask.shape[0] - 1)
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
        wish = wishes[number]
        low, high = _corners(boxes)
        best: tuple[float, Box] | None = None
        for near, box in _candidates(wish):
            if near >= (wish.worth if best is None else best[0]):
                break
            if box[0] < area[0] or box[1] < area[1] or box[2] > area[2] or box[3] > area[3]:
                continue
            if bool(((low < box[2:]) & (high > box[:2])).all(axis=1).any()):
                continue
            line = (_nearest(box, wish.spot), wish.spot)
            cost = near + BUSY * covered.in_box(box)
            if best is not None and cost >= best[0]:
                continue  # what follows only makes it dearer
            cost += BUSY_LEADER * covered.on_line(line)
            if best is not None and cost >= best[0]:
                continue
            cost += CROSSING * sum(crossing(line, other) for other in leaders)
            cost += CROSSING * sum(line_meets_box(line, other) for other in boxes)
            cost += CROSSING * sum(line_meets_box(other, box) for other in leaders)
            reach = (spots > (box[0] - SPOT_PX, box[1] - SPOT_PX)) & (spots < (box[2] + SPOT_PX, box[3] + SPOT_PX))
            cost += COVERED_SPOT * int(np.count_nonzero(reach.all(axis=1)))
            if cost < (wish.worth if best is None else best[0]):
                best = (cost, box)
        if best is None:
            continue
        boxes.append(best[1])
        leaders.append((_nearest(best[1], wish.spot), wish.spot))
        placed.append(Placed(number, best[1], leaders[-1]))
    return tuple(sorted(placed, key=lambda one: one.wish))
