"""Solids by extrusion and their cutting, through manifold3d."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

import manifold3d  # type: ignore[import-not-found]
import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from ribway.router.geometry.meshes import cross
from ribway.router.shell.errors import ShellError
from ribway.router.shell.parts import Faces, Mesh, OpeningShape, Points

ROUND_SIDES = 16
"""Sides of a hole's outline, drawn about the clear circle so that the clear diameter is the true one."""

Placed = Callable[[Points], Points]


class Solid(Protocol):
    """A closed solid, as manifold3d holds it."""

    def to_mesh64(self) -> Any:
        """Its triangles, in double precision."""


def one_polygon(geometry: BaseGeometry, what: str) -> Polygon:
    """The geometry as the one polygon it must be.

    Args:
        geometry: result of an overlay.
        what: it is meant to be, for the message.

    Returns:
        The polygon.

    Raises:
        ShellError: it is empty or in several pieces.
    """
    if not isinstance(geometry, Polygon) or geometry.is_empty:
        raise ShellError(
            f"{what} is not one piece ({geometry.geom_type}); check the measurements of what is cut out of it"
        )
    return geometry


def triangulate(polygon: Polygon) -> tuple[Points, Faces]:
    """Triangulate a polygon, keeping every corner of its rings and adding none.

    Args:
        polygon: with or without holes.

    Returns:
        ``(n, 2)`` corners and ``(m, 3)`` counter-clockwise triangles.

    Raises:
        ShellError: the polygon is empty or crosses itself.
    """
    if polygon.is_empty or not polygon.is_valid:
        raise ShellError(f"an outline is no simple polygon: {shapely.is_valid_reason(polygon)}; check the measurements")
    triangles = shapely.constrained_delaunay_triangles(polygon)
    corners = shapely.get_coordinates(triangles).reshape(-1, 4, 2)[:, :3].reshape(-1, 2)
    points, index = np.unique(corners, axis=0, return_inverse=True)
    faces = index.reshape(-1, 3).astype(np.int32)
    a, b, c = points[faces[:, 0]], points[faces[:, 1]], points[faces[:, 2]]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    faces[area < 0] = faces[area < 0][:, ::-1]
    return np.asarray(points, dtype=np.float64), faces


def to_manifold(vertices: Points, faces: Faces) -> Solid:
    """A manifold solid from a closed mesh.

    Raises:
        ShellError: the mesh is not closed.
    """
    mesh = manifold3d.Mesh64(
        np.ascontiguousarray(vertices, dtype=np.float64), np.ascontiguousarray(faces, dtype=np.uint64)
    )
    body = manifold3d.Manifold(mesh)
    if body.status() != manifold3d.Error.NoError:
        raise ShellError(f"a solid of the shell is not closed ({body.status().name}); check the measurements")
    solid: Solid = body
    return solid


def to_mesh(solid: Solid) -> Mesh:
    """The triangle mesh of a solid."""
    raw = solid.to_mesh64()
    vertices = np.array(raw.vert_properties[:, :3], dtype=np.float64)
    return Mesh(vertices, np.array(raw.tri_verts, dtype=np.int32))


def extrude(polygon: Polygon, low: float, high: float, place: Placed) -> Solid:
    """A prism over a polygon.

    Args:
        polygon: in (u, v).
        low, high: its extent in w, rising.
        place: maps ``(n, 3)`` points (u, v, w) to the van's frame, keeping handedness.

    Returns:
        The solid.
    """
    points, faces = triangulate(polygon)
    n = len(points)
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    paired = {(int(a), int(b)) for a, b in edges}
    rim = np.array([(a, b) for a, b in edges if (int(b), int(a)) not in paired], dtype=np.int32)
    walls = np.concatenate(
        [
            np.stack([rim[:, 0], rim[:, 1], rim[:, 1] + n], axis=1),
            np.stack([rim[:, 0], rim[:, 1] + n, rim[:, 0] + n], axis=1),
        ]
    )
    solid_faces = np.concatenate([faces[:, ::-1], faces + n, walls]).astype(np.int32)
    bottom = np.column_stack([points, np.full(n, low)])
    top = np.column_stack([points, np.full(n, high)])
    return to_manifold(place(np.concatenate([bottom, top])), solid_faces)


def outline(shape: OpeningShape, bore_m: float, length_m: float) -> Points:
    """Outline of a hole about its centre, counter-clockwise, slots long in u.

    Args:
        shape: round or slot.
        bore_m: clear width [m].
        length_m: overall length of a slot [m].

    Returns:
        ``(r, 2)`` corners (u, v) [m].
    """
    step = np.pi / ROUND_SIDES
    angles = -np.pi / 2 + step + 2 * step * np.arange(ROUND_SIDES)
    ring = bore_m / 2 / np.cos(step) * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    if shape == "slot":
        ring[: ROUND_SIDES // 2, 0] += (length_m - bore_m) / 2
        ring[ROUND_SIDES // 2 :, 0] -= (length_m - bore_m) / 2
    return np.asarray(ring, dtype=np.float64)


def ring_at(ring: Points, centre: Points, axis: Points, grain: Points) -> Points:
    """Set an outline square across an axis.

    Args:
        ring: ``(r, 2)`` outline (u, v) [m].
        centre: ``(3,)`` [m].
        axis: ``(3,)`` unit direction of the hole.
        grain: ``(3,)`` direction of u, made square to the axis.

    Returns:
        ``(r, 3)`` corners, counter-clockwise seen against the axis [m].
    """
    u = grain - float(grain @ axis) * axis
    u = u / np.linalg.norm(u)
    return np.asarray(centre + ring[:, :1] * u + ring[:, 1:] * cross(axis, u), dtype=np.float64)


def bar(ring: Points, start: Points, end: Points, grain: Points) -> Solid:
    """A straight bar with an outline as its section, to cut a hole or to fill one.

    Args:
        ring: ``(r, 2)`` convex outline [m].
        start, end: ``(3,)`` ends of its axis [m].
        grain: ``(3,)`` direction of the outline's u.

    Returns:
        The solid.
    """
    axis = (end - start) / np.linalg.norm(end - start)
    n = len(ring)
    i = np.arange(n)
    j = (i + 1) % n
    fan = np.stack([np.zeros(n - 2, dtype=int), i[1:-1], i[2:]], axis=1)
    walls = np.concatenate([np.stack([i, j, j + n], axis=1), np.stack([i, j + n, i + n], axis=1)])
    faces = np.concatenate([fan[:, ::-1], fan + n, walls]).astype(np.int32)
    return to_manifold(np.concatenate([ring_at(ring, start, axis, grain), ring_at(ring, end, axis, grain)]), faces)


def cut(solid: Solid, cutters: Sequence[Solid]) -> Solid:
    """A solid less all cutters, in one boolean."""
    done: Solid = manifold3d.Manifold.batch_boolean([solid, *cutters], manifold3d.OpType.Subtract)
    return done


def join(solids: Sequence[Solid]) -> Solid:
    """Several solids as one, in one boolean."""
    done: Solid = manifold3d.Manifold.batch_boolean(list(solids), manifold3d.OpType.Add)
    return done


def meet(a: Solid, b: Solid) -> Solid:
    """What two solids have in common."""
    done: Solid = manifold3d.Manifold.batch_boolean([a, b], manifold3d.OpType.Intersect)
    return done
