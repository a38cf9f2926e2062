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


def cross(a: Array, b: Array) -> Array:
    """Vector products ``(..., 3)``, as `numpy.cross`, which takes several times as long on a few rows."""
    return np.stack(_cross(_parts(a), _parts(b)), axis=-1)


def face_normals(tri: Array) -> Array:
    """Unit normals ``(m, 3)`` of triangles ``(m, 3, 3)``; zero for a face without area."""
    normal = cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    return np.asarray(np.divide(normal, size, out=np.zeros_like(normal), where=size > 0.0))


def nearest_on_triangles(points: Array, tri: Array) -> tuple[Ints, Array, Array]:
    """Nearest point of a mesh to each point.

    Args:
        points: ``(n, 3)`` [m].
        tri: ``(m, 3, 3)`` triangle corners [m].

    Returns:
        Face index ``(n,)``, barycentric weights ``(n, 3)`` of the nearest point, distance ``(n,)`` [m].
    """
    face = np.zeros(len(points), dtype=np.int64)
    block = max(1, 500_000 // max(len(tri), 1))
    for start in range(0, len(points), block):
        part = points[start : start + block]
        face[start : start + block] = np.argmin(_face_gaps(part[:, None, :], tri[None])[0], axis=1)
    weights = nearest_weights(points, tri[face])
    foot = np.einsum("nk,nkd->nd", weights, tri[face])
    return face, weights, np.linalg.norm(foot - points, axis=1)


def nearest_weights(points: Array, tri: Array) -> Array:
    """Barycentric weights of the point of each triangle that is nearest to its own point.

    Args:
        points: ``(n, 3)`` [m].
        tri: ``(n, 3, 3)`` triangle corners [m].

    Returns:
        ``(n, 3)`` weights, none below zero, of sum 1.
    """
    _, inside, v, w, edge, along = _face_gaps(points, tri)
    out = np.zeros((len(points), 3))
    rows = np.arange(len(points))
    out[rows, edge], out[rows, (edge + 1) % 3] = 1.0 - along, along
    out[inside] = np.stack((1.0 - v - w, v, w), axis=1)[inside]
    return out


def _face_gaps(points: Array, tri: Array) -> tuple[Array, NDArray[np.bool_], Array, Array, Ints, Array]:
    """Squared distance of points to triangles, broadcast over the leading axes, and where the nearest point lies.

    Returns:
        Squared distance, whether the foot lies inside the face, its weights at the second and third corner, and for a
        foot outside the edge it lies on and how far along.

    Source: C. Ericson, Real-Time Collision Detection (2005), section 5.1.5, written for arrays; memory.
    """
    corners = [_parts(tri[..., k, :]) for k in range(3)]
    point = _parts(points)
    ab, ac = _minus(corners[1], corners[0]), _minus(corners[2], corners[0])
    d00, d01, d11 = _dot(ab, ab), _dot(ab, ac), _dot(ac, ac)
    ap = _minus(point, corners[0])
    e0, e1 = _dot(ap, ab), _dot(ap, ac)
    plain = d00 * d11 - d01 * d01
    has_area = plain > 1e-15 * d00 * d11  # below this a face is a line to rounding error: its edges decide
    det = np.where(has_area, plain, np.inf)
    v = (d11 * e0 - d01 * e1) / det
    w = (d00 * e1 - d01 * e0) / det
    inside = (v >= 0.0) & (w >= 0.0) & (v + w <= 1.0) & has_area
    off = tuple(x - v * y - w * z for x, y, z in zip(ap, ab, ac, strict=True))
    face_gap = _dot(off, off)
    # Outside the face the nearest point lies on one of the three edges.
    gap, edge, along = (
        np.full(face_gap.shape, np.inf),
        np.zeros(face_gap.shape, dtype=np.int64),
        np.zeros(face_gap.shape),
    )
    for k in range(3):
        side = _minus(corners[(k + 1) % 3], corners[k])
        size = _dot(side, side)
        away = _minus(point, corners[k])
        t = np.clip(_dot(away, side) / np.where(size > 0.0, size, 1.0), 0.0, 1.0)
        rest = tuple(x - t * y for x, y in zip(away, side, strict=True))
        here = _dot(rest, rest)
        nearer = here < gap
        gap, edge, along = np.where(nearer, here, gap), np.where(nearer, k, edge), np.where(nearer, t, along)
    return np.where(inside, face_gap, gap), inside, v, w, edge, along


def segment_hits(starts: Array, ends: Array, tri: Array, margin: float = 1e-9) -> Array:
    """Where segments cross triangles, broadcast over the leading axes.

    Args:
        starts: ``(..., 3)`` segment starts [m].
        ends: ``(..., 3)`` segment ends [m].
        tri: ``(..., 3, 3)`` triangle corners [m].
        margin: how far outside a face, in barycentric weight, still counts as crossing it.

    Returns:
        ``(...)`` parameter along the segment in [0, 1]; infinite where there is no crossing.

    Source: T. Moeller, B. Trumbore, Fast minimum storage ray/triangle intersection, 1997; memory.
    """
    start, origin = _parts(starts), _parts(tri[..., 0, :])
    direction = _minus(_parts(ends), start)
    e1, e2 = _minus(_parts(tri[..., 1, :]), origin), _minus(_parts(tri[..., 2, :]), origin)
    p = _cross(direction, e2)
    det = _dot(p, e1)
    with np.errstate(divide="ignore", invalid="ignore"):
        inv = np.where(np.abs(det) > 1e-18, 1.0 / det, np.nan)
        s = _minus(start, origin)
        u = _dot(s, p) * inv
        q = _cross(s, e1)
        v = _dot(direction, q) * inv
        t = _dot(e2, q) * inv
        hit = (u >= -margin) & (v >= -margin) & (u + v <= 1.0 + margin) & (t >= 0.0) & (t <= 1.0)
    return np.where(hit, t, np.inf)


def segment_distances(a0: Array, a1: Array, b0: Array, b1: Array) -> Array:
    """Least distance between segments ``a`` and segments ``b``, broadcast over the leading axes.

    Args:
        a0, a1: ``(..., 3)`` ends [m].
        b0, b1: ``(..., 3)`` ends [m].

    Returns:
        ``(...)`` distances [m].

    Source: C. Ericson, Real-Time Collision Detection (2005), section 5.1.9; memory.
    """
    d1, d2 = _minus(_parts(a1), _parts(a0)), _minus(_parts(b1), _parts(b0))
    r = _minus(_parts(a0), _parts(b0))
    a, e = np.maximum(_dot(d1, d1), 1e-30), np.maximum(_dot(d2, d2), 1e-30)
    f, c, b = _dot(d2, r), _dot(d1, r), _dot(d1, d2)
    det = a * e - b * b
    s = np.where(det > 1e-24, np.clip((b * f - c * e) / np.where(det > 1e-24, det, 1.0), 0.0, 1.0), 0.0)
    s = np.where(e <= 1e-30, np.clip(-c / a, 0.0, 1.0), s)  # the second one is a point
    t = (b * s + f) / e
    below, above = t < 0.0, t > 1.0
    s = np.where(below, np.clip(-c / a, 0.0, 1.0), np.where(above, np.clip((b - c) / a, 0.0, 1.0), s))
    t = np.clip(t, 0.0, 1.0)
    gap = tuple(x + s * y - t * z for x, y, z in zip(r, d1, d2, strict=True))
    return np.sqrt(_dot(gap, gap))


def segment_clearances(starts: Array, ends: Array, tri: Array) -> Array:
    """Least distance between each segment and its own triangle.

    Args:
        starts, ends: ``(n, 3)`` ends [m].
        tri: ``(n, 3, 3)`` triangle corners [m].

    Returns:
        ``(n,)`` distances [m]; 0 where a segment crosses its triangle.
    """
    gap = np.sqrt(np.minimum(_face_gaps(starts, tri)[0], _face_gaps(ends, tri)[0]))
    for k in range(3):
        gap = np.minimum(gap, segment_distances(starts, ends, tri[:, k], tri[:, (k + 1) % 3]))
    return np.where(np.isfinite(segment_hits(starts, ends, tri)), 0.0, gap)


# One array a coordinate: numpy is several times faster on these than on a last axis of three.
Parts = tuple[Array, ...]


def _parts(points: Array) -> Parts:
    return points[..., 0], points[..., 1], points[..., 2]


def _minus(a: Parts, b: Parts) -> Parts:
    return tuple(x - y for x, y in zip(a, b, strict=True))


def _dot(a: Parts, b: Parts) -> Array:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Parts, b: Parts) -> Parts:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
