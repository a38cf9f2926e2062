"""The skins as open sheets of few big flat faces, window and door openings cut out."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np
from shapely import Polygon, box
from shapely.ops import unary_union

from ribway.router.shell import dimensions as dim
from ribway.router.shell.parts import Faces, Mesh, Points, Skin
from ribway.router.shell.profile import Profile
from ribway.router.shell.solids import one_polygon, triangulate

if TYPE_CHECKING:
    from ribway.router.shell.parameters import ShellParameters, WindowBox


def build_skins(parameters: ShellParameters, profile: Profile) -> tuple[Skin, ...]:
    """All skins of a van.

    Args:
        parameters: what the fitter measured.
        profile: its section.

    Returns:
        left, right, roof, floor and, where one is fitted, bulkhead.
    """
    lay = dim.lay_depth_m(parameters.rib_depth_m)
    edge_left, edge_right = profile.corner_index("edge", "left"), profile.corner_index("edge", "right")
    last = len(profile.corners) - 1
    skins = [
        Skin("left", _sheet(parameters, profile, 1, edge_left, wall_cutouts(parameters, profile, "left")), "wall", lay),
        Skin(
            "right",
            _sheet(parameters, profile, edge_right, last - 1, wall_cutouts(parameters, profile, "right")),
            "wall",
            lay,
        ),
        Skin("roof", _sheet(parameters, profile, edge_left, edge_right, []), "roof", lay),
        Skin("floor", _floor(parameters, profile), "floor", lay),
    ]
    if parameters.bulkhead:
        points, faces = triangulate(Polygon(profile.corners[1:-1]))
        section = np.column_stack([np.zeros(len(points)), points])
        skins.append(Skin("bulkhead", Mesh(profile.shear(section), faces[:, ::-1].copy()), "wall", lay))
    return tuple(skins)


def chamfered(front_m: float, rear_m: float, bottom_m: float, top_m: float) -> Polygon:
    """A box in (x, z) with cut corners; front and rear are distances back [m]."""
    c = min(dim.CHAMFER_M, (rear_m - front_m) / 4, (top_m - bottom_m) / 4)
    a, b = -rear_m, -front_m
    return Polygon(
        [
            (a + c, bottom_m), (b - c, bottom_m), (b, bottom_m + c), (b, top_m - c),
            (b - c, top_m), (a + c, top_m), (a, top_m - c), (a, bottom_m + c),
        ]
    )  # fmt: skip


def window_outline(window: WindowBox) -> Polygon:
    """A window's opening in (x, z) [m]."""
    return chamfered(window.front_m, window.rear_m, window.bottom_m, window.top_m)


def door_outline(parameters: ShellParameters, profile: Profile) -> Polygon | None:
    """The side door's opening in (x, z) [m], or None."""
    door = parameters.side_door
    if door is None:
        return None
    edge = float(profile.girth[profile.corner_index("edge", "left")])
    top = float(profile.at(edge - dim.EDGE_LEG_M - dim.DOOR_HEAD_M)[1])
    return chamfered(door.front_m, door.rear_m, dim.DOOR_FOOT_M, top)


def wall_cutouts(parameters: ShellParameters, profile: Profile, side: str) -> list[Polygon]:
    """Openings to cut out of a wall, in (x, z) [m]."""
    cutouts = [window_outline(window) for window in parameters.windows if window.side == side]
    door = door_outline(parameters, profile)
    if door is not None and parameters.side_door is not None and parameters.side_door.side == side:
        cutouts.append(door)
    return cutouts


def _floor(parameters: ShellParameters, profile: Profile) -> Mesh:
    half, back = float(profile.corners[1, 0]), -parameters.length_m
    corners = np.array([[0.0, half, 0.0], [back, half, 0.0], [back, -half, 0.0], [0.0, -half, 0.0]])
    return Mesh(profile.shear(corners), np.array([[0, 1, 2], [0, 2, 3]], dtype=np.int32))


def _sheet(parameters: ShellParameters, profile: Profile, first: int, last: int, cutouts: list[Polygon]) -> Mesh:
    """The strips between two corners of the section as one welded sheet.

    Each strip is triangulated in (x, t), t being height on walls and girth on the roof, where the cutouts are empty;
    the corner points of either neighbour on a fold line are given to both, so that no corner meets an edge's middle.
    """
    on_wall = bool(cutouts)
    ticks = profile.corners[first : last + 1, 1] if on_wall else profile.girth[first : last + 1]
    gone = unary_union(cutouts)
    strips: list[Polygon] = []
    for k in range(first, last):
        low, high = sorted((float(ticks[k - first]), float(ticks[k - first + 1])))
        rest = box(-parameters.length_m, low, 0.0, high).difference(gone)
        strips.append(one_polygon(rest, "a strip of wall"))
    shared = np.concatenate([np.concatenate(_rings(strip)) for strip in strips])
    points: list[Points] = []
    faces: list[Faces] = []
    count = 0
    for k, strip in zip(range(first, last), strips, strict=True):
        flat, triangles = triangulate(_with_points(strip, shared))
        start, step = ticks[k - first], ticks[k - first + 1] - ticks[k - first]
        share = (flat[:, 1] - start) / step
        yz = profile.corners[k] + share[:, None] * (profile.corners[k + 1] - profile.corners[k])
        placed = profile.shear(np.column_stack([flat[:, 0], yz]))
        inward = np.array([0.0, *profile.normals[k]])
        a, b, c = (placed[triangles[:, i]] for i in range(3))
        outward = np.cross(b - a, c - a) @ inward < 0
        triangles[outward] = triangles[outward][:, ::-1]
        points.append(placed)
        faces.append(triangles + count)
        count += len(placed)
    return weld(Mesh(np.concatenate(points), np.concatenate(faces).astype(np.int32)))


def _rings(polygon: Polygon) -> list[Points]:
    return [np.asarray(ring.coords, dtype=np.float64) for ring in (polygon.exterior, *polygon.interiors)]


def _with_points(polygon: Polygon, points: Points) -> Polygon:
    """The polygon with every given point that lies on one of its edges made a corner."""

    def filled(ring: Points) -> list[Points]:
        corners: list[Points] = []
        for a, b in itertools.pairwise(ring):
            along = b - a
            length = float(np.linalg.norm(along))
            share = (points - a) @ along / length**2
            off = np.abs((points[:, 0] - a[0]) * along[1] - (points[:, 1] - a[1]) * along[0]) / length
            on = np.unique(share[(off < 1e-9) & (share * length > 1e-9) & ((1 - share) * length > 1e-9)].round(12))
            corners += [a, *(a + t * along for t in on)]
        return corners

    rings = [filled(ring) for ring in _rings(polygon)]
    return Polygon(rings[0], rings[1:])


def weld(mesh: Mesh, tolerance_m: float = 1e-7) -> Mesh:
    """Join vertices at the same place and drop faces that thereby vanish.

    Args:
        mesh: any mesh.
        tolerance_m: grid on which places are compared [m].

    Returns:
        The welded mesh, vertices in order of first use.
    """
    keys = np.round(mesh.vertices / tolerance_m).astype(np.int64)
    _, first, index = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    order = np.argsort(first, kind="stable")
    rank = np.empty(len(order), dtype=np.int32)
    rank[order] = np.arange(len(order), dtype=np.int32)
    faces = rank[index.reshape(-1)][mesh.faces]
    real = (faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])
    return Mesh(mesh.vertices[first[order]], faces[real].astype(np.int32))
