"""Plain 3D arithmetic for the hand-made sample plan: lengths, corners and rounding of polylines."""

from __future__ import annotations

import math
from itertools import pairwise

Point = tuple[float, float, float]

ARC_PIECES = 12


def minus(a: Point, b: Point) -> Point:
    """The vector from ``b`` to ``a`` [m]."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def along(a: Point, direction: Point, distance_m: float) -> Point:
    """The point at a distance [m] from ``a`` in a unit direction."""
    return (a[0] + direction[0] * distance_m, a[1] + direction[1] * distance_m, a[2] + direction[2] * distance_m)


def unit(a: Point, b: Point) -> Point:
    """Unit direction from ``a`` to ``b``."""
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length, (b[2] - a[2]) / length)


def length_of(points: tuple[Point, ...]) -> float:
    """Length of a polyline [m]."""
    return sum(math.dist(a, b) for a, b in pairwise(points))


def join(legs: list[tuple[Point, ...]]) -> tuple[Point, ...]:
    """One polyline out of legs that meet, doubled points and points on a straight line dropped."""
    points: list[Point] = []
    for leg in legs:
        for point in leg:
            if points and math.dist(points[-1], point) < 1e-9:
                continue
            if len(points) > 1 and turn_at(points[-2], points[-1], point) < 1e-9:
                points.pop()
            points.append(point)
    return tuple(points)


def turn_at(a: Point, b: Point, c: Point) -> float:
    """Change of direction at ``b`` [rad]."""
    u, v = unit(a, b), unit(b, c)
    cosine = sum(p * q for p, q in zip(u, v, strict=True))
    return math.acos(max(-1.0, min(1.0, cosine)))


def turns(points: tuple[Point, ...]) -> list[float]:
    """Changes of direction at the inner points of a polyline [rad]."""
    return [turn_at(*points[i - 1 : i + 2]) for i in range(1, len(points) - 1)]


def rounded_length(points: tuple[Point, ...], radius_m: float) -> float:
    """Length of the polyline with every corner rounded [m]: each corner saves ``2 r tan(t/2) - r t``."""
    saved = sum(2 * radius_m * math.tan(turn / 2) - radius_m * turn for turn in turns(points))
    return length_of(points) - saved


def rounded_line(points: tuple[Point, ...], radius_m: float) -> tuple[Point, ...]:
    """The polyline with every corner replaced by an arc of ``ARC_PIECES`` chords."""
    out: list[Point] = [points[0]]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        turn = turn_at(before, corner, after)
        u, v = unit(before, corner), unit(corner, after)
        start = along(corner, u, -radius_m * math.tan(turn / 2))
        side = (v[0] - u[0] * math.cos(turn), v[1] - u[1] * math.cos(turn), v[2] - u[2] * math.cos(turn))
        normal = (side[0] / math.sin(turn), side[1] / math.sin(turn), side[2] / math.sin(turn))
        for piece in range(ARC_PIECES + 1):
            angle = turn * piece / ARC_PIECES
            ahead = along(start, u, radius_m * math.sin(angle))
            out.append(along(ahead, normal, radius_m * (1 - math.cos(angle))))
    out.append(points[-1])
    return tuple(out)
