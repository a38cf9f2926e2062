"""A roof that is curved both ways: lengths are bounded from above by what pygeodesic finds on the same mesh."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from plain_shells import on_roof, plain_shell, project
from pygeodesic import geodesic

from ribway.router.planner import plan_on
from ribway.router.shell.parts import Mesh, Shell, Skin

RADIUS, TOP, LAY = 4.0, 1.9, 0.0275


def dome() -> Shell:
    """Part of a sphere, 2.0 x 1.6 m, seen from below; a van without a roof bow."""
    across, along = np.linspace(-0.8, 0.8, 13), -np.linspace(0.0, 2.0, 15)
    points = np.array(
        [[x, y, TOP - RADIUS + math.sqrt(RADIUS**2 - y**2 - (x + 1.0) ** 2)] for x in along for y in across]
    )
    faces = []
    for i in range(14):
        for j in range(12):
            a, b, c, d = i * 13 + j, (i + 1) * 13 + j, (i + 1) * 13 + j + 1, i * 13 + j + 1
            faces += [[a, c, b], [a, d, c]]
    mesh = Mesh(points, np.array(faces, dtype=np.int32))
    normals = np.cross(
        points[mesh.faces[:, 1]] - points[mesh.faces[:, 0]], points[mesh.faces[:, 2]] - points[mesh.faces[:, 0]]
    )
    if normals[:, 2].mean() > 0:
        mesh = Mesh(points, np.ascontiguousarray(mesh.faces[:, ::-1]))
    return replace(plain_shell(2.0, 1.2, []), skins=(Skin("roof", mesh, "roof", LAY),), openings=())


PLACES = [((0.3, -0.6), (1.7, 0.5)), ((0.2, 0.0), (1.8, 0.0)), ((0.5, 0.6), (0.7, -0.7)), ((1.0, 0.1), (1.9, 0.65))]


@pytest.mark.parametrize("lay", ["taut", "square"])
def test_lengths_on_a_dome_are_on_the_safe_side(lay: str) -> None:
    shell = dome()
    places, circuits = {}, []
    for k, (start, end) in enumerate(PLACES):
        places |= {f"a{k}": on_roof(*start, LAY), f"b{k}": on_roof(*end, LAY)}
        circuits.append({"id": f"C{k}", "name": f"C{k}", "from": f"a{k}", "to": [f"b{k}"]})
    plan = plan_on(project(places, circuits, {"lay": lay}), shell)
    assert plan.complete
    mesh = shell.skins[0].mesh
    for run, (start, end) in zip(plan.runs, PLACES, strict=True):
        # Both ends become vertices of the mesh's copy, so that the solver measures from point to point.
        vertices, faces = mesh.vertices.copy(), mesh.faces
        ends = []
        for back, left in (start, end):
            vertices, faces, index = with_point(vertices, faces, -back, left)
            ends.append(index)
        true_m, _ = geodesic.PyGeodesicAlgorithmExact(vertices, faces).geodesicDistance(*ends)
        assert run.sharp_m >= run.taut_m - 1e-4
        assert run.taut_m >= true_m - 2 * LAY, "the cable lies inside the dome, at the most two lay depths shorter"
        if lay == "taut":
            assert run.sharp_m >= true_m - 1e-4
            assert run.sharp_m <= true_m * 1.12, "and not by much: the rim leans by no more than 19 degrees"
    assert "curved-skin" in [found.code for found in plan.findings]
    assert not any(bay.exact for bay in plan.bays)
    steepest = math.asin(math.hypot(0.8, 1.0) / RADIUS)
    assert 0.0 < plan.bays[0].deviation_percent <= 100 * (1 / math.cos(steepest) - 1) + 0.5


def with_point(vertices: np.ndarray, faces: np.ndarray, x: float, y: float) -> tuple[np.ndarray, np.ndarray, int]:
    """The mesh with a vertex straight above or below (x, y): the face there is cut into three."""
    for number, face in enumerate(faces):
        corners = vertices[face]
        system = np.vstack([corners[:, :2].T, np.ones(3)])
        weights = np.linalg.solve(system, [x, y, 1.0])
        if (weights > 1e-9).all():
            new = len(vertices)
            a, b, c = face.tolist()
            parts = np.array([[a, b, new], [b, c, new], [c, a, new]], dtype=np.int32)
            return np.vstack([vertices, weights @ corners]), np.vstack([np.delete(faces, number, 0), parts]), new
        if (weights > -1e-9).all():  # on an edge: a little aside
            return with_point(vertices, faces, x + 1e-6, y + 2e-6)
    raise AssertionError("the place is off the dome")
