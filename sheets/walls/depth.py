"""How far off the bare metal cables lie: the distance from their lines to the skin's triangles."""

from __future__ import annotations

import base64
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanPart, Point

Array = npt.NDArray[np.float64]


def skin_triangles(plan: Plan, wall: str) -> Array:
    """The triangles of a wall's skin.

    Args:
        plan: the plan.
        wall: which.

    Returns:
        ``(n, 3, 3)`` corners [m]; none if the plan holds no such skin.
    """
    return _joined([_triangles(part) for part in plan.parts if part.kind == "skin" and part.name.split()[0] == wall])


def off_metal_m(points: Sequence[Point], triangles: Array) -> Array:
    """Distances of points from triangles (Ericson, Real-Time Collision Detection, 2005, 5.1.5: inside, or the nearest edge).

    Args:
        points: [m].
        triangles: ``(n, 3, 3)`` [m].

    Returns:
        ``(m,)`` the least distance of each point [m]; infinite if there is no triangle.
    """
    if not len(triangles) or not points:
        return np.full(len(points), np.inf)
    spots = np.asarray(points, dtype=np.float64)[:, None, :]
    a, b, c = triangles[None, :, 0], triangles[None, :, 1], triangles[None, :, 2]
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=-1, keepdims=True)
    unit = normal / np.where(size > 0.0, size, 1.0)
    height = np.einsum("ijk,ijk->ij", spots - a, np.broadcast_to(unit, (len(points), *unit.shape[1:])))
    foot = spots - height[..., None] * unit
    inside = np.ones(height.shape, dtype=bool) & (size[..., 0] > 0.0)
    for start, end in ((a, b), (b, c), (c, a)):
        inside &= (
            np.einsum("ijk,ijk->ij", np.cross(end - start, foot - start), np.broadcast_to(unit, foot.shape)) >= -1e-15
        )
    edges = np.minimum.reduce([_edge(spots, a, b), _edge(spots, b, c), _edge(spots, c, a)])
    nearest: Array = np.where(inside, np.abs(height), edges).min(axis=1)
    return nearest


def _edge(spots: Array, start: Array, end: Array) -> Array:
    along = end - start
    square = np.einsum("ijk,ijk->ij", along, along)
    share = np.einsum("ijk,ijk->ij", spots - start, np.broadcast_to(along, (len(spots), *along.shape[1:])))
    share = np.clip(share / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    distance: Array = np.linalg.norm(spots - start - share[..., None] * along, axis=-1)
    return distance


def _triangles(part: PlanPart) -> Array:
    vertices = np.frombuffer(base64.b64decode(part.vertices_f32), dtype="<f4").reshape(-1, 3).astype(np.float64)
    faces = np.frombuffer(base64.b64decode(part.faces_u32), dtype="<u4").reshape(-1, 3)
    picked: Array = vertices[faces]
    return picked


def _joined(lists: Sequence[Array]) -> Array:
    return np.concatenate(lists) if lists else np.empty((0, 3, 3))
