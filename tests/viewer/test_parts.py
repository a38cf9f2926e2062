"""Shell parts out of a plan."""

from __future__ import annotations

import numpy as np
import trimesh

from ribway.models.plan.plan import Plan
from ribway.viewer.parts import crease_lines, part_shapes, unpacked, wall_of_part
from samples import metal, van_metal


def length(lines: np.ndarray) -> float:
    return float(np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1).sum())


def test_arrays_come_back_as_they_went_in() -> None:
    points = [(0.0, 0.5, -0.25), (1.0, 0.0, 0.0), (0.0, 1.0, 2.0), (4.0, 4.0, 4.0)]
    vertices, faces = unpacked(metal.part("p", "panel", points, [(0, 1, 2), (1, 3, 2)]))
    assert vertices.dtype == np.float64
    assert np.array_equal(vertices, np.array(points))
    assert np.array_equal(faces, [[0, 1, 2], [1, 3, 2]])


def test_a_box_is_drawn_by_its_twelve_edges_welded_or_not() -> None:
    box = trimesh.creation.box((1.0, 2.0, 3.0))
    assert len(crease_lines(box.vertices, box.faces.astype(np.int32))) == 12
    loose = box.vertices[box.faces].reshape(-1, 3)
    lines = crease_lines(loose, np.arange(len(loose), dtype=np.int32).reshape(-1, 3))
    assert len(lines) == 12
    assert length(lines) == 4 * (1.0 + 2.0 + 3.0)


def test_a_smooth_surface_has_no_creases_and_a_sharp_one_has() -> None:
    ball = trimesh.creation.icosphere(subdivisions=3)
    assert len(crease_lines(ball.vertices, ball.faces.astype(np.int32))) == 0
    assert len(crease_lines(ball.vertices, ball.faces.astype(np.int32), crease_deg=1.0)) == len(ball.edges_unique)


def test_rims_of_holes_are_drawn(sample_plan: Plan) -> None:
    """A sheet's lines are its outline and the rims of its holes; the rims are polygons of known length."""
    bow = next(part for part in van_metal.parts() if part.name == "B1")
    lines = crease_lines(*unpacked(bow))
    radius = van_metal.BORE / 2 / np.cos(np.pi / van_metal.RIM_CORNERS)
    rim = van_metal.RIM_CORNERS * 2 * radius * np.sin(np.pi / van_metal.RIM_CORNERS)
    outline = 2 * (2 * (van_metal.WALL_Y - 0.09) + van_metal.DEPTH)
    assert np.isclose(length(lines), outline + len(van_metal.BOW_ROWS) * rim, rtol=1e-4)


def test_parts_know_their_wall(sample_plan: Plan) -> None:
    walls = {part.name: part.wall for part in part_shapes(sample_plan)}
    assert walls == {
        "floor": "floor", "roof": "roof", "left": "left", "right": "right", "bulkhead": "bulkhead",
        "L1": "left", "R1": "right",
    }  # fmt: skip


def test_a_part_of_unknown_name_belongs_to_the_nearest_side() -> None:
    low, high = np.array([-3.0, -0.9, 0.0]), np.array([0.0, 0.9, 1.8])
    for middle, wall in (
        ((-1.5, 0.8, 0.9), "left"),
        ((-1.5, -0.8, 0.9), "right"),
        ((-1.5, 0.0, 1.7), "roof"),
        ((-1.5, 0.0, 0.1), "floor"),
        ((-0.1, 0.0, 0.9), "bulkhead"),
        ((-2.9, 0.0, 0.9), "rear"),
    ):
        assert wall_of_part("x", np.array(middle), {}, low, high) == wall
    assert wall_of_part("B2", np.array((-1.5, 0.8, 0.9)), {"B2": "roof"}, low, high) == "roof"


def test_a_plan_without_parts_has_none(sample_plan: Plan) -> None:
    assert part_shapes(sample_plan.model_copy(update={"parts": ()})) == ()
    empty = metal.part("nothing", "panel", [(0.0, 0.0, 0.0)], [])
    assert part_shapes(sample_plan.model_copy(update={"parts": (empty,)})) == ()
