"""Flat cables: broad side to the wall, two round edges, never thicker or wider than stated."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import MultiPoint

from ribway.models.plan.plan import Plan
from ribway.viewer.flat import outward, thin_sides
from ribway.viewer.frames import tangents
from ribway.viewer.scene import scene_of
from ribway.viewer.sweep import ribbon
from ribway.viewer.views import seen_in, view_named
from samples.van import van_plan

LOW, HIGH = np.array([-3.7, -0.9, 0.0]), np.array([0.0, 0.9, 1.9])


@pytest.fixture(scope="module")
def plan() -> Plan:
    """A van whose first run is a flat cable."""
    made = van_plan()
    first = made.runs[0].model_copy(update={"outside_mm": 10.0, "thickness_mm": 5.0})
    return made.model_copy(update={"runs": (first, *made.runs[1:])})


@pytest.mark.parametrize(
    ("place", "way_out"),
    [
        ((-1.5, 0.88, 0.7), (0.0, 1.0, 0.0)),
        ((-1.5, -0.88, 0.7), (0.0, -1.0, 0.0)),
        ((-1.5, 0.1, 1.88), (0.0, 0.0, 1.0)),
        ((-1.5, 0.1, 0.02), (0.0, 0.0, -1.0)),
        ((-0.03, 0.2, 0.7), (1.0, 0.0, 0.0)),
    ],
)
def test_the_way_out_leads_through_the_nearest_wall(
    place: tuple[float, float, float], way_out: tuple[float, float, float]
) -> None:
    found = outward(np.array([place]), LOW, HIGH)[0]
    assert np.degrees(np.arccos(found @ np.array(way_out))) < 8.0


def test_a_flat_cable_lies_on_its_wall_and_turns_over_into_the_roof() -> None:
    up = np.linspace(0.3, 1.8, 30)
    wall = np.stack([np.full(30, -1.0), np.full(30, 0.88), up], axis=1)
    roof = np.stack([np.full(30, -1.0), np.linspace(0.8, -0.8, 30), np.full(30, 1.88)], axis=1)
    curve = np.concatenate([wall, roof])
    thin = thin_sides(curve, LOW, HIGH)
    assert np.allclose(np.einsum("ij,ij->i", thin, tangents(curve)), 0.0, atol=1e-9)
    assert np.allclose(np.linalg.norm(thin, axis=1), 1.0)
    assert (thin[:20, 1] > 0.99).all()
    assert (thin[-20:, 2] > 0.99).all()


def test_a_cable_that_runs_straight_at_a_wall_keeps_the_side_it_had() -> None:
    along = np.stack([np.linspace(-2.0, -1.0, 20), np.full(20, 0.88), np.full(20, 0.9)], axis=1)
    out = np.stack([np.full(10, -1.0), np.linspace(0.86, 0.6, 10), np.full(10, 0.9)], axis=1)
    thin = thin_sides(np.concatenate([along, out]), LOW, HIGH)
    assert (thin[:18, 1] > 0.99).all()
    assert np.allclose(np.linalg.norm(thin, axis=1), 1.0)
    assert np.abs(thin[-8:, 1]).max() < 1e-6


def test_the_section_has_the_stated_width_and_thickness_and_no_more() -> None:
    """Area of a flat cable: a rectangle between two half circles; corners on the line only make it less."""
    curve = np.stack([np.linspace(0.0, 1.0, 5), np.zeros(5), np.zeros(5)], axis=1)
    thin = np.repeat([[0.0, 1.0, 0.0]], 5, axis=0)
    vertices, faces = ribbon(curve, thin, 0.005, 0.002, 40)
    assert np.abs(vertices[:, 2]).max() == pytest.approx(0.005, rel=0.01)
    assert np.abs(vertices[:, 1]).max() == pytest.approx(0.002, rel=0.01)
    assert np.abs(vertices[:, 2]).max() <= 0.005
    section = MultiPoint(vertices[:40, 1:]).convex_hull
    full = 0.006 * 0.004 + np.pi * 0.002**2
    assert 0.99 * full < section.area <= full
    corner = vertices[faces]
    outside = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    volume = np.einsum("ij,ij->i", corner[:, 0], outside).sum() / 6.0
    assert volume == pytest.approx(section.area * 1.0, rel=1e-9)


def test_a_flat_run_is_laid_flat_and_stays_so_where_a_wall_cuts_it(plan: Plan) -> None:
    scene = scene_of(plan, exaggeration=2.0)
    flat, *others = scene.tubes
    round_runs = {run.id for run in plan.runs if run.thickness_mm in (0.0, run.outside_mm)}
    assert flat.half_thick_m == pytest.approx(0.005)
    assert flat.radius_m == pytest.approx(0.010)
    assert flat.thin.shape == flat.points.shape
    assert round_runs
    assert all(one.half_thick_m == 0.0 and one.thin.shape == (0, 3) for one in others if one.run in round_runs)
    for wall in ("left", "roof", "floor"):
        for piece in seen_in(view_named(wall), scene).tubes:
            assert len(piece.thin) == (0 if piece.run in round_runs else len(piece.points))
