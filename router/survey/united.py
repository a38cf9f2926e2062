"""Skins that are one body with what stands on them, as a boolean union leaves them: found as the planes behind which is nothing.

Looking out of the van through a skin one passes its sheet and is outside; through anything else one meets the skin yet.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from ribway.router.shell.parts import Mesh, Points
from ribway.router.survey.clear import across
from ribway.router.survey.metal_tree import MetalTree
from ribway.router.survey.near_skins import NearSkin
from ribway.router.survey.topology import Flags, Ints, Topology, labels, regions

FLAT_RAD = np.radians(1.0)
ALIKE = np.cos(np.radians(1.5))
IN_PLANE_M = 0.0015
PIECE_M2 = 1e-3
SKIN_M2 = 0.05
SHEET_M = 0.008
"""Thickest sheet that a skin is made of."""
BEYOND_M = 4.0
LOOKS = 12
FEET_M = 0.012
"""Half the widest gap that a member's feet leave in a skin."""
SNAP_M = 0.003
ON_SKIN_M = 3e-4
BACKWARD = 0.9
"""A skin does not look forward: the rear is doors, and the last rib's web has nothing behind it either."""
SPAN = 0.9
OPEN = 0.01
"""Share of open edges above which a body is a sheet."""
LARGE = 0.05


@dataclass(frozen=True, eq=False)
class Plane:
    """A flat part of a skin.

    Args:
        normal: ``(3,)`` unit, into the van.
        point: ``(3,)`` on it [m].
        faces: those of the mesh that lie in it.
    """

    normal: Points
    point: Points
    faces: Ints


def is_united(topology: Topology, body: Ints) -> bool:
    """Whether no skin is a sheet of its own, so that skins have a thickness or are one with what stands on them.

    Args:
        topology: a mended mesh in the van's axes [m].
        body: of each face.
    """
    points = topology.mesh.vertices[topology.mesh.faces]
    size = np.ptp(points.reshape(-1, 3), axis=0)
    count = int(body.max()) + 1
    area = np.bincount(body, weights=topology.areas, minlength=count)
    edges = np.bincount(body, minlength=count) * 3
    is_sheet = (
        np.bincount(body, weights=(topology.twin.reshape(-1, 3) == -1).sum(axis=1), minlength=count) > OPEN * edges
    )
    largest = np.flatnonzero(area > LARGE * float(area.sum()))
    spans = [bool((np.ptp(points[body == k].reshape(-1, 3), axis=0) > SPAN * size).sum() >= 2) for k in largest]
    return any(spans) and not is_sheet[largest].any()


def skin_planes(topology: Topology, mine: Flags) -> list[Plane]:
    """The flat parts of the skins of one body.

    Args:
        topology: a mended mesh in the van's axes [m].
        mine: faces of the body.

    Returns:
        Planes with all faces in them, the largest first.
    """
    points = topology.mesh.vertices[topology.mesh.faces]
    centres = points.mean(axis=1)
    middle = (points[mine].min(axis=(0, 1)) + points[mine].max(axis=(0, 1))) / 2
    piece = regions(topology, FLAT_RAD)
    area = np.bincount(piece, weights=np.where(mine, topology.areas, 0.0))
    metal = MetalTree(topology)
    out: list[Plane] = []
    taken = np.zeros(len(piece), dtype=bool)
    for which in np.argsort(-area):
        if area[which] < PIECE_M2:
            break
        own = np.flatnonzero((piece == which) & mine)
        if taken[own].all():
            continue
        biggest = own[np.argmax(topology.areas[own])]
        normal, point = topology.normals[biggest], centres[biggest]
        if float(normal @ (middle - point)) <= 0 or normal[0] > BACKWARD:
            continue
        off = np.abs((points - point) @ normal).max(axis=1)
        inside = np.flatnonzero(mine & (topology.normals @ normal > ALIKE) & (off < IN_PLANE_M) & ~taken)
        if float(topology.areas[inside].sum()) < SKIN_M2:
            continue
        taken[inside] = True
        if _is_outermost(metal, centres[inside], normal, topology.areas[inside]):
            out.append(Plane(normal, point, inside))
    return [one for one in out if not any(_lies_before(one, other) for other in out)]


def _lies_before(one: Plane, other: Plane) -> bool:
    """Whether a plane is a member's face that lies on the skin."""
    if float(one.normal @ other.normal) < ALIKE:
        return False
    off = float((one.point - other.point) @ other.normal)
    return 1e-4 < off < SHEET_M and len(one.faces) > 0


def _is_outermost(metal: MetalTree, centres: Points, normal: Points, areas: NDArray[np.float64]) -> bool:
    """Whether most of a plane has nothing behind it but its own sheet."""
    looked = np.argsort(-areas)[:LOOKS]
    free = 0.0
    for k in looked.tolist():
        start = centres[k] - SHEET_M * normal
        if metal.is_free(start[None], (centres[k] - BEYOND_M * normal)[None]):
            free += float(areas[k])
    return free > 0.5 * float(areas[looked].sum())


def whole_sheet(topology: Topology, planes: list[Plane]) -> Mesh:
    """The skins as one sheet again: gaps where members stand closed, corners of neighbours joined.

    Args:
        topology: the mesh [m].
        planes: of its skins.
    """
    outlines: list[tuple[Plane, NDArray[np.float64], list[list[Points]]]] = []
    for plane in planes:
        frame = across(plane.normal)
        flat = (topology.mesh.vertices[topology.mesh.faces[plane.faces]] - plane.point) @ frame.T
        whole = shapely.union_all(shapely.polygons(flat), grid_size=1e-6)
        whole = whole.buffer(FEET_M, join_style="mitre", mitre_limit=10).buffer(
            -FEET_M, join_style="mitre", mitre_limit=10
        )
        whole = shapely.simplify(whole, 2e-4)
        parts = [one for one in getattr(whole, "geoms", [whole]) if one.geom_type == "Polygon" and one.area > PIECE_M2]
        rings = [
            [np.asarray(ring.coords)[:-1] @ frame + plane.point for ring in (part.exterior, *part.interiors)]
            for part in parts
        ]
        outlines.append((plane, frame, rings))
    return _joined(outlines)


def _joined(outlines: list[tuple[Plane, NDArray[np.float64], list[list[Points]]]]) -> Mesh:
    corners = np.concatenate([ring for _, _, parts in outlines for rings in parts for ring in rings])
    spots = _snapped(corners)
    faces: list[NDArray[np.int64]] = []
    first = 0
    for plane, frame, parts in outlines:
        for rings in parts:
            loops = []
            for ring in rings:
                loops.append(_with_others(spots, first + np.arange(len(ring), dtype=np.int64)))
                first += len(ring)
            used = np.concatenate(loops)
            flat = (spots[used] - plane.point) @ frame.T
            ends = list(accumulate(len(loop) for loop in loops))
            hole = [flat[a:b] for a, b in pairwise(ends)]
            faces.append(_triangles(flat[: ends[0]], hole, flat, used, plane, spots))
    vertices, index = np.unique(spots, axis=0, return_inverse=True)
    index = index.reshape(-1)
    made = index[np.concatenate(faces)]
    whole = (made[:, 0] != made[:, 1]) & (made[:, 1] != made[:, 2]) & (made[:, 2] != made[:, 0])
    return Mesh(np.asarray(vertices, dtype=np.float64), made[whole].astype(np.int32))


def _snapped(corners: Points) -> Points:
    """Corners that lie together as one point."""
    pairs = cKDTree(corners).query_pairs(SNAP_M, output_type="ndarray").astype(np.int64)
    group = labels(len(corners), pairs[:, 0], pairs[:, 1])
    count = np.bincount(group)[:, None]
    middle = np.stack([np.bincount(group, weights=column) for column in corners.T], axis=1) / count
    return np.asarray(middle[group], dtype=np.float64)


def _with_others(spots: Points, loop: Ints) -> Ints:
    """A loop with the corners of neighbours put in that lie on its edges, so that sheets meet edge to edge."""
    out: list[int] = []
    for a, b in zip(loop.tolist(), np.roll(loop, -1).tolist(), strict=True):
        out.append(a)
        step = spots[b] - spots[a]
        long = float(np.linalg.norm(step))
        if long < 1e-9:
            continue
        along = (spots - spots[a]) @ step / long
        beside = np.linalg.norm(spots - spots[a] - along[:, None] * step / long, axis=1)
        on = np.flatnonzero((beside < 1e-3) & (along > SNAP_M) & (along < long - SNAP_M))
        seen: set[float] = set()
        for k in on[np.argsort(along[on])].tolist():
            key = round(float(along[k]), 4)
            if key not in seen:
                seen.add(key)
                out.append(k)
    return np.array(out, dtype=np.int64)


def _triangles(
    outer: Points, holes: list[Points], flat: Points, used: Ints, plane: Plane, spots: Points
) -> NDArray[np.int64]:
    """A polygon in triangles that look into the van; corners by number."""
    polygon = shapely.make_valid(shapely.Polygon(outer, holes))
    pieces = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon))
    tri = np.array([np.asarray(one.exterior.coords)[:3] for one in pieces if one.geom_type == "Polygon"])
    _, nearest = cKDTree(flat).query(tri.reshape(-1, 2))
    found = used[np.asarray(nearest)].reshape(-1, 3)
    cross = np.cross(spots[found[:, 1]] - spots[found[:, 0]], spots[found[:, 2]] - spots[found[:, 0]])
    away = cross @ plane.normal < 0
    found[away] = found[away][:, ::-1]
    return np.asarray(found, dtype=np.int64)


@dataclass(frozen=True, eq=False)
class Parted:
    """A mesh whose skins were taken off what stands on them.

    Args:
        mesh: the whole sheet of the skins, then the faces of all else; nothing is joined to the sheet.
        place: ``(m,)`` where each face of the given mesh is in it; -1 for those of skins and of their outer sides.
    """

    mesh: Mesh
    place: Ints


def parted(topology: Topology) -> Parted | None:
    """The skins taken off the members.

    Args:
        topology: a mended mesh in the van's axes whose skins are no sheets of their own [m].

    Returns:
        None where no skin is found.
    """
    planes = skin_planes(topology, np.ones(len(topology.areas), dtype=bool))
    if not planes:
        return None
    sheet = whole_sheet(topology, planes)
    middle = (sheet.vertices.min(axis=0) + sheet.vertices.max(axis=0)) / 2
    off = NearSkin(sheet, middle).signed(topology.mesh.vertices)[topology.mesh.faces]
    outward = (
        np.einsum("ij,ij->i", topology.normals, middle - topology.mesh.vertices[topology.mesh.faces].mean(axis=1)) < 0
    )
    # Beside a skin's edge its outer side is neither before nor behind it: there it is told by where it looks.
    gone = (off < ON_SKIN_M).all(axis=1) | ((np.abs(off) < SHEET_M).all(axis=1) & outward)
    rest = np.asarray(~gone, dtype=bool).reshape(-1)
    rest[np.concatenate([plane.faces for plane in planes])] = False
    used, index = np.unique(topology.mesh.faces[rest], return_inverse=True)
    faces = np.concatenate([sheet.faces, index.reshape(-1, 3) + len(sheet.vertices)]).astype(np.int32)
    place = np.full(len(rest), -1, dtype=np.int64)
    place[rest] = len(sheet.faces) + np.arange(int(rest.sum()))
    return Parted(Mesh(np.concatenate([sheet.vertices, topology.mesh.vertices[used]]), faces), place)
