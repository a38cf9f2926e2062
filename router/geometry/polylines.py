"""Arithmetic on 3D polylines: points in, numbers out.

A polyline is an ``(n, 3)`` array of points [m] in the order they are passed. Nothing here knows a cable or a van.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from ribway.router.geometry.meshes import cross

Floats = npt.NDArray[np.float64]


def as_points(points: npt.ArrayLike) -> Floats:
    """Check and convert to an array of points.

    Args:
        points: (n, 3) points [m], n >= 1.

    Returns:
        (n, 3) array of floats (the same array when it already is one).

    Raises:
        ValueError: the shape is not (n, 3), or a coordinate is not finite.
    """
    array = np.asarray(points, dtype=np.float64)
    if array.ndim != 2 or array.shape[1] != 3 or array.shape[0] < 1:
        raise ValueError(f"points: shape {array.shape} found, (n, 3) with n >= 1 is needed")
    if not np.isfinite(array).all():
        at = int(np.argwhere(~np.isfinite(array).all(axis=1))[0, 0])
        raise ValueError(f"points: point {at} is {array[at].tolist()}, finite coordinates are needed")
    return array


def leg_lengths(points: npt.ArrayLike) -> Floats:
    """Length of each leg.

    Args:
        points: (n, 3) points [m].

    Returns:
        (n - 1,) lengths [m].
    """
    legs: Floats = np.linalg.norm(np.diff(as_points(points), axis=0), axis=1)
    return legs


def length(points: npt.ArrayLike) -> float:
    """Length along a polyline.

    Args:
        points: (n, 3) points [m].

    Returns:
        Length [m]; 0 for a single point.
    """
    return float(leg_lengths(points).sum())


def straight_distance(points: npt.ArrayLike) -> float:
    """Distance between the two ends as the crow flies.

    Args:
        points: (n, 3) points [m].

    Returns:
        Distance [m].
    """
    array = as_points(points)
    return float(np.linalg.norm(array[-1] - array[0]))


def turn_angles(points: npt.ArrayLike) -> Floats:
    """Change of direction at each inner point: 0 is straight on, pi is a U-turn.

    Uses atan2(|a x b|, a . b), which keeps its accuracy near 0 and near pi where arccos loses half its digits.

    Args:
        points: (n, 3) points [m] without repeats (see `drop_repeats`).

    Returns:
        (n - 2,) angles [rad] in 0..pi; empty for fewer than three points.

    Raises:
        ValueError: two neighbouring points are the same, so that a direction is missing.
    """
    array = as_points(points)
    if len(array) < 3:
        return np.zeros(0)
    legs = np.diff(array, axis=0)
    lengths = np.linalg.norm(legs, axis=1)
    if (lengths == 0.0).any():
        raise ValueError(f"points: points {int(np.argmin(lengths))} and the next are the same; drop repeats first")
    units = legs / lengths[:, None]
    across = np.linalg.norm(cross(units[:-1], units[1:]), axis=1)
    along = (units[:-1] * units[1:]).sum(axis=1)
    angles: Floats = np.arctan2(across, along)
    return angles


def drop_repeats(points: npt.ArrayLike, tol_m: float = 1e-9) -> Floats:
    """Drop every point that lies within a tolerance of the point kept before it. Both ends stay where they are.

    Args:
        points: (n, 3) points [m].
        tol_m: greatest distance at which two neighbours count as one [m].

    Returns:
        (k, 3) points [m], k <= n; a single point when all are the same.
    """
    array = as_points(points)
    apart = leg_lengths(array) > tol_m
    if apart.all():
        return array.copy()
    # Nearly always a repeat lies on the point before it; only a creeping chain of them has to be walked.
    stays = np.concatenate(([True], apart))
    before = np.maximum.accumulate(np.where(stays, np.arange(len(array)), 0))
    before[1:] = np.where(stays[1:], before[:-1], before[1:])
    gap = np.linalg.norm(array[1:] - array[before[1:]], axis=1)
    if np.array_equal(gap > tol_m, stays[1:]):
        kept = np.flatnonzero(stays).tolist()
    else:
        kept = [0]
        for index in range(1, len(array)):
            if np.linalg.norm(array[index] - array[kept[-1]]) > tol_m:
                kept.append(index)
    if kept[-1] != len(array) - 1 and len(kept) > 1:
        kept[-1] = len(array) - 1  # the end point wins over the near repeat before it
    return array[kept].copy()


def merge_straight(points: npt.ArrayLike, tol_m: float = 1e-9) -> Floats:
    """Drop the inner points that lie on a straight leg. A point where the line turns back on itself stays.

    A point is dropped only while every point skipped since the last kept one lies within the tolerance of the new leg
    and in order along it, so that small turns cannot add up unseen.

    Args:
        points: (n, 3) points [m].
        tol_m: greatest distance of a dropped point from the new leg [m].

    Returns:
        (k, 3) points [m], k <= n, both ends kept, no repeats.
    """
    array = drop_repeats(points, tol_m)
    if len(array) < 3:
        return array
    kept = [0]
    for index in range(2, len(array)):
        start = kept[-1]
        leg = array[index] - array[start]
        reach = float(np.linalg.norm(leg))
        skipped = array[start + 1 : index] - array[start]
        if reach > 0.0:
            along = skipped @ (leg / reach)
            across = np.linalg.norm(skipped - along[:, None] * (leg / reach), axis=1)
            steps = np.diff(np.concatenate(([0.0], along, [reach])))
            if (across <= tol_m).all() and (steps >= 0.0).all():
                continue
        kept.append(index - 1)
    kept.append(len(array) - 1)
    return array[kept].copy()


def stations(points: npt.ArrayLike) -> Floats:
    """Distance along the line at each point.

    Args:
        points: (n, 3) points [m].

    Returns:
        (n,) distances [m], the first 0, the last the length.
    """
    return np.concatenate(([0.0], np.cumsum(leg_lengths(points))))


def points_at(points: npt.ArrayLike, s_m: npt.ArrayLike) -> Floats:
    """Points at given distances along the line; a distance outside is taken to the nearer end.

    Args:
        points: (n, 3) points [m].
        s_m: (k,) distances from the first point [m].

    Returns:
        (k, 3) points [m].
    """
    array = as_points(points)
    at = stations(array)
    wanted = np.clip(np.asarray(s_m, dtype=np.float64), 0.0, at[-1])
    return np.stack([np.interp(wanted, at, array[:, axis]) for axis in range(3)], axis=-1)


def point_at(points: npt.ArrayLike, s_m: float) -> Floats:
    """Point at one distance along the line.

    Args:
        points: (n, 3) points [m].
        s_m: distance from the first point [m].

    Returns:
        (3,) point [m].
    """
    at: Floats = points_at(points, [s_m])[0]
    return at


def resample(points: npt.ArrayLike, step_m: float) -> Floats:
    """Add points so that no leg is longer than a step. Every given point stays, so the length does not change.

    Args:
        points: (n, 3) points [m].
        step_m: longest leg [m], above 0.

    Returns:
        (k, 3) points [m], k >= n.

    Raises:
        ValueError: the step is not above 0.
    """
    if not step_m > 0.0:
        raise ValueError(f"step_m: {step_m} found, a length above 0 is needed")
    array = as_points(points)
    pieces = [array[:1]]
    for start, end, leg in zip(array[:-1], array[1:], leg_lengths(array), strict=True):
        parts = max(1, int(np.ceil(leg / step_m - 1e-9)))
        shares = np.arange(1, parts + 1) / parts
        inner = start + shares[:, None] * (end - start)
        inner[-1] = end
        pieces.append(inner)
    return np.concatenate(pieces)


def part(points: npt.ArrayLike, from_m: float, to_m: float) -> Floats:
    """The stretch of a line between two distances along it.

    Args:
        points: (n, 3) points [m].
        from_m: where the stretch begins, from the first point [m].
        to_m: where it ends [m], not before from_m.

    Returns:
        (k, 3) points [m], k >= 2.

    Raises:
        ValueError: the stretch ends before it begins.
    """
    if to_m < from_m:
        raise ValueError(f"part: from {from_m} to {to_m} found, the end may not lie before the beginning")
    array = as_points(points)
    at = stations(array)
    inside = array[(at > from_m) & (at < to_m)]
    ends = points_at(array, [from_m, to_m])
    return np.concatenate((ends[:1], inside, ends[1:]))
