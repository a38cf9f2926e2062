"""Vectorised arithmetic on triangle meshes: nearest points, rays, crossings. Points in, numbers out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


def triangles(vertices: Array, faces: NDArray[np.int32]) -> Array:
    """Corner points of every face.

    Args:
        vertices: ``(n, 3)`` points [m].
        faces: ``(m, 3)`` vertex indices.

    Returns:
        ``(m, 3, 3)`` corners [m].
    """
    return np.asarray(vertices[faces], dtype=np.float64)


def face_normals(tri: Array) -> Array:
    """Unit normals ``(m, 3)`` of triangles ``(m, 3, 3)``; zero for a face without area."""
    cross = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    size = np.linalg.norm(cross, axis=1, keepdims=True)
    return np.asarray(np.divide(cross, size, out=np.zeros_like(cross), where=size > 0.0))


def nearest_on_triangles(points: Array, tri: Array) -> tuple[Ints, Array, Array]:
    """Nearest point of a mesh to each point.

    Args:
        points: ``(n, 3)`` [m].
        tri: ``(m, 3, 3)`` triangle corners [m].

    Returns:
        Face index ``(n,)``, barycentric weights ``(n, 3)`` of the nearest point, distance ``(n,)`` [m].

    Source: C. Ericson, Real-Time Collision Detection (2005), section 5.1.5, written for arrays; memory.
    """
    face = np.zeros(len(points), dtype=np.int64)
    weights = np.zeros((len(points), 3))
    distance = np.full(len(points), np.inf)
    block = max(1, 2_000_000 // max(len(tri), 1))
    for start in range(0, len(points), block):
        part = points[start : start + block]
        bary = _nearest_weights(part, tri)
        nearest = np.einsum("nmk,mkd->nmd", bary, tri)
        gap = np.linalg.norm(nearest - part[:, None, :], axis=2)
        best = np.argmin(gap, axis=1)
        rows = np.arange(len(part))
        face[start : start + block] = best
        weights[start : start + block] = bary[rows, best]
        distance[start : start + block] = gap[rows, best]
    return face, weights, distance


def _nearest_weights(points: Array, tri: Array) -> Array:
    """Barycentric weights ``(n, m, 3)`` of the nearest point of each triangle to each point."""
    a, b, c = tri[:, 0], tri[:, 1], tri[:, 2]
    ab, ac = b - a, c - a
    d00 = np.einsum("md,md->m", ab, ab)
    d01 = np.einsum("md,md->m", ab, ac)
    d11 = np.einsum("md,md->m", ac, ac)
    ap = points[:, None, :] - a[None]
    e0 = np.einsum("nmd,md->nm", ap, ab)
    e1 = np.einsum("nmd,md->nm", ap, ac)
    plain = d00 * d11 - d01**2
    has_area = plain > 1e-15 * d00 * d11  # below this a face is a line to rounding error: its edges decide
    det = np.where(has_area, plain, np.inf)
    v = (d11 * e0 - d01 * e1) / det
    w = (d00 * e1 - d01 * e0) / det
    inside = (v >= 0.0) & (w >= 0.0) & (v + w <= 1.0) & has_area
    best = np.stack((1.0 - v - w, v, w), axis=2)
    # Outside the face the nearest point lies on one of the three edges.
    options = []
    for p, q, i, j in ((a, b, 0, 1), (b, c, 1, 2), (c, a, 2, 0)):
        pq = q - p
        size = np.einsum("md,md->m", pq, pq)
        t = np.einsum("nmd,md->nm", points[:, None, :] - p[None], pq) / np.where(size > 0.0, size, 1.0)
        t = np.clip(t, 0.0, 1.0)
        near = p[None] + t[:, :, None] * pq[None]
        gap = np.einsum("nmd,nmd->nm", near - points[:, None, :], near - points[:, None, :])
        bary = np.zeros((*t.shape, 3))
        bary[:, :, i] = 1.0 - t
        bary[:, :, j] = t
        options.append((gap, bary))
    gaps = np.stack([gap for gap, _ in options])
    pick = np.argmin(gaps, axis=0)
    edge = np.take_along_axis(np.stack([bary for _, bary in options]), pick[None, :, :, None], axis=0)[0]
    return np.asarray(np.where(inside[:, :, None], best, edge))


def segment_hits(starts: Array, ends: Array, tri: Array, margin: float = 1e-9) -> Array:
    """Where segments cross triangles.

    Args:
        starts: ``(n, 3)`` segment starts [m].
        ends: ``(n, 3)`` segment ends [m].
        tri: ``(m, 3, 3)`` triangle corners [m].
        margin: how far outside a face, in barycentric weight, still counts as crossing it.

    Returns:
        ``(n, m)`` parameter along the segment in [0, 1]; infinite where there is no crossing.

    Source: T. Moeller, B. Trumbore, Fast minimum storage ray/triangle intersection, 1997; memory.
    """
    direction = ends - starts
    e1, e2 = tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0]
    p = np.cross(direction[:, None, :], e2[None])
    det = np.einsum("nmd,md->nm", p, e1)
    with np.errstate(divide="ignore", invalid="ignore"):
        inv = np.where(np.abs(det) > 1e-18, 1.0 / det, np.nan)
        s = starts[:, None, :] - tri[None, :, 0]
        u = np.einsum("nmd,nmd->nm", s, p) * inv
        q = np.cross(s, e1[None])
        v = np.einsum("nd,nmd->nm", direction, q) * inv
        t = np.einsum("md,nmd->nm", e2, q) * inv
        hit = (u >= -margin) & (v >= -margin) & (u + v <= 1.0 + margin) & (t >= 0.0) & (t <= 1.0)
    return np.where(hit, t, np.inf)


def segment_distances(a0: Array, a1: Array, b0: Array, b1: Array) -> Array:
    """Least distance between each segment ``a`` and each segment ``b``.

    Args:
        a0, a1: ``(n, 3)`` ends [m].
        b0, b1: ``(m, 3)`` ends [m].

    Returns:
        ``(n, m)`` distances [m].

    Source: C. Ericson, Real-Time Collision Detection (2005), section 5.1.9; memory.
    """
    d1 = (a1 - a0)[:, None, :]
    d2 = (b1 - b0)[None]
    r = a0[:, None, :] - b0[None]
    a = np.maximum(np.sum(d1 * d1, axis=2), 1e-30)
    e = np.maximum(np.sum(d2 * d2, axis=2), 1e-30)
    f = np.sum(d2 * r, axis=2)
    c = np.sum(d1 * r, axis=2)
    b = np.sum(d1 * d2, axis=2)
    det = a * e - b * b
    s = np.where(det > 1e-24, np.clip((b * f - c * e) / np.where(det > 1e-24, det, 1.0), 0.0, 1.0), 0.0)
    s = np.where(e <= 1e-30, np.clip(-c / a, 0.0, 1.0), s)  # the second one is a point
    t = (b * s + f) / e
    below, above = t < 0.0, t > 1.0
    s = np.where(below, np.clip(-c / a, 0.0, 1.0), np.where(above, np.clip((b - c) / a, 0.0, 1.0), s))
    t = np.clip(t, 0.0, 1.0)
    gap = r + d1 * s[:, :, None] - d2 * t[:, :, None]
    return np.asarray(np.linalg.norm(gap, axis=2))


def clearance(line: Array, tri: Array) -> float:
    """Least distance between a polyline and the surface of a mesh.

    Args:
        line: ``(k, 3)`` polyline [m].
        tri: ``(m, 3, 3)`` triangle corners [m].

    Returns:
        The distance [m]; 0 where the line crosses a face, infinite for a mesh without faces.
    """
    if len(tri) == 0:
        return float("inf")
    if np.isfinite(segment_hits(line[:-1], line[1:], tri)).any():
        return 0.0
    edges0 = tri.reshape(-1, 3)
    edges1 = tri[:, (1, 2, 0)].reshape(-1, 3)
    gap = float(segment_distances(line[:-1], line[1:], edges0, edges1).min())
    return min(gap, float(nearest_on_triangles(line, tri)[2].min()))
