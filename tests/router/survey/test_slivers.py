"""Slivers in plates take the plate's normal; thin walls of holes keep their own."""

from __future__ import annotations

import numpy as np
import pytest

from ribway.router.shell.parts import Mesh
from ribway.router.survey.passages import find_passages
from ribway.router.survey.repair import mend
from ribway.router.survey.rings import find_rings
from ribway.router.survey.slivers import calmed
from ribway.router.survey.topology import topology_of


def test_a_sliver_between_two_faces_of_a_plate_takes_their_normal() -> None:
    points = [(0, 0, 0), (0.1, 0, 0), (0.05, 0.0005, 0.0008), (0.05, -0.08, 0), (0.05, 0.08, 0)]
    faces = [(0, 1, 2), (1, 0, 3), (0, 2, 4), (2, 1, 4)]
    topology = topology_of(Mesh(np.array(points, dtype=np.float64), np.array(faces, dtype=np.int32)))
    assert topology.normals[0] @ [0, 0, 1] < 0.6
    after = calmed(topology)
    assert after.normals[0] @ [0, 0, 1] > 0.999
    assert np.array_equal(after.normals[1:], topology.normals[1:])


def test_the_wall_of_a_hole_in_thin_sheet_keeps_its_normals() -> None:
    """A square hole of 120 mm in 0.7 mm sheet: its wall's triangles are slivers too."""
    outer, inner = 0.2, 0.06
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]], dtype=np.float64)
    rings = [np.column_stack([size * corners, np.full(4, z)]) for z in (0.0007, 0.0) for size in (outer, inner)]
    faces = []
    for k in range(4):
        n = (k + 1) % 4
        faces += [(k, n, 4 + n), (k, 4 + n, 4 + k)]  # upper face
        faces += [(8 + n, 8 + k, 12 + k), (8 + n, 12 + k, 12 + n)]  # lower face
        faces += [(4 + k, 4 + n, 12 + n), (4 + k, 12 + n, 12 + k)]  # wall of the hole
        faces += [(n, k, 8 + k), (n, 8 + k, 8 + n)]  # outer wall
    mesh = Mesh(np.concatenate(rings), np.array(faces, dtype=np.int32))
    topology, _ = mend(mesh)
    assert np.array_equal(calmed(topology).normals, topology.normals)
    (passage,) = find_passages(topology, find_rings(topology))
    assert passage.clear.bore_m == pytest.approx(0.12, abs=1e-4)
