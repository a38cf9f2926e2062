"""The surveyed metal as a picture shows it, without a plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.viewer.parts import LOOKS, crease_lines, wall_of_part
from ribway.viewer.shapes import Heading, PartShape, Scene

Points = NDArray[np.float64]
Faces = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Metal:
    """A part of the surveyed shell.

    Args:
        name: of the part.
        kind: skin, member, obstacle or panel.
        wall: the skin that it stands on first; empty if that is to be told from its place.
        vertices: ``(n, 3)`` [m].
        faces: ``(m, 3)``.
    """

    name: str
    kind: str
    wall: str
    vertices: Points
    faces: Faces


def part_shapes_of(metal: Sequence[Metal]) -> tuple[PartShape, ...]:
    """Parts as they are drawn.

    Args:
        metal: the parts; empty ones are left out.
    """
    there = [one for one in metal if len(one.vertices) and len(one.faces)]
    if not there:
        return ()
    low = np.min([one.vertices.min(axis=0) for one in there], axis=0)
    high = np.max([one.vertices.max(axis=0) for one in there], axis=0)
    walls: Mapping[str, str] = {one.name: one.wall for one in there if one.wall}
    return tuple(
        PartShape(
            one.name,
            one.kind,
            wall_of_part(one.name, (one.vertices.min(axis=0) + one.vertices.max(axis=0)) / 2, walls, low, high),
            one.vertices,
            one.faces,
            crease_lines(one.vertices, one.faces),
            *LOOKS[one.kind],
        )
        for one in there
    )


def bare_scene(name: str, metal: Sequence[Metal]) -> Scene:
    """The metal alone as a scene.

    Args:
        name: of the draft.
        metal: the parts, at least one.
    """
    parts = part_shapes_of(metal)
    cloud = np.concatenate([part.vertices for part in parts])
    heading = Heading(name, "", "", "", 0.0, 0, 0.0, 0, 0, 0, False, False, "metric")
    return Scene(heading, parts, (), (), (), (), (), cloud.min(axis=0), cloud.max(axis=0))
