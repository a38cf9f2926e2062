"""Cables side by side, checked with shapely."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from ribway.viewer.pack import pack, pack_at, rectangle, stadium
from ribway.viewer.passages import polygon_region

RADII = st.lists(st.floats(0.001, 0.006), min_size=1, max_size=14)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(RADII, st.floats(0.008, 0.03), st.floats(0.0, 0.03), st.floats(0.0, np.pi))
def test_in_a_slot_nothing_overlaps_and_nothing_touches_the_metal(
    radii: list[float], radius: float, half: float, angle: float
) -> None:
    direction = np.array([np.cos(angle), np.sin(angle)])
    slot = LineString([-half * direction, half * direction]) if half > 0 else Point(0, 0)
    clear = slot.buffer(radius, quad_segs=256)
    places, spread = pack(radii, stadium(radius, half, direction), 2.0)
    if spread > 0.0:
        for place, own in zip(places, radii, strict=True):
            assert clear.covers(Point(place).buffer(own * 0.999, quad_segs=64))
    if spread >= 1.0:
        for i in range(len(radii)):
            for j in range(i):
                assert np.linalg.norm(places[i] - places[j]) >= radii[i] + radii[j] - 1e-8


def test_one_cable_lies_in_the_middle() -> None:
    places, spread = pack([0.004], stadium(0.01, 0.0, np.array([1.0, 0.0])))
    assert np.allclose(places, 0.0)
    assert spread == 1.0


def test_seven_equal_cables_lie_as_densest_packed() -> None:
    """Seven equal circles just fit one three times as large (R. L. Graham et al., Discrete Mathematics 181, 1998)."""
    places = pack_at([0.001] * 7, [0.001] * 7, stadium(0.00301, 0.0, np.array([1.0, 0.0]), sides=480))
    assert places is not None
    out = np.sort(np.linalg.norm(places, axis=1))
    assert np.allclose(out, [0.0] + [0.002] * 6, atol=1e-9)


def test_the_same_every_time_and_whatever_stands_beside() -> None:
    radii = [0.002, 0.004, 0.003, 0.003]
    region = stadium(0.02, 0.0, np.array([1.0, 0.0]))
    assert np.array_equal(pack(radii, region)[0], pack(radii, region)[0])


def test_spread_shrinks_to_what_fits() -> None:
    radii = [0.003] * 4
    wide = pack(radii, stadium(0.1, 0.0, np.array([1.0, 0.0])), 3.0)
    tight = pack(radii, stadium(0.01, 0.0, np.array([1.0, 0.0])), 3.0)
    assert wide[1] == 3.0
    assert 1.0 <= tight[1] < 3.0


def test_two_cables_that_fit_only_side_by_side() -> None:
    """Two discs fit a circle exactly if their diameters together are not more than its own; 16 + 3.5 <= 20."""
    places, spread = pack([0.008, 0.00175], stadium(0.01, 0.0, np.array([1.0, 0.0])))
    assert spread == 1.0
    assert np.linalg.norm(places[0] - places[1]) >= 0.00975 - 1e-9


def test_a_cable_that_does_not_fit_stays_in_the_middle() -> None:
    places, spread = pack([0.02, 0.02], stadium(0.01, 0.0, np.array([1.0, 0.0])))
    assert np.allclose(places, 0.0)
    assert spread == 0.0


@pytest.mark.parametrize("turn", [1, -1])
def test_a_polygon_s_region_lies_inside_it_even_when_it_has_a_notch(turn: int) -> None:
    corners = np.array([[-2, -1], [2, -1], [2, 1], [0.3, 1], [0, 0.6], [-0.3, 1], [-2, 1.0]])[::turn] * 0.01
    region = polygon_region(corners, 0.001)
    assert region is not None
    shape = Polygon(corners).buffer(-0.001)
    grid = np.stack(np.meshgrid(np.linspace(-0.02, 0.02, 41), np.linspace(-0.01, 0.01, 41)), axis=-1).reshape(-1, 2)
    inside = grid[region.room(grid) >= 0.0]
    assert len(inside) > 50
    assert all(shape.buffer(1e-9).covers(Point(point)) for point in inside)


def test_a_rectangle_is_one() -> None:
    assert np.allclose(
        rectangle(0.02, 0.01).room(np.array([[0.0, 0.0], [0.015, 0.0], [0.0, 0.02]])), [0.01, 0.005, -0.01]
    )
