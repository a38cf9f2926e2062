"""A triangle mesh prepared for paths on it: half edges, their neighbours, and flat frames of their faces.

Half edge h = 3 f + k runs along face f from its corner k to corner k + 1; its apex is the third corner. Its frame has
the start at the origin, the end on the x axis and the apex above it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from ribway.router.geometry.meshes import nearest_on_triangles

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

_ANGLE_TOL_RAD = 1e-9
_SNAP = 1e-9  # a barycentric weight below this counts as 0


class SurfaceFault(ValueError):
    """A mesh or a point that paths cannot be measured on."""


@dataclass(frozen=True)
class SurfacePoint:
    """A point on a face, by the weights of its three corners."""

    face: int
    weights: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Surface:
    """A manifold triangle mesh, with or without borders, in one or several parts. h counts half edges."""

    vertices: Floats  # (v, 3) [m]
    faces: Ints  # (f, 3), all wound the same way within a part
    start: Ints  # (h,) vertex
    end: Ints  # (h,) vertex
    apex: Ints  # (h,) vertex
    twin: Ints  # (h,) the same edge seen from the other face, -1 on a border
    length: Floats  # (h,) [m]
    apex_x: Floats  # (h,) apex in the frame of the half edge [m]
    apex_y: Floats  # (h,) above 0 [m]
    along: Floats  # (h, 3) unit vector from start to end
    inward: Floats  # (h, 3) unit vector in the face, square to the edge, towards the apex
    bends: Flags  # (v,) a shortest path may turn here: more than a full angle round it, or a hollow border
    opposite: tuple[Ints, ...]  # per vertex: the half edges of its faces that face it

    @property
    def size_m(self) -> float:
        """Diagonal of the box round the mesh."""
        used = self.vertices[self.faces.ravel()]
        return float(np.linalg.norm(used.max(axis=0) - used.min(axis=0)))


def _wound(faces: Ints) -> Ints:
    """Turn faces so that neighbours run along their common edge in opposite directions."""
    turned = faces.copy()
    sides: dict[tuple[int, int], list[tuple[int, bool]]] = {}
    for face, corners in enumerate(faces.tolist()):
        for a, b in ((corners[0], corners[1]), (corners[1], corners[2]), (corners[2], corners[0])):
            sides.setdefault((min(a, b), max(a, b)), []).append((face, a < b))
    beside: list[list[tuple[int, bool]]] = [[] for _ in faces]
    for (a, b), uses in sorted(sides.items()):
        if len(uses) > 2:
            listed = ", ".join(str(face) for face, _ in uses)
            raise SurfaceFault(
                f"mesh edge between vertices {a} and {b} belongs to {len(uses)} faces ({listed}); "
                "at most two may meet: split the mesh there"
            )
        if len(uses) == 2:
            (one, way), (two, other) = uses
            if one == two:
                raise SurfaceFault(f"mesh face {one} uses the edge between vertices {a} and {b} twice")
            beside[one].append((two, way == other))
            beside[two].append((one, way == other))
    flip = [-1] * len(faces)
    for first in range(len(faces)):
        if flip[first] >= 0:
            continue
        flip[first] = 0
        stack = [first]
        while stack:
            face = stack.pop()
            for other_face, same in beside[face]:
                wanted = flip[face] ^ int(same)
                if flip[other_face] < 0:
                    flip[other_face] = wanted
                    stack.append(other_face)
                elif flip[other_face] != wanted:
                    raise SurfaceFault(
                        f"mesh faces {face} and {other_face} cannot be wound alike (one-sided surface): cut it open"
                    )
    swapped = np.array(flip, dtype=bool)
    turned[swapped] = turned[swapped][:, ::-1]
    return turned


def _checked(vertices: npt.ArrayLike, faces: npt.ArrayLike) -> tuple[Floats, Ints]:
    """Arrays of the right shape with usable faces."""
    points, corners = np.array(vertices, dtype=np.float64), np.array(faces, dtype=np.int64)
    if points.ndim != 2 or points.shape[1] != 3 or not np.isfinite(points).all():
        raise SurfaceFault(f"mesh vertices: shape {points.shape} found, finite (n, 3) is needed")
    if corners.ndim != 2 or corners.shape[1] != 3 or not len(corners):
        raise SurfaceFault(f"mesh faces: shape {corners.shape} found, (n, 3) with n >= 1 is needed")
    if corners.min() < 0 or corners.max() >= len(points):
        raise SurfaceFault(f"mesh faces: vertex {int(corners.max())} named, there are {len(points)}")
    a, b, c = (points[corners[:, k]] for k in range(3))
    longest = np.max([np.linalg.norm(leg, axis=1) for leg in (b - a, c - b, a - c)], axis=0)
    heights = np.linalg.norm(np.cross(b - a, c - a), axis=1) / np.maximum(longest, 1e-300)
    thin = np.flatnonzero(heights <= 1e-9 * longest)
    if len(thin):
        raise SurfaceFault(
            f"mesh face {int(thin[0])} has no area (corners {corners[thin[0]].tolist()}): remove it or merge corners"
        )
    return points, corners


def surface_of(vertices: npt.ArrayLike, faces: npt.ArrayLike) -> Surface:
    """Prepare a mesh.

    Args:
        vertices: (v, 3) points [m]; equal points must be one vertex for their faces to meet.
        faces: (f, 3) vertex numbers, wound either way.

    Returns:
        The surface; faces keep their numbers, but a corner order may be turned round.

    Raises:
        SurfaceFault: more than two faces at an edge, parts that meet in a point only, a face without area, a one-sided
            surface, bad shapes or numbers.
    """
    points, given = _checked(vertices, faces)
    corners = _wound(given)
    start, end = corners.ravel(), np.roll(corners, -1, axis=1).ravel()
    apex = np.roll(corners, -2, axis=1).ravel()
    count = len(start)
    key, back = start * len(points) + end, end * len(points) + start
    order = np.argsort(key, kind="stable")
    at = np.minimum(np.searchsorted(key[order], back), count - 1)
    twin = np.where(key[order][at] == back, order[at], -1)
    edge = points[end] - points[start]
    length = np.linalg.norm(edge, axis=1)
    along = edge / length[:, None]
    to_apex = points[apex] - points[start]
    apex_x = (to_apex * along).sum(axis=1)
    across = to_apex - apex_x[:, None] * along
    apex_y = np.linalg.norm(across, axis=1)
    inward = across / apex_y[:, None]
    half = np.arange(count)
    grouped = np.argsort(apex, kind="stable")
    opposite = np.split(half[grouped], np.searchsorted(apex[grouped], np.arange(1, len(points))))
    _check_fans(len(points), start, twin)
    bends = _bending(len(points), start, twin, apex_x, apex_y)
    return Surface(
        points, corners, start, end, apex, twin, length, apex_x, apex_y, along, inward, bends, tuple(opposite)
    )


def _bending(vertex_count: int, start: Ints, twin: Ints, apex_x: Floats, apex_y: Floats) -> Flags:
    """Vertices where a shortest path may turn.

    Source: Sharir and Schorr 1986; Mitchell, Mount, Papadimitriou 1987: a shortest path passes a vertex only where the
    angle round it is above 2 pi, and a border vertex where the angle on the surface is pi or more.
    """
    angle = np.bincount(start, np.arctan2(apex_y, apex_x), vertex_count)
    border = np.zeros(vertex_count, dtype=bool)
    border[start[twin < 0]] = True
    flags: Flags = angle > np.where(border, np.pi - _ANGLE_TOL_RAD, 2.0 * np.pi + _ANGLE_TOL_RAD)
    return flags


def _check_fans(vertex_count: int, start: Ints, twin: Ints) -> None:
    """Refuse a vertex where parts meet in a mere point: a cable cannot pass there, a path over the mesh could."""
    # The corner of half edge h is at its start; over the edge lies the corner at the end of the twin.
    inner = np.flatnonzero(twin >= 0)
    over = twin[inner]
    beyond = over - over % 3 + (over % 3 + 1) % 3
    graph = coo_matrix((np.ones(len(inner)), (inner, beyond)), shape=(len(start), len(start)))
    _, fan = connected_components(graph, directed=False)
    fans = np.bincount(start[np.unique(fan, return_index=True)[1]], minlength=vertex_count)
    if fans.max() > 1:
        vertex = int(np.argmax(fans))
        raise SurfaceFault(
            f"mesh vertex {vertex}: {int(fans[vertex])} parts meet there in a point only; give each part its own vertex"
        )


def position(surface: Surface, point: SurfacePoint) -> Floats:
    """Where a surface point lies.

    Args:
        surface: the surface.
        point: the point.

    Returns:
        (3,) point [m].

    Raises:
        SurfaceFault: no such face, or weights that are not shares of 1.
    """
    weights = np.array(point.weights)
    if not 0 <= point.face < len(surface.faces):
        raise SurfaceFault(f"point on face {point.face}: the mesh has faces 0 to {len(surface.faces) - 1}")
    if not (np.isfinite(weights).all() and weights.min() >= -_SNAP and abs(weights.sum() - 1.0) <= 1e-6):
        raise SurfaceFault(
            f"point on face {point.face}: weights {point.weights} found, shares that add up to 1 are needed"
        )
    at: Floats = weights @ surface.vertices[surface.faces[point.face]] / weights.sum()
    return at


def faces_at(surface: Surface, point: SurfacePoint) -> list[int]:
    """All faces that hold a point: one inside a face, two on an edge, all those round a vertex.

    Args:
        surface: the surface.
        point: the point.

    Returns:
        Face numbers, in order.
    """
    weights = np.array(point.weights)
    on = np.flatnonzero(weights > _SNAP)
    if len(on) == 1:
        vertex = int(surface.faces[point.face, on[0]])
        return sorted({int(half) // 3 for half in surface.opposite[vertex]})
    if len(on) == 2:
        corner = 0 if 0 not in on else (1 if 1 not in on else 2)
        over = int(surface.twin[3 * point.face + (corner + 1) % 3])
        return [point.face] if over < 0 else sorted((point.face, over // 3))
    return [point.face]


def vertex_at(surface: Surface, point: SurfacePoint) -> int:
    """The vertex a point coincides with, or -1.

    Args:
        surface: the surface.
        point: the point.

    Returns:
        Vertex number or -1.
    """
    on = [corner for corner, weight in enumerate(point.weights) if weight > _SNAP]
    return int(surface.faces[point.face, on[0]]) if len(on) == 1 else -1


def located(surface: Surface, point: npt.ArrayLike, within_m: float = 1e-6) -> SurfacePoint:
    """The surface point nearest to a point in space.

    Args:
        surface: the surface.
        point: (3,) point [m].
        within_m: greatest distance from the surface [m].

    Returns:
        The surface point.

    Raises:
        SurfaceFault: the point is farther off than that.
    """
    place = np.asarray(point, dtype=np.float64).reshape(1, 3)
    face, weights, gap = nearest_on_triangles(place, surface.vertices[surface.faces])
    if not gap[0] <= within_m:
        raise SurfaceFault(
            f"point {place[0].tolist()} lies {float(gap[0]):.6g} m off the mesh, at most {within_m} m is allowed"
        )
    a, b, c = np.maximum(weights[0], 0.0).tolist()
    return SurfacePoint(int(face[0]), (a, b, c))
