"""Plain geometry of polylines, written for the audit alone."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.results import PlanRun
from ribway.models.plan.shell import Point

Array = NDArray[np.float64]

ROUNDING_M: Final = 0.5e-4 * 3.0**0.5
"""How far a saved point may lie from the true one: coordinates are rounded to 0.1 mm."""
REPEAT_M: Final = 1e-6


def as_line(points: Sequence[Point]) -> Array:
    """Points as `(n, 3)` [m]."""
    return np.asarray(points, dtype=np.float64).reshape(-1, 3)


def without_repeats(line: Array) -> Array:
    """The same polyline, each point once where neighbours coincide."""
    if len(line) < 2:
        return line
    keep = np.ones(len(line), dtype=bool)
    keep[1:] = np.linalg.norm(np.diff(line, axis=0), axis=1) > REPEAT_M
    return line[keep]


def length_of(line: Array) -> float:
    """Length of a polyline [m]."""
    step = line[1:] - line[:-1]
    return float(np.sqrt((step * step).sum(axis=1)).sum())


def sharp_line(run: PlanRun) -> Array:
    """All legs of a run joined, `(n, 3)` [m]."""
    return without_repeats(np.vstack([as_line(leg.points) for leg in run.legs]))


def turns_deg(line: Array) -> tuple[Array, Array]:
    """Changes of direction and how far rounding of the points can have changed them.

    Args:
        line: `(n, 3)` [m], no repeats.

    Returns:
        `(n - 2,)` angles [deg] and `(n - 2,)` their play [deg].
    """
    if len(line) < 3:
        return np.zeros(0), np.zeros(0)
    legs = np.diff(line, axis=0)
    size = np.linalg.norm(legs, axis=1)
    ahead = legs / size[:, None]
    # The half-angle form keeps small angles exact, where the arc cosine loses half its digits.
    apart = np.linalg.norm(ahead[1:] - ahead[:-1], axis=1)
    together = np.linalg.norm(ahead[1:] + ahead[:-1], axis=1)
    angle = np.degrees(2.0 * np.arctan2(apart, together))
    swing = np.degrees(np.arcsin(np.minimum(1.0, 2.0 * ROUNDING_M / size)))
    return angle, swing[1:] + swing[:-1]


def length_play_m(line: Array) -> float:
    """How much the rounding of its points can have changed a polyline's length [m]."""
    angle, _ = turns_deg(without_repeats(line))
    return float(ROUNDING_M * (2.0 + (2.0 * np.sin(np.radians(angle) / 2.0)).sum()))


def distances_to_line(points: Array, line: Array) -> Array:
    """Distance of each point to a polyline.

    Args:
        points: `(n, 3)` [m].
        line: `(k, 3)` [m].

    Returns:
        `(n,)` [m].
    """
    if len(line) < 2:
        return np.asarray(np.linalg.norm(points - line[:1], axis=1))
    start, along = line[:-1], np.diff(line, axis=0)
    square = np.maximum((along**2).sum(axis=1), 1e-30)
    share = np.clip(((points[:, None] - start) * along).sum(axis=2) / square, 0.0, 1.0)
    foot = start + share[:, :, None] * along
    return np.asarray(np.linalg.norm(points[:, None] - foot, axis=2).min(axis=1))


def distance(a: Iterable[float], b: Iterable[float]) -> float:
    """Distance of two points [m]."""
    return math.dist(tuple(a), tuple(b))
