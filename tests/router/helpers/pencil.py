"""Shortest routes the slow and plain way: every order of passages is tried, every length is a closed form.

This file knows nothing of the router; it is what the router is held against.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations


@dataclass(frozen=True)
class Spot:
    """A point of a bay: two coordinates along the skin and the distance off it."""

    bay: str
    u: float
    v: float
    off: float


@dataclass(frozen=True)
class Passage:
    """A way from one spot to another, with its own length."""

    name: str
    a: Spot
    b: Spot
    length: float


InBay = Callable[[Spot, Spot], float]


def square(p: Spot, q: Spot) -> float:
    """Along the skin, square to its frame."""
    return abs(p.u - q.u) + abs(p.v - q.v)


def taut(p: Spot, q: Spot) -> float:
    """Along the skin, as the crow flies."""
    return math.hypot(p.u - q.u, p.v - q.v)


@dataclass(frozen=True)
class Route:
    """Length of a route leg by leg (bay, passage, bay ... bay) and the passages it takes."""

    legs: tuple[float, ...]
    names: tuple[str, ...]

    @property
    def length(self) -> float:
        """Sum of the legs."""
        return sum(self.legs)


def shortest(start: Spot, end: Spot, passages: Sequence[Passage], in_bay: InBay, lay: float) -> Route | None:
    """Try every order of passages, each taken at most once, and keep the shortest.

    A stretch from p to q inside a bay costs its length along the skin and what p and q lie above or below the lay depth.
    """
    best: Route | None = None

    def stretch(p: Spot, q: Spot) -> float:
        return in_bay(p, q) + abs(p.off - lay) + abs(q.off - lay)

    def walk(at: Spot, legs: tuple[float, ...], names: tuple[str, ...]) -> None:
        nonlocal best
        if best is not None and sum(legs) >= best.length:
            return
        if at.bay == end.bay:
            whole = Route((*legs, stretch(at, end)), names)
            if best is None or whole.length < best.length:
                best = whole
        for passage in passages:
            if passage.name not in names:
                for into, out in ((passage.a, passage.b), (passage.b, passage.a)):
                    if into.bay == at.bay:
                        walk(out, (*legs, stretch(at, into), passage.length), (*names, passage.name))

    walk(start, (), ())
    return best


Box = tuple[float, float, float, float]


def grid_lengths(room: Box, hole: Box, step: float, start: Spot) -> Callable[[Spot], float]:
    """Square distances from a spot in a rectangle with a rectangular hole, by flooding a grid of squares of one size.

    Exact where all coordinates are multiples of the step: a square path may then run along grid lines.
    """

    def cell(u: float, v: float) -> tuple[int, int]:
        return round(u / step), round(v / step)

    (u0, v0), (u1, v1) = cell(room[0], room[1]), cell(room[2], room[3])
    (a0, b0), (a1, b1) = cell(hole[0], hole[1]), cell(hole[2], hole[3])
    first = cell(start.u, start.v)
    steps = {first: 0}
    queue = deque([first])
    while queue:
        i, j = queue.popleft()
        for there in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)):
            inside = u0 <= there[0] <= u1 and v0 <= there[1] <= v1
            barred = a0 < there[0] < a1 and b0 < there[1] < b1
            if inside and not barred and there not in steps:
                steps[there] = steps[i, j] + 1
                queue.append(there)
    return lambda spot: steps[cell(spot.u, spot.v)] * step


def taut_round_box(p: Spot, q: Spot, hole: Box) -> float:
    """Taut distance past a rectangle: straight if it is not in the way, else by way of one, two or three corners."""
    corners = [(hole[i], hole[j]) for i in (0, 2) for j in (1, 3)]
    ends = ((p.u, p.v), (q.u, q.v))
    best = math.inf
    for count in range(4):
        for between in permutations(corners, count):
            chain = [ends[0], *between, ends[1]]
            if not any(_through(a, b, hole) for a, b in pairwise(chain)):
                best = min(best, sum(math.dist(a, b) for a, b in pairwise(chain)))
    return best


def _through(a: tuple[float, float], b: tuple[float, float], hole: Box) -> bool:
    """Whether a segment passes through the open inside of a rectangle (Liang and Barsky's clip)."""
    low, high = 0.0, 1.0
    for k in (0, 1):
        d, near, far = b[k] - a[k], hole[k] - a[k], hole[k + 2] - a[k]
        if abs(d) < 1e-12:
            if near >= -1e-9 or far <= 1e-9:
                return False
            continue
        t = sorted((near / d, far / d))
        low, high = max(low, t[0]), min(high, t[1])
    return high - low > 1e-9
