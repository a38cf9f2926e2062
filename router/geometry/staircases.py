"""Staircases of at most three legs between two points of a plane domain: which fit, and where the middle leg may lie.

Six shapes lead from one point to another with a length of |dx| + |dy|: one leg along x or y, two legs (x first or y
first), and three legs (x-y-x or y-x-y) with the middle leg anywhere in between. The free places of that middle leg are
found exactly: the outer legs reach as far as the boundary lets them, and every edge that enters the strip between them
bars the stretch it covers. A two-legged staircase is the three-legged one with its middle leg at an end.

If any of the six fits, no path of the same length has fewer turns than the best of them, turns at the ends included:
a staircase of four legs or more saves at most one turn at each end and spends at least that many more inside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ribway.router.geometry.plane_domain import Array, BoolArray, IntArray, PlaneDomain, slices

__all__ = [
    "BENDS",
    "FIRST_IS_Y",
    "LAST_IS_Y",
    "Staircases",
    "heading_turns",
    "headings",
    "staircase_points",
    "staircases",
]

X, Y, XY, YX, XYX, YXY = range(6)

BENDS = np.array([0, 0, 1, 1, 2, 2], dtype=np.int64)
"""Turns inside each shape: x, y, xy, yx, xyx, yxy."""

FIRST_IS_Y = np.array([0, 1, 0, 1, 0, 1], dtype=np.int64)
"""Whether each shape's first leg runs along y."""

LAST_IS_Y = np.array([0, 1, 1, 0, 0, 1], dtype=np.int64)
"""Whether each shape's last leg runs along y."""

_TURNS = np.array([[0, 1, 2, 1], [1, 0, 1, 2], [2, 1, 0, 1], [1, 2, 1, 0]], dtype=np.int64)


@dataclass(frozen=True)
class Staircases:
    """Which staircases fit between pairs of points.

    Args:
        fits: `(k, 6)` whether the shape x, y, xy, yx, xyx, yxy lies in the domain.
        split_x: `(k,)` x of the middle leg of xyx, mid of its widest free stretch [m]; nan where it does not fit.
        split_y: `(k,)` y of the middle leg of yxy [m]; nan where it does not fit.
    """

    fits: BoolArray
    split_x: Array
    split_y: Array


def headings(start: Array, end: Array) -> tuple[IntArray, IntArray]:
    """Axis codes of the legs of a staircase: 0 for +x, 1 for +y, 2 for -x, 3 for -y.

    Args:
        start: `(..., 2)` starts [m].
        end: `(..., 2)` ends [m].

    Returns:
        `(...)` codes of its legs along x and of its legs along y.
    """
    along = np.asarray(end) - np.asarray(start)
    return np.where(along[..., 0] >= 0.0, 0, 2), np.where(along[..., 1] >= 0.0, 1, 3)


def heading_turns(before: IntArray, after: IntArray) -> IntArray:
    """Quarter turns between headings; a heading of -1 turns freely.

    Args:
        before: axis codes before the turn.
        after: axis codes after it, of a shape that broadcasts with the first.

    Returns:
        0 for straight on, 1 for 90 deg, 2 for back.
    """
    turns: IntArray = np.where((before < 0) | (after < 0), 0, _TURNS[before, after])
    return turns


def staircases(
    domain: PlaneDomain, nodes: Array, first: IntArray, second: IntArray, sees: BoolArray, straight_tolerance: float
) -> Staircases:
    """Which of the six staircases fit between pairs of nodes, and where their middle legs go.

    Args:
        domain: the domain.
        nodes: `(N, 2)` nodes inside the domain [m].
        first: `(k,)` the node each staircase starts from.
        second: `(k,)` the node each staircase ends at.
        sees: `(k,)` whether the straight segment lies in the domain.
        straight_tolerance: greatest offset across a leg that still counts as straight [m].

    Returns:
        The shapes that fit. Where a single leg does, no other shape is offered.
    """
    split_x, fits_xyx, x_at_start, x_at_end = _middle_legs(domain, nodes, first, second, 0)
    split_y, fits_yxy, y_at_start, y_at_end = _middle_legs(domain, nodes, first, second, 1)
    across = np.abs(nodes[second] - nodes[first])
    one_x = sees & (across[:, 1] <= straight_tolerance) & (across[:, 0] >= across[:, 1])
    one_y = sees & (across[:, 0] <= straight_tolerance) & ~one_x
    longer = ~(one_x | one_y) & (across > 0.0).all(axis=1)
    fits = np.column_stack(
        [
            one_x,
            one_y,
            longer & (x_at_end | y_at_start),
            longer & (x_at_start | y_at_end),
            longer & fits_xyx,
            longer & fits_yxy,
        ]
    )
    return Staircases(fits, split_x, split_y)


def staircase_points(start: Array, end: Array, shape: int, split_x: float, split_y: float) -> Array:
    """Vertices of one staircase.

    Args:
        start: `(2,)` start [m].
        end: `(2,)` end [m].
        shape: 0 to 5 for x, y, xy, yx, xyx, yxy.
        split_x: x of the middle leg of xyx [m].
        split_y: y of the middle leg of yxy [m].

    Returns:
        `(k, 2)` vertices [m], k from 2 to 4.
    """
    (px, py), (qx, qy) = start, end
    between = {
        X: [],
        Y: [],
        XY: [(qx, py)],
        YX: [(px, qy)],
        XYX: [(split_x, py), (split_x, qy)],
        YXY: [(px, split_y), (qx, split_y)],
    }[shape]
    return np.array([start, *between, end], dtype=np.float64)


def _middle_legs(
    domain: PlaneDomain, nodes: Array, first: IntArray, second: IntArray, axis: int
) -> tuple[Array, BoolArray, BoolArray, BoolArray]:
    """Free places of the middle leg of x-y-x (axis 0) or y-x-y (axis 1).

    Returns the mid of the widest free stretch `(k,)` (nan if none), whether there is one, and whether the middle leg
    may lie at the start and at the end.
    """
    edges = domain.edges if axis == 0 else domain.edges[:, [1, 0, 3, 2]]
    places = nodes if axis == 0 else nodes[:, ::-1]
    turned = places[first, 0] > places[second, 0]
    lower, upper = np.where(turned, second, first), np.where(turned, first, second)
    low, high = places[lower], places[upper]
    floor = np.maximum(low[:, 0], _reach(edges, places, -1.0)[upper])
    ceiling = np.minimum(high[:, 0], _reach(edges, places, 1.0)[lower])
    fits = floor <= ceiling
    middle = np.where(fits, 0.5 * (floor + ceiling), np.nan)
    at_low, at_high = fits & (floor <= low[:, 0]), fits & (ceiling >= high[:, 0])
    if not domain.free:
        possible = np.flatnonzero(fits)
        for piece in slices(len(possible), len(edges)):
            part = possible[piece]
            middle[part], low_free, high_free = _widest_gap(edges, low[part], high[part], floor[part], ceiling[part])
            at_low[part] &= low_free
            at_high[part] &= high_free
        fits = ~np.isnan(middle)
    return middle, fits, np.where(turned, at_high, at_low), np.where(turned, at_low, at_high)


def _reach(edges: Array, points: Array, sign: float) -> Array:
    """How far one gets from each point along +x (sign 1) or -x (sign -1) before an edge bars the way, `(k,)` x [m]."""
    reach = np.empty(len(points))
    x0, y0, x1, y1 = edges.T
    rise = np.where(y1 == y0, 1.0, y1 - y0)
    slope = (x1 - x0) / rise
    for part in slices(len(points), len(edges)):
        px, py = points[part, :1], points[part, 1:]
        meets = (y0 > py) != (y1 > py)
        at = x0 + (py - y0) * slope
        ahead = np.where(meets & (sign * (at - px) >= 0.0), sign * at, np.inf)
        reach[part] = sign * ahead.min(axis=1)
    return reach


def _widest_gap(
    edges: Array, low: Array, high: Array, floor: Array, ceiling: Array
) -> tuple[Array, BoolArray, BoolArray]:
    """Mid of the widest stretch from floor to ceiling that no edge bars, and whether either end of the pair is free."""
    x0, y0, x1, y1 = edges.T
    bottom = np.minimum(low[:, 1:], high[:, 1:])
    top = np.maximum(low[:, 1:], high[:, 1:])
    enters = (np.maximum(y0, y1) > bottom) & (np.minimum(y0, y1) < top)
    slope = (x1 - x0) / np.where(y1 == y0, 1.0, y1 - y0)
    level = y1 == y0
    at0 = np.where(level, x0, x0 + (np.clip(y0, bottom, top) - y0) * slope)
    at1 = np.where(level, x1, x0 + (np.clip(y1, bottom, top) - y0) * slope)
    left = np.where(enters, np.minimum(at0, at1), np.inf)
    right = np.where(enters, np.maximum(at0, at1), -np.inf)
    at_low: BoolArray = np.asarray(((left > low[:, :1]) | (right < low[:, :1])).all(axis=1), dtype=np.bool_)
    at_high: BoolArray = np.asarray(((left > high[:, :1]) | (right < high[:, :1])).all(axis=1), dtype=np.bool_)
    order = np.argsort(left, axis=1)
    begins = np.minimum(np.take_along_axis(left, order, axis=1), ceiling[:, None])
    ends = np.maximum.accumulate(np.take_along_axis(right, order, axis=1), axis=1)
    opens = np.maximum(np.hstack([floor[:, None], ends]), floor[:, None])
    closes = np.hstack([begins, ceiling[:, None]])
    width = closes - opens
    best = width.argmax(axis=1)
    rows = np.arange(len(low))
    # Neighbouring edges meet in a vertex: a stretch of no width there is no gap. Real ones are 2e-7 m wide or more.
    fits: BoolArray = np.asarray(width[rows, best] > 1e-9, dtype=np.bool_)
    middle = np.where(fits, 0.5 * (opens[rows, best] + closes[rows, best]), np.nan)
    return middle, at_low, at_high
