"""Solids with openings of known size, by manifold3d: what a survey must find follows from how they were made."""

from __future__ import annotations

import numpy as np
from manifold3d import Manifold
from numpy.typing import NDArray

from ribway.router.shell.parts import Mesh
from ribway.router.survey.crossings import Crossing, link
from ribway.router.survey.passages import Passage, find_passages
from ribway.router.survey.repair import mend
from ribway.router.survey.rings import find_rings
from ribway.router.survey.topology import bodies

Array = NDArray[np.float64]


def mesh_of(solid: Manifold) -> Mesh:
    raw = solid.to_mesh64()
    return Mesh(np.array(raw.vert_properties[:, :3]), np.array(raw.tri_verts, dtype=np.int32))


def block(size: tuple[float, float, float]) -> Manifold:
    return Manifold.cube(size, center=True)


def drill(bore: float, sides: int = 48, length: float = 1.0) -> Manifold:
    """A drill along z whose clear diameter is the bore: the polygon stands about the circle, flat sides along x and y."""
    whole = Manifold.cylinder(length, bore / 2 / np.cos(np.pi / sides), circular_segments=sides, center=True)
    return whole.rotate((0, 0, 180 / sides))


def slot(wide: float, long: float) -> Manifold:
    return Manifold.hull(
        drill(wide).translate(((long - wide) / 2, 0.0, 0.0)) + drill(wide).translate((-(long - wide) / 2, 0.0, 0.0))
    )


def passages(mesh: Mesh) -> list[Passage]:
    topology, _ = mend(mesh)
    return find_passages(topology, find_rings(topology))


def crossings(mesh: Mesh) -> list[Crossing]:
    topology, _ = mend(mesh)
    return link(topology, bodies(topology), find_passages(topology, find_rings(topology)))


def moved(mesh: Mesh, turn: Array, by: Array) -> Mesh:
    return Mesh(mesh.vertices @ turn.T + by, mesh.faces)
