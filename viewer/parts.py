"""A plan's shell parts as arrays: unpacked, given a wall, a colour and the lines along their creases."""

from __future__ import annotations

import base64
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanPart
from ribway.viewer import palette
from ribway.viewer.shapes import PartShape

Points = NDArray[np.float64]
Faces = NDArray[np.int32]

WALLS = ("left", "right", "roof", "floor", "bulkhead", "rear")
LOOKS: Mapping[str, tuple[str, float]] = {
    "skin": (palette.SKIN, 0.22),
    "member": (palette.MEMBER, 1.0),
    "obstacle": (palette.OBSTACLE, 0.55),
    "panel": (palette.PANEL, 0.12),
}
CREASE_DEG = 30.0


def unpacked(part: PlanPart) -> tuple[Points, Faces]:
    """A part's arrays.

    Args:
        part: as the plan has it.

    Returns:
        ``(n, 3)`` vertices [m] and ``(m, 3)`` triangles.
    """
    vertices = np.frombuffer(base64.b64decode(part.vertices_f32), dtype="<f4").reshape(-1, 3).astype(np.float64)
    faces = np.frombuffer(base64.b64decode(part.faces_u32), dtype="<u4").reshape(-1, 3).astype(np.int32)
    return vertices, faces


def crease_lines(vertices: Points, faces: Faces, crease_deg: float = CREASE_DEG) -> Points:
    """Lines along open rims and along edges where the surface turns.

    Args:
        vertices: ``(n, 3)`` [m].
        faces: ``(m, 3)`` indices; equal vertices need not be merged.
        crease_deg: an edge is drawn if its two triangles turn by more than this [deg].

    Returns:
        ``(k, 2, 3)`` end points [m].
    """
    if len(faces) == 0:
        return np.empty((0, 2, 3))
    _, same = np.unique(np.round(vertices, 5), axis=0, return_inverse=True)
    welded = same.reshape(-1)[faces]
    corner = vertices[faces]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    size = np.linalg.norm(normal, axis=1)
    normal = normal / np.maximum(size, 1e-15)[:, None]
    pair = np.concatenate([welded[:, [0, 1]], welded[:, [1, 2]], welded[:, [2, 0]]])
    places = np.concatenate([corner[:, [0, 1]], corner[:, [1, 2]], corner[:, [2, 0]]])
    owner = np.tile(np.arange(len(faces)), 3)
    real = (pair[:, 0] != pair[:, 1]) & (size[owner] > 1e-12)
    pair, places, owner = np.sort(pair[real], axis=1), places[real], owner[real]
    order = np.lexsort((pair[:, 1], pair[:, 0]))
    pair, places, owner = pair[order], places[order], owner[order]
    first = np.concatenate([[True], np.any(pair[1:] != pair[:-1], axis=1)])
    start = np.flatnonzero(first)
    count = np.diff(np.append(start, len(pair)))
    drawn = count == 1
    twice = np.flatnonzero(count == 2)
    turn = np.abs(np.einsum("ij,ij->i", normal[owner[start[twice]]], normal[owner[start[twice] + 1]]))
    drawn[twice] = turn < np.cos(np.radians(crease_deg))
    drawn |= count > 2
    lines: Points = places[start[drawn]]
    return lines


def wall_of_part(name: str, middle: Points, members: Mapping[str, str], low: Points, high: Points) -> str:
    """The wall a part belongs to: by its name, by the openings in it, else by the side of the van it is nearest to.

    Args:
        name: the part's name.
        middle: ``(3,)`` middle of its box [m].
        members: wall by member, from the plan's openings.
        low: ``(3,)`` least corner of the shell [m].
        high: ``(3,)`` greatest corner of the shell [m].

    Returns:
        One of ``WALLS``.
    """
    if name in WALLS:
        return name
    if name in members:
        return members[name]
    gaps = np.concatenate([high - middle, middle - low])
    names = ("bulkhead", "left", "roof", "rear", "right", "floor")
    return names[int(np.argmin(gaps))]


def part_shapes(plan: Plan) -> tuple[PartShape, ...]:
    """All shell parts as they are drawn.

    Args:
        plan: the plan.

    Returns:
        The parts in the plan's order, empty ones left out.
    """
    meshes = [(part, *unpacked(part)) for part in plan.parts]
    meshes = [mesh for mesh in meshes if len(mesh[1]) and len(mesh[2])]
    if not meshes:
        return ()
    low = np.min([vertices.min(axis=0) for _, vertices, _ in meshes], axis=0)
    high = np.max([vertices.max(axis=0) for _, vertices, _ in meshes], axis=0)
    members = {opening.member: opening.wall for opening in plan.openings if opening.wall in WALLS}
    return tuple(
        PartShape(
            name=part.name,
            kind=part.kind,
            wall=wall_of_part(part.name, (vertices.min(axis=0) + vertices.max(axis=0)) / 2.0, members, low, high),
            vertices=vertices,
            faces=faces,
            edges=crease_lines(vertices, faces),
            colour=LOOKS[part.kind][0],
            opacity=LOOKS[part.kind][1],
        )
        for part, vertices, faces in meshes
    )
