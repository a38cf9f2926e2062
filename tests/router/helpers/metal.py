"""Lines against drawn triangles: crossings by Moeller and Trumbore, distances the plain way. Knows nothing of the router."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


SLAB_M = 0.05


class Metal:
    """Triangles sorted into slabs along x, so that only what lies near a segment is looked at.

    Args:
        tri: ``(m, 3, 3)`` corners [m].
        names: ``(m,)`` what each belongs to.
    """

    def __init__(self, tri: Array, names: list[str]) -> None:
        self.tri = tri
        self.names = names
        self._low, self._high = tri.min(axis=1), tri.max(axis=1)
        first, last = (np.floor(side[:, 0] / SLAB_M).astype(int) for side in (self._low, self._high))
        slabs = range(int(first.min()), int(last.max()) + 1)
        self._slabs = {slab: np.flatnonzero((first <= slab) & (last >= slab)) for slab in slabs}

    def near(self, a: Array, b: Array, reach: float) -> NDArray[np.int64]:
        """Triangles whose box comes within ``reach`` of a segment's box."""
        low, high = np.minimum(a, b) - reach, np.maximum(a, b) + reach
        wanted = range(int(np.floor(low[0] / SLAB_M)), int(np.floor(high[0] / SLAB_M)) + 1)
        found = [self._slabs[slab] for slab in wanted if slab in self._slabs]
        index = np.unique(np.concatenate(found)) if len(found) > 1 else np.concatenate([np.zeros(0, dtype=int), *found])
        return index[(self._low[index] <= high).all(axis=1) & (self._high[index] >= low).all(axis=1)]

    def crossings(self, line: Array) -> list[tuple[str, Array]]:
        """Where a polyline passes through a triangle: whose, and at which point."""
        out = []
        for a, b in itertools.pairwise(line):
            index = self.near(a, b, 0.0)
            for k, share in zip(index, passes(a, b, self.tri[index]), strict=True):
                if np.isfinite(share):
                    out.append((self.names[k], a + share * (b - a)))
        return out

    def distance(self, line: Array, reach: float) -> float:
        """Least distance of a polyline from the metal, ``reach`` at most."""
        best = reach
        for a, b in itertools.pairwise(line):
            tri = self.tri[self.near(a, b, reach)]
            if len(tri):
                best = min(best, segment_to_triangles(a, b, tri))
        return best


def passes(a: Array, b: Array, tri: Array) -> Array:
    """Share of segment a-b at which it passes each triangle, infinite if it does not.

    T. Moeller, B. Trumbore, Fast, minimum storage ray/triangle intersection, Journal of Graphics Tools 2 (1997).
    """
    d = b - a
    e1, e2 = tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0]
    p = np.cross(d, e2)
    det = (e1 * p).sum(axis=1)
    usable = np.abs(det) > 1e-16
    inverse = 1.0 / np.where(usable, det, 1.0)
    s = a - tri[:, 0]
    u = (s * p).sum(axis=1) * inverse
    q = np.cross(s, e1)
    v = (q @ d) * inverse
    t = (e2 * q).sum(axis=1) * inverse
    hit = usable & (u >= 0.0) & (v >= 0.0) & (u + v <= 1.0) & (t >= 0.0) & (t <= 1.0)
    return np.where(hit, t, np.inf)


def segment_to_triangles(a: Array, b: Array, tri: Array) -> float:
    """Least distance between a segment and triangles."""
    if np.isfinite(passes(a, b, tri)).any():
        return 0.0
    best = min(_point_to_faces(a, tri), _point_to_faces(b, tri))
    for k in range(3):
        best = min(best, _segment_to_segments(a, b, tri[:, k], tri[:, (k + 1) % 3]))
    return best


def _point_to_faces(p: Array, tri: Array) -> float:
    n = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    size = np.linalg.norm(n, axis=1)
    n, tri = n[size > 1e-14] / size[size > 1e-14, None], tri[size > 1e-14]
    height = ((p - tri[:, 0]) * n).sum(axis=1)
    foot = p - height[:, None] * n
    inside = np.ones(len(tri), dtype=bool)
    for k in range(3):
        inside &= (np.cross(tri[:, (k + 1) % 3] - tri[:, k], foot - tri[:, k]) * n).sum(axis=1) >= 0.0
    return float(np.abs(height[inside]).min(initial=np.inf))


def _segment_to_segments(a: Array, b: Array, c: Array, d: Array) -> float:
    """Ends against segments, and the common perpendicular where it meets both."""
    u, v, w = b - a, d - c, c - a
    best = np.inf
    for p in (a, b):
        t = np.clip(((p - c) * v).sum(axis=1) / np.maximum((v * v).sum(axis=1), 1e-30), 0.0, 1.0)
        best = min(best, float(np.linalg.norm(c + t[:, None] * v - p, axis=1).min()))
    for p in (c, d):
        t = np.clip((p - a) @ u / max(float(u @ u), 1e-30), 0.0, 1.0)
        best = min(best, float(np.linalg.norm(a + t[:, None] * u - p, axis=1).min()))
    n = np.cross(u, v)
    size = (n * n).sum(axis=1)
    apart = size > 1e-20
    nn = np.where(apart, size, 1.0)
    s, t = (np.cross(w, v) * n).sum(axis=1) / nn, (np.cross(w, u) * n).sum(axis=1) / nn
    meets = apart & (s >= 0.0) & (s <= 1.0) & (t >= 0.0) & (t <= 1.0)
    gap = np.abs((w * n).sum(axis=1)) / np.sqrt(nn)
    return min(best, float(gap[meets].min(initial=np.inf)))
