"""Openings of known size and place in plates, boxes, tubes and sheets, and what looks like one and is none."""

from __future__ import annotations

import numpy as np
import pytest
from drilled import block, crossings, drill, mesh_of, moved, passages, slot
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from scipy.spatial.transform import Rotation

from ribway.router.shell.parts import Mesh
from ribway.router.survey.repair import mend

PLATE = (0.4, 0.3, 0.002)


@pytest.mark.parametrize("thick", [0.0008, 0.002, 0.02])
@pytest.mark.parametrize("bore", [0.006, 0.025, 0.06])
def test_round_hole_in_a_plate(bore: float, thick: float) -> None:
    centre = np.array([0.07, -0.05, 0.0])
    (found,) = passages(mesh_of(block((0.4, 0.3, thick)) - drill(bore).translate(tuple(centre))))
    assert found.kind == "hole"
    assert found.clear.shape == "round"
    assert found.clear.bore_m == pytest.approx(bore, abs=2e-5)
    assert found.depth_m == pytest.approx(thick, abs=1e-9)
    assert found.centre == pytest.approx(centre, abs=1e-6)
    assert abs(found.axis[2]) == pytest.approx(1.0)


def test_slot_in_a_plate() -> None:
    (found,) = passages(mesh_of(block(PLATE) - slot(0.02, 0.045).rotate((0, 0, 30)).translate((0.1, 0.0, 0.0))))
    assert found.clear.shape == "slot"
    assert found.clear.bore_m == pytest.approx(0.02, abs=2e-5)
    assert found.clear.length_m == pytest.approx(0.045, abs=1e-4)
    assert found.clear.long is not None
    assert abs(found.clear.long @ [np.cos(np.pi / 6), 0.5, 0.0]) == pytest.approx(1.0, abs=1e-4)


def test_slanted_hole_in_a_thick_plate_lets_through_its_own_bore() -> None:
    (found,) = passages(mesh_of(block((0.4, 0.3, 0.05)) - drill(0.03).rotate((0, 25, 0))))
    assert abs(found.axis @ [np.sin(np.radians(25)), 0, np.cos(np.radians(25))]) == pytest.approx(1.0, abs=1e-6)
    assert found.clear.bore_m == pytest.approx(0.03, abs=1e-4)


def test_countersunk_hole_lets_through_its_narrow_part() -> None:
    cone = Manifold.cylinder(0.011, 0.01, 0.032, circular_segments=48).translate((0, 0, 0))
    (found,) = passages(mesh_of(block((0.3, 0.3, 0.02)) - drill(0.02) - cone))
    assert found.clear.bore_m == pytest.approx(0.02, abs=5e-5)


def test_both_webs_of_a_box_are_one_crossing() -> None:
    tube = block((0.06, 0.05, 0.8)) - block((0.057, 0.047, 1.0))
    body = tube - drill(0.025).rotate((0, 90, 0)).translate((0, 0, 0.1))
    (found,) = crossings(mesh_of(body))
    assert len(found.passages) == 2
    assert found.bore_m == pytest.approx(0.025, abs=2e-5)
    # From 6 mm before the first web to 6 mm behind the second: 60 mm and twice the clearance.
    assert np.linalg.norm(found.line[-1] - found.line[0]) == pytest.approx(0.072, abs=1e-6)
    assert found.centre == pytest.approx([0, 0, 0.1], abs=1e-6)


def test_a_passage_round_the_corner_of_a_box_has_a_corner() -> None:
    tube = block((0.06, 0.06, 0.8)) - block((0.056, 0.056, 1.0))
    in_x = drill(0.02, length=0.06).rotate((0, 90, 0)).translate((0.03, 0, 0))
    in_y = drill(0.02, length=0.06).rotate((90, 0, 0)).translate((0, 0.03, 0))
    (found,) = crossings(mesh_of(tube - in_x - in_y))
    assert found.line.shape == (3, 3)
    assert found.line[1] == pytest.approx([0, 0, 0], abs=1e-6)


def test_a_wall_between_two_holes_keeps_them_apart() -> None:
    tube = block((0.1, 0.05, 0.8)) - block((0.046, 0.046, 1.0)).translate((0.025, 0, 0))
    tube -= block((0.046, 0.046, 1.0)).translate((-0.025, 0, 0))
    ends = drill(0.02, length=0.03).rotate((0, 90, 0))
    found = crossings(mesh_of(tube - ends.translate((0.05, 0, 0)) - ends.translate((-0.05, 0, 0))))
    assert [len(one.passages) for one in found] == [1, 1]


NONE = {
    "blind pocket": lambda: block((0.3, 0.3, 0.02)) - drill(0.03, length=0.02).translate((0, 0, 0.012)),
    "boss": lambda: block((0.3, 0.3, 0.002)) + drill(0.03, length=0.02).translate((0, 0, 0.01)),
    "notch in the edge": lambda: block((0.3, 0.3, 0.002)) - drill(0.03).translate((0.15, 0, 0)),
    "pockets back to back": lambda: block((0.3, 0.3, 0.02))
    - drill(0.03, length=0.01).translate((0, 0, 0.009)) - drill(0.03, length=0.01).translate((0, 0, -0.009)),
    "tube": lambda: Manifold.cylinder(0.5, 0.03, circular_segments=32) - Manifold.cylinder(1.2, 0.028, circular_segments=32),
    "plain block": lambda: block((0.3, 0.3, 0.02)),
}  # fmt: skip


@pytest.mark.parametrize("name", NONE)
def test_what_is_no_hole_for_a_cable(name: str) -> None:
    assert [one for one in passages(mesh_of(NONE[name]())) if one.kind == "hole"] == []


def test_hole_in_an_open_sheet() -> None:
    """One face of a drilled plate alone: a sheet without thickness."""
    solid = mesh_of(block(PLATE) - drill(0.025).translate((0.05, 0, 0)) - slot(0.02, 0.05).translate((-0.1, 0, 0)))
    top = (solid.vertices[solid.faces][:, :, 2] > 0.0005).all(axis=1)
    found = sorted(passages(Mesh(solid.vertices, solid.faces[top])), key=lambda one: one.centre[0])
    assert [one.clear.shape for one in found] == ["slot", "round"]
    assert found[1].clear.bore_m == pytest.approx(0.025, abs=2e-5)
    assert found[1].centre == pytest.approx([0.05, 0, 0.001], abs=1e-6)


@settings(max_examples=12, deadline=None, derandomize=True)
@given(st.integers(0, 10_000))
def test_turning_mirroring_and_moving_changes_nothing(seed: int) -> None:
    rng = np.random.default_rng(seed)
    plate = block(PLATE) - drill(0.03).translate((0.1, 0.05, 0)) - slot(0.02, 0.05).translate((-0.1, -0.05, 0))
    mesh = mesh_of(plate)
    turn = Rotation.random(random_state=seed).as_matrix()
    turned = moved(mesh, turn, rng.uniform(-5, 5, 3))
    shuffled = rng.permutation(len(mesh.faces))
    mirrored = Mesh(turned.vertices * [1, -1, 1], turned.faces[shuffled])  # winding now inside out: it is mended
    for one in (turned, mirrored):
        found = sorted(passages(one), key=lambda hole: hole.clear.bore_m)
        assert [hole.clear.shape for hole in found] == ["slot", "round"]
        assert [hole.clear.bore_m for hole in found] == pytest.approx([0.02, 0.03], abs=3e-5)
        apart = np.linalg.norm(found[0].centre - found[1].centre)
        assert apart == pytest.approx(np.hypot(0.2, 0.1), abs=1e-6)


def test_areas_and_volumes_are_those_of_manifold() -> None:
    """Mending loses and adds no metal."""
    solid = block((0.3, 0.2, 0.05)) - drill(0.03) - slot(0.02, 0.05).translate((0.1, 0, 0))
    mesh = mesh_of(solid)
    rng = np.random.default_rng(3)
    soup = Mesh(mesh.vertices[mesh.faces].reshape(-1, 3), np.arange(3 * len(mesh.faces), dtype=np.int32).reshape(-1, 3))
    flipped = rng.random(len(soup.faces)) < 0.3
    faces = soup.faces.copy()
    faces[flipped] = faces[flipped][:, ::-1]
    topology, mends = mend(Mesh(soup.vertices, np.concatenate([faces, faces[:5]])))
    tri = topology.mesh.vertices[topology.mesh.faces]
    volume = np.einsum("ij,ij->i", tri[:, 0], np.cross(tri[:, 1], tri[:, 2])).sum() / 6
    assert topology.areas.sum() == pytest.approx(solid.surface_area(), rel=1e-9)
    assert volume == pytest.approx(solid.volume(), rel=1e-9)
    assert mends.doubled == 5
    assert mends.open_edges == 0
