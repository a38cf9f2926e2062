"""Which way a flat cable lies: its broad side along the wall that it is nearest to."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ribway.viewer.frames import tangents

Points = NDArray[np.float64]

CORNER_POWER = 16.0
"""How sharply the walls take over from one another: a cable 5 % off a wall lies on it, one in a corner half turned."""
STEEP = 0.3


def outward(points: Points, low: Points, high: Points) -> Points:
    """The direction out through the wall that is nearest, turning smoothly from one wall to the next.

    Args:
        points: ``(n, 3)`` places inside a box [m].
        low: ``(3,)`` the box's least corner [m].
        high: ``(3,)`` the box's greatest corner [m].

    Returns:
        ``(n, 3)`` unit vectors; up where a place is in the very middle.
    """
    half = np.maximum((high - low) / 2.0, 1e-9)
    share = np.clip((points - (low + high) / 2.0) / half, -1.0, 1.0)
    lean = np.sign(share) * np.abs(share) ** CORNER_POWER
    lean = lean + np.array([0.0, 0.0, 1e-12])
    size = np.linalg.norm(lean, axis=1, keepdims=True)
    unit: Points = lean / np.maximum(size, 1e-15)
    return unit


def thin_sides(points: Points, low: Points, high: Points) -> Points:
    """Across which direction a flat cable is thin, all along its curve.

    Where the cable runs straight at a wall there is no such side of its own: there it keeps the side it had before.

    Args:
        points: ``(n, 3)`` the curve without repeats, n >= 2 [m].
        low: ``(3,)`` least corner of the van's inside [m].
        high: ``(3,)`` greatest corner of the van's inside [m].

    Returns:
        ``(n, 3)`` unit vectors, each at right angles to the curve.
    """
    return np.frombuffer(_thin_sides(points.tobytes(), low.tobytes(), high.tobytes())).reshape(-1, 3)


@lru_cache(maxsize=1024)
def _thin_sides(point_bytes: bytes, low_bytes: bytes, high_bytes: bytes) -> bytes:
    """The sides as bytes of float64: kept, since of a plan that is made again most cables lie as they lay."""
    points, low, high = np.frombuffer(point_bytes).reshape(-1, 3), np.frombuffer(low_bytes), np.frombuffer(high_bytes)
    along = tangents(points)
    wanted = outward(points, low, high)
    flat = _square(wanted, along)
    size = np.linalg.norm(flat, axis=1)
    told = np.flatnonzero(size >= STEEP)
    if len(told) == 0:
        told = np.array([int(np.argmax(size))])
    # Outward from every place that tells its side, to the ones between that do not.
    nearest = told[np.argmin(np.abs(np.arange(len(points))[:, None] - told[None]), axis=1)]
    return _across(flat[nearest], along).tobytes()


def _across(side: Points, along: Points) -> Points:
    """`(n, 3)` directions, each turned to be at right angles to another; any such one if it has none of its own."""
    turned = _square(side, along)
    lost = np.linalg.norm(turned, axis=1) < 1e-9
    turned[lost] = _square(np.eye(3)[np.argmin(np.abs(along[lost]), axis=1)], along[lost])
    unit: Points = turned / np.linalg.norm(turned, axis=1, keepdims=True)
    return unit


def _square(side: Points, along: Points) -> Points:
    """What of each direction is at right angles to another, a unit vector."""
    turned: Points = side - np.einsum("ij,ij->i", side, along)[:, None] * along
    return turned
