"""A roughly placed scan levelled: floor flat, walls alike about the centre line, front at the datum."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.parts import Points
from ribway.router.survey.errors import SurveyError

Array = NDArray[np.float64]
FLOOR_BAND_M = 0.12
WALL_LOW_M, WALL_HIGH_M = 0.15, 0.85
KEEP_M = 0.015
END_M = 0.15
CELL_M = 0.02
ROUNDS = 3
LEAST_POINTS = 200


@dataclass(frozen=True, eq=False)
class Level:
    """How a scan was levelled.

    Args:
        turn: ``(3, 3)`` rotation.
        moved: ``(3,)`` added after it [m].
        taper: half width lost per metre towards the rear.
        has_bulkhead: whether the front is closed by metal.
    """

    turn: Points
    moved: Points
    taper: float
    has_bulkhead: bool

    def __call__(self, points: Points) -> Points:
        """Points ``(n, 3)`` levelled [m]."""
        return np.asarray(points @ self.turn.T + self.moved)


def level(points: Points) -> Level:
    """Level a scan that stands within a few degrees of the van's axes.

    Args:
        points: ``(n, 3)``, x about forward, z about up [m].
    """
    turn, taper = np.eye(3), 0.0
    sides = np.quantile(points[:, 1], [0.01, 0.99])
    moved = np.array([0.0, -float(sides.mean()), 0.0])
    for _ in range(ROUNDS):
        now = points @ turn.T + moved
        up = _floor_height(now[:, 2])
        near = now[np.abs(now[:, 2] - up) < FLOOR_BAND_M]
        a, b, c = plane(near[:, 0], near[:, 1], near[:, 2], inward=0.0)
        step = _small_turn(np.array([-b, -c, 1.0]), np.array([0.0, 0.0, 1.0]))
        turn, moved = step @ turn, step @ moved
        moved = moved - np.array([0.0, 0.0, a])
        now = points @ turn.T + moved
        walls = {}
        for side in (1.0, -1.0):
            band = (now[:, 2] > WALL_LOW_M) & (now[:, 2] < WALL_HIGH_M) & (side * now[:, 1] > 0.3)
            wall = now[band]
            walls[side] = plane(wall[:, 0], wall[:, 2], side * wall[:, 1], inward=1.0)
        yaw = (walls[1.0][1] - walls[-1.0][1]) / 2
        taper = (walls[1.0][1] + walls[-1.0][1]) / 2
        cosine, sine = np.cos(yaw), np.sin(yaw)
        step = np.array([[cosine, sine, 0.0], [-sine, cosine, 0.0], [0.0, 0.0, 1.0]])
        turn, moved = step @ turn, step @ moved
        moved = moved - np.array([0.0, (walls[1.0][0] - walls[-1.0][0]) / 2, 0.0])
    now = points @ turn.T + moved
    front, closed = _front(now)
    moved = moved - np.array([front, 0.0, 0.0])
    return Level(turn, moved, max(0.0, taper), closed)


def plane(u: Array, v: Array, w: Array, inward: float) -> tuple[float, float, float]:
    """A plane w = a + b u + c v that ignores what stands off it.

    Args:
        u, v, w: coordinates of points [m].
        inward: 1 if things stand on its low side (ribs on a wall), so that it is sought among the highest points.

    Returns:
        a [m], b, c.

    Raises:
        SurveyError: there is hardly anything to lay a plane through.
    """
    if len(w) < LEAST_POINTS:
        raise SurveyError(
            "floor and both walls of a scan have to be seen: scan the whole inside, or correct up and forward"
        )
    columns = np.stack([np.ones_like(u), u, v], axis=1)
    keep = w > np.quantile(w, 0.5) if inward else np.ones(len(w), dtype=bool)
    found = np.zeros(3)
    for within in (8 * KEEP_M, 4 * KEEP_M, 2 * KEEP_M, KEEP_M, KEEP_M, KEEP_M):
        found = np.linalg.lstsq(columns[keep], w[keep], rcond=None)[0]
        off = w - columns @ found
        keep = np.abs(off) < within
        if keep.sum() < LEAST_POINTS / 4:
            break
        if inward and within > KEEP_M:
            keep &= off > -within / 2
    return float(found[0]), float(found[1]), float(found[2])


def _floor_height(z: Array) -> float:
    """The fullest level in the lower third."""
    low, high = np.quantile(z, [0.001, 0.999])
    count, edges = np.histogram(z, bins=np.arange(low - CELL_M, low + (high - low) / 3, CELL_M))
    best = int(np.argmax(count))
    return float((edges[best] + edges[best + 1]) / 2)


def _small_turn(from_direction: Array, to_direction: Array) -> Array:
    """The least rotation that takes one direction to another near it."""
    a = from_direction / np.linalg.norm(from_direction)
    axis, cosine = np.cross(a, to_direction), float(a @ to_direction)
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    return np.asarray(np.eye(3) + cross + cross @ cross / (1 + cosine))


def _front(points: Points) -> tuple[float, bool]:
    """Where the front is, and whether metal closes it."""
    inner = points[(np.abs(points[:, 1]) < 0.6) & (points[:, 2] > 0.2) & (points[:, 2] < 1.4)]
    if len(inner):
        edge = float(np.quantile(inner[:, 0], 0.999))
        near = inner[inner[:, 0] > edge - END_M]
        cells = np.unique(np.round(near[:, 1:] / 0.1).astype(np.int64), axis=0)
        if len(cells) > 0.6 * 12 * 12:
            return float(np.median(near[:, 0])), True
    floor = points[np.abs(points[:, 2]) < KEEP_M]
    return float(np.quantile(floor[:, 0], 0.999)), False
