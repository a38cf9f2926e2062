"""Distances between points, segments and polylines in 3D, vectorised over rows."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from ribway.router.geometry.polylines import Floats, as_points, stations


def point_segment(points: npt.ArrayLike, starts: npt.ArrayLike, ends: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Distance from each point to the segment of the same row.

    Args:
        points: (n, 3) points [m].
        starts: (n, 3) segment starts [m].
        ends: (n, 3) segment ends [m]; a segment may have no length.

    Returns:
        (n,) distances [m] and (n,) shares 0..1 of the segment at which the nearest point lies.
    """
    p, a, b = (np.asarray(rows, dtype=np.float64) for rows in (points, starts, ends))
    leg = b - a
    square = (leg * leg).sum(axis=-1)
    share = np.clip(((p - a) * leg).sum(axis=-1) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    distance: Floats = np.linalg.norm(p - a - share[..., None] * leg, axis=-1)
    return distance, share


def segment_segment(a0: npt.ArrayLike, a1: npt.ArrayLike, b0: npt.ArrayLike, b1: npt.ArrayLike) -> Floats:
    """Distance between the two segments of each row.

    The least distance is either between the two nearest points of the carrying lines, when both lie inside, or at one
    of the four ends.

    Args:
        a0: (n, 3) starts of the first segments [m].
        a1: (n, 3) their ends [m].
        b0: (n, 3) starts of the second segments [m].
        b1: (n, 3) their ends [m].

    Returns:
        (n,) distances [m].
    """
    p0, p1, q0, q1 = (np.asarray(rows, dtype=np.float64) for rows in (a0, a1, b0, b1))
    best = np.minimum.reduce(
        [
            point_segment(p0, q0, q1)[0],
            point_segment(p1, q0, q1)[0],
            point_segment(q0, p0, p1)[0],
            point_segment(q1, p0, p1)[0],
        ]
    )
    u, v, w = p1 - p0, q1 - q0, p0 - q0
    uu, uv, vv = (u * u).sum(-1), (u * v).sum(-1), (v * v).sum(-1)
    uw, vw = (u * w).sum(-1), (v * w).sum(-1)
    crossing = uu * vv - uv * uv
    skew = crossing > 1e-14 * uu * vv
    safe = np.where(skew, crossing, 1.0)
    s, t = (uv * vw - vv * uw) / safe, (uu * vw - uv * uw) / safe
    inside = skew & (s > 0.0) & (s < 1.0) & (t > 0.0) & (t < 1.0)
    gap = np.linalg.norm(w + s[..., None] * u - t[..., None] * v, axis=-1)
    least: Floats = np.where(inside, np.minimum(gap, best), best)
    return least


def distance_to_polyline(point: npt.ArrayLike, points: npt.ArrayLike) -> tuple[float, float]:
    """Distance from a point to a polyline, and where on it the nearest point lies.

    Args:
        point: (3,) point [m].
        points: (n, 3) points of the line [m].

    Returns:
        Distance [m] and distance along the line [m] of the nearest point (the first one when several are as near).
    """
    line = as_points(points)
    at = stations(line)
    if len(line) == 1:
        return float(np.linalg.norm(np.asarray(point, dtype=np.float64) - line[0])), 0.0
    gaps, shares = point_segment(np.asarray(point, dtype=np.float64)[None, :], line[:-1], line[1:])
    nearest = int(np.argmin(gaps))
    return float(gaps[nearest]), float(at[nearest] + shares[nearest] * (at[nearest + 1] - at[nearest]))


def polyline_gap(first: npt.ArrayLike, second: npt.ArrayLike) -> float:
    """Least distance between two polylines.

    Args:
        first: (n, 3) points [m], n >= 2.
        second: (m, 3) points [m], m >= 2.

    Returns:
        Distance [m].
    """
    a, b = as_points(first), as_points(second)
    i = np.repeat(np.arange(len(a) - 1), len(b) - 1)
    j = np.tile(np.arange(len(b) - 1), len(a) - 1)
    return float(segment_segment(a[i], a[i + 1], b[j], b[j + 1]).min())
