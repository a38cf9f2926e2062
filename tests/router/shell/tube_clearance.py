"""Distance from segments to triangles, the slow and plain way; imports nothing of the shell's code.

The least distance between a segment and a triangle is 0 where the segment passes through it, else it is taken at an
end of the segment against the triangle or between the segment and one of the triangle's edges (Ericson, Real-Time
Collision Detection, 2005, section 5.1.9 and 5.1.5).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def _dot(a: Array, b: Array) -> Array:
    return np.einsum("...i,...i->...", a, b)


def segment_segment(p: Array, q: Array, a: Array, b: Array) -> Array:
    """Distances from segment p-q to segments a-b, ``(n, 3)`` each."""
    d1, d2, r = q - p, b - a, p - a
    aa, ee, f = _dot(d1, d1), _dot(d2, d2), _dot(d2, r)
    c, bb = _dot(d1, r), _dot(d1, d2)
    den = aa * ee - bb * bb
    s = np.clip(np.divide(bb * f - c * ee, den, out=np.zeros_like(den), where=den > 1e-18), 0, 1)
    t = (bb * s + f) / ee
    t = np.clip(t, 0, 1)
    s = np.clip((bb * t - c) / aa, 0, 1)
    return np.linalg.norm(p + s[:, None] * d1 - a - t[:, None] * d2, axis=1)


def point_in_plane(p: Array, tri: Array) -> Array:
    """Distances from points (n, 3) to triangles (n, 3, 3) where the foot lies inside, else infinity."""
    a, b, c = tri[:, 0], tri[:, 1], tri[:, 2]
    n = np.cross(b - a, c - a)
    n = n / np.linalg.norm(n, axis=1)[:, None]
    h = _dot(p - a, n)
    foot = p - h[:, None] * n
    inside = np.ones(len(p), dtype=bool)
    for u, v in ((a, b), (b, c), (c, a)):
        inside &= _dot(np.cross(v - u, foot - u), n) >= 0
    return np.where(inside, np.abs(h), np.inf)


def crosses(p: Array, q: Array, tri: Array) -> NDArray[np.bool_]:
    """Does segment p-q pass through each triangle (n, 3, 3)."""
    a, b, c = tri[:, 0], tri[:, 1], tri[:, 2]
    n = np.cross(b - a, c - a)
    hp, hq = _dot(p - a, n), _dot(q - a, n)
    apart = hp * hq <= 0
    t = np.divide(hp, hp - hq, out=np.zeros_like(hp), where=np.abs(hp - hq) > 0)
    x = p + t[:, None] * (q - p)
    inside = np.ones(len(tri), dtype=bool)
    for u, v in ((a, b), (b, c), (c, a)):
        inside &= _dot(np.cross(v - u, x - u), n) >= 0
    return apart & inside & (np.abs(hp - hq) > 0)


def least_distance(p: Array, q: Array, tri: Array, reach: float) -> float:
    """Least distance from segment p-q to triangles (n, 3, 3) within ``reach``, else infinity."""
    low, high = np.minimum(p, q) - reach, np.maximum(p, q) + reach
    near = tri[(tri.min(axis=1) <= high).all(axis=1) & (tri.max(axis=1) >= low).all(axis=1)]
    area = np.linalg.norm(np.cross(near[:, 1] - near[:, 0], near[:, 2] - near[:, 0]), axis=1)
    near = near[area > 1e-14]
    if len(near) == 0:
        return float("inf")
    if crosses(p, q, near).any():
        return 0.0
    many_p, many_q = np.broadcast_to(p, (len(near), 3)), np.broadcast_to(q, (len(near), 3))
    found = [point_in_plane(many_p, near), point_in_plane(many_q, near)]
    found += [segment_segment(many_p, many_q, near[:, i], near[:, (i + 1) % 3]) for i in range(3)]
    return float(np.min(found))
