"""A mesh made light to be drawn: fewer triangles, no corner far from where it was, the shape as it was."""

from __future__ import annotations

import base64

import numpy as np
import pytest
import shapely

from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanPart
from ribway.viewer.legend import cautions
from ribway.viewer.parts import unpacked
from ribway.viewer.report.page import page_text
from ribway.viewer.scene import scene_of
from ribway.viewer.thinning import MOST_TRIANGLES, clustered, thinned_parts, triangles_of


def sheet(steps: int) -> tuple[np.ndarray, np.ndarray]:
    """A flat sheet of 1 m by 1 m, `steps` squares a side."""
    x, y = np.meshgrid(np.linspace(0, 1, steps + 1), np.linspace(0, 1, steps + 1), indexing="ij")
    vertices = np.stack([x.ravel(), y.ravel(), np.zeros(x.size)], axis=1)
    corner = (np.arange(steps)[:, None] * (steps + 1) + np.arange(steps)).ravel()
    near = np.stack([corner, corner + steps + 1, corner + 1], axis=1)
    far = np.stack([corner + 1, corner + steps + 1, corner + steps + 2], axis=1)
    return vertices, np.concatenate([near, far]).astype(np.int32)


def part(vertices: np.ndarray, faces: np.ndarray) -> PlanPart:
    pack = [base64.b64encode(array.tobytes()).decode() for array in (vertices.astype("<f4"), faces.astype("<u4"))]
    return PlanPart(name="left", kind="skin", vertices_f32=pack[0], faces_u32=pack[1])


@pytest.mark.parametrize("cell_m", [0.03, 0.11, 0.26])
def test_corners_move_no_farther_than_the_diagonal_of_a_cell(cell_m: float) -> None:
    rng = np.random.default_rng(4)
    vertices, faces = sheet(40)
    vertices = vertices + np.stack([np.zeros(len(vertices))] * 2 + [rng.uniform(0, 0.2, len(vertices))], axis=1)
    light, left = clustered(vertices, faces, cell_m)
    assert 0 < len(left) < len(faces)
    assert left.max() < len(light)
    gaps = np.linalg.norm(vertices[:, None] - light[None], axis=2)
    assert gaps.min(axis=1).max() <= cell_m * 3**0.5
    assert gaps.min(axis=0).max() <= cell_m * 3**0.5


def test_a_flat_sheet_keeps_its_plane_and_most_of_its_area() -> None:
    light, faces = clustered(*sheet(60), 0.05)
    corners = light[faces]
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1).sum() / 2
    assert np.allclose(light[:, 2], 0.0)
    assert 0.85 < area <= 1.0 + 1e-9


@pytest.mark.parametrize("cell_m", [0.004, 0.013, 0.05])
def test_both_faces_of_a_thin_sheet_stay_whole(cell_m: float) -> None:
    """Sheet of 1.5 mm, both faces with corners of their own that waver: looked at square to it there is no gap (shapely)."""
    rng = np.random.default_rng(2)
    vertices, faces = sheet(60)
    layers = [vertices + rng.normal(0.0, 0.002, vertices.shape) + [0.0, 0.0, z] for z in (0.0, 0.0015)]
    light, left = clustered(np.concatenate(layers), np.concatenate([faces, faces[:, ::-1] + len(vertices)]), cell_m)
    seen = shapely.union_all(shapely.make_valid(shapely.polygons(light[left][:, :, :2])), grid_size=1e-7)
    rim = 2 * cell_m + 0.01
    assert seen.buffer(1e-6).covers(shapely.box(rim, rim, 1 - rim, 1 - rim))


def test_what_can_be_drawn_is_left_alone_and_what_cannot_is_thinned_and_said() -> None:
    small, large = part(*sheet(4)), part(*sheet(100))
    assert thinned_parts([small]) == ((small,), "")
    light, words = thinned_parts([small, large], most=3000)
    assert sum(len(unpacked(one)[1]) for one in light) <= 3000
    assert "20,032 triangles, too many to draw" in words
    assert [one.name for one in light] == ["left", "left"]


def test_pictures_and_page_draw_the_thinned_metal_and_say_so(sample_plan: Plan) -> None:
    heavy = sample_plan.model_copy(update={"parts": (*sample_plan.parts, part(*sheet(400)))})
    scene = scene_of(heavy)
    assert sum(len(one.faces) for one in scene.parts) <= MOST_TRIANGLES
    assert "triangles, too many to draw: shown with" in scene.heading.thinned
    assert scene.heading.thinned[1:] in cautions(scene.heading)
    page = page_text([heavy], {})
    assert "triangles, too many to draw: shown with" in page
    assert len(page.encode()) < 5_000_000
    assert scene_of(sample_plan).heading.thinned == ""
    assert "too many to draw" not in page_text([sample_plan], {})


def test_triangles_are_counted_without_unpacking(sample_plan: Plan) -> None:
    for one in sample_plan.parts:
        assert triangles_of(one) == len(unpacked(one)[1])
