"""Frames that travel along a curve without twisting, and points at measured distances along it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Values = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Frames:
    """A frame at each point of a curve.

    Args:
        along: ``(n, 3)`` unit tangents.
        first: ``(n, 3)`` unit normals.
        second: ``(n, 3)`` ``along`` x ``first``.
    """

    along: Points
    first: Points
    second: Points


def without_repeats(points: Points) -> Points:
    """Drops points that lie on the one before.

    Args:
        points: ``(n, 3)`` curve [m].

    Returns:
        ``(k, 3)`` the curve without steps shorter than a micrometre [m].
    """
    if len(points) < 2:
        return points
    step = np.linalg.norm(np.diff(points, axis=0), axis=1)
    kept: Points = points[np.concatenate([[True], step > 1e-6])]
    return kept


def distances_along(points: Points) -> Values:
    """Distance of each point from the first, along the curve.

    Args:
        points: ``(n, 3)`` curve [m].

    Returns:
        ``(n,)`` distances [m].
    """
    return np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])


def refined(points: Points, step_m: float) -> Points:
    """Puts points in between, so that no stretch is longer than a step; every given point is kept.

    Args:
        points: ``(n, 3)`` curve [m].
        step_m: longest stretch [m].

    Returns:
        ``(k, 3)`` the same curve with more points [m].
    """
    step = np.diff(points, axis=0)
    count = np.maximum(1, np.ceil(np.linalg.norm(step, axis=1) / step_m)).astype(int)
    stretch = np.repeat(np.arange(len(step)), count)
    share = (np.arange(len(stretch)) - np.repeat(np.cumsum(count) - count, count)) / count[stretch]
    return np.concatenate([points[stretch] + share[:, None] * step[stretch], points[-1:]])


def nearest_along(points: Points, place: Points, from_m: float = 0.0) -> float:
    """Where along a curve the point nearest to a place lies.

    Args:
        points: ``(n, 3)`` curve [m].
        place: ``(3,)`` the place [m].
        from_m: nothing before this distance is looked at [m].

    Returns:
        Distance along the curve [m].
    """
    at = distances_along(points)
    step = np.diff(points, axis=0)
    length = np.maximum(np.diff(at), 1e-12)
    share = np.clip(np.einsum("ij,ij->i", place - points[:-1], step) / length**2, 0.0, 1.0)
    share = np.clip(np.maximum(share, (from_m - at[:-1]) / length), 0.0, 1.0)
    gap = np.linalg.norm(points[:-1] + share[:, None] * step - place, axis=1)
    gap[at[1:] < from_m - 1e-9] = np.inf
    best = int(np.argmin(gap))
    return float(at[best] + share[best] * length[best])


def point_at(points: Points, at_m: float) -> Points:
    """The point at a distance along a curve.

    Args:
        points: ``(n, 3)`` curve [m].
        at_m: distance along it [m].

    Returns:
        ``(3,)`` the point [m].
    """
    at = distances_along(points)
    return np.array([np.interp(at_m, at, points[:, axis]) for axis in range(3)])


def tangents(points: Points) -> Points:
    """Unit tangents; at an inner point the mean of the directions before and after.

    Args:
        points: ``(n, 3)`` curve without repeats, n >= 2 [m].

    Returns:
        ``(n, 3)`` unit vectors.
    """
    step = np.diff(points, axis=0)
    step = step / np.linalg.norm(step, axis=1, keepdims=True)
    mean = np.concatenate([step[:1], step[:-1] + step[1:], step[-1:]])
    size = np.linalg.norm(mean, axis=1, keepdims=True)
    forward = np.concatenate([step[:1], step[1:], step[-1:]])
    return np.where(size > 1e-9, mean / np.maximum(size, 1e-12), forward)


def across(direction: Points) -> tuple[Points, Points]:
    """Two unit vectors across a direction, always the same for the same line whichever way it points.

    The second leans upward (z); along a vertical line it leans forward (x).

    Args:
        direction: ``(3,)`` any vector but zero.

    Returns:
        Two ``(3,)`` unit vectors, at right angles to each other and to the direction.
    """
    axis = direction / np.linalg.norm(direction)
    main = int(np.argmax(np.abs(axis)))
    axis = axis if axis[main] > 0 else -axis
    up = np.array([0.0, 0.0, 1.0]) if abs(axis[2]) < 0.9 else np.array([1.0, 0.0, 0.0])
    second = up - np.dot(up, axis) * axis
    second = second / np.linalg.norm(second)
    return np.cross(second, axis), second


def travelling_frames(points: Points) -> Frames:
    """Rotation-minimising frames by double reflection.

    Source: W. Wang, B. Jüttler, D. Zheng, Y. Liu, "Computation of Rotation Minimizing Frames", ACM Transactions on
    Graphics 27(1), 2008, table I.

    Args:
        points: ``(n, 3)`` curve without repeats, n >= 2 [m].

    Returns:
        The frames; the first one is ``across`` the curve's start.
    """
    along = tangents(points)
    first = np.empty_like(points)
    first[0] = across(along[0])[0]
    for i in range(len(points) - 1):
        chord = points[i + 1] - points[i]
        size = float(chord @ chord)
        normal = first[i] - 2.0 / size * (chord @ first[i]) * chord
        tangent = along[i] - 2.0 / size * (chord @ along[i]) * chord
        turn = along[i + 1] - tangent
        size = float(turn @ turn)
        first[i + 1] = normal if size < 1e-18 else normal - 2.0 / size * (turn @ normal) * turn
    return Frames(along=along, first=first, second=np.cross(along, first))
