"""Cameras, standard views and scales."""

from __future__ import annotations

import numpy as np
import pytest

from ribway.viewer.camera import Camera, flat_camera, round_camera
from ribway.viewer.errors import NothingToShow
from ribway.viewer.rulers import rulers_of
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Scene
from ribway.viewer.views import GHOST, OVERVIEW, VIEWS, camera_of, seen_in, view_named
from samples.van import van_plan

SIZE = (1300, 900)
MARGIN = (60.0, 40.0)


@pytest.fixture(scope="module")
def van() -> Scene:
    return scene_of(van_plan(), exaggeration=2.0)


def test_a_pinhole_camera_by_hand() -> None:
    """Two metres ahead a camera that sees 90 degrees sees 4 m from top to bottom."""
    camera = Camera(np.zeros(3), np.array([1.0, 0, 0]), np.array([0, 0, 1.0]), angle_deg=90.0)
    pixels = camera.pixels(np.array([[2.0, 0, 0], [2.0, 0, 2.0], [2.0, 1.0, 0], [4.0, 0, 2.0]]), (400, 200))
    # y is left in the van, so it lies at the left of the picture when looking forward.
    assert np.allclose(pixels, [[200, 100], [200, 0], [150, 100], [200, 50]])


@pytest.mark.parametrize("make", [flat_camera, round_camera])
def test_a_camera_sees_all_and_wastes_nothing(make: object) -> None:
    points = np.random.default_rng(5).normal(size=(40, 3)) * (2.0, 0.9, 0.8)
    camera = make(points, np.array([1.0, -0.9, -0.6]), np.array([0, 0, 1.0]), SIZE, MARGIN)  # type: ignore[operator]
    pixels = camera.pixels(points, SIZE)
    free = np.array([pixels.min(axis=0) - MARGIN, np.array(SIZE) - MARGIN - pixels.max(axis=0)])
    assert free.min() > -1e-6
    assert np.isclose(free, 0.0, atol=1e-6).all(axis=0).any(), "one direction is filled from border to border"


@pytest.mark.parametrize(
    ("wall", "right", "up"),
    [
        ("left", (1, 0, 0), (0, 0, 1)),
        ("right", (-1, 0, 0), (0, 0, 1)),
        ("roof", (1, 0, 0), (0, 1, 0)),
        ("floor", (1, 0, 0), (0, 1, 0)),
        ("bulkhead", (0, -1, 0), (0, 0, 1)),
        ("rear", (0, 1, 0), (0, 0, 1)),
    ],
)
def test_how_a_wall_stands_in_its_picture(van: Scene, wall: str, right: tuple[int, ...], up: tuple[int, ...]) -> None:
    """From inside, forward is at the right on the left wall and at the left on the right wall."""
    camera = camera_of(view_named(wall), seen_in(view_named(wall), van), SIZE, MARGIN)
    axes = camera.axes()
    assert np.allclose(axes[0], right)
    assert np.allclose(axes[1], up)


def test_in_the_overview_the_rear_left_is_nearest(van: Scene) -> None:
    camera = camera_of(view_named(OVERVIEW), van, SIZE, MARGIN)
    assert camera.place[0] < van.low[0]
    assert camera.place[1] > van.high[1]
    assert camera.place[2] > van.high[2]


def test_the_overview_ghosts_near_skins_only(van: Scene) -> None:
    parts = {part.name: part for part in seen_in(view_named(OVERVIEW), van).parts}
    assert parts["left"].opacity == parts["roof"].opacity == GHOST
    assert parts["right"].opacity > GHOST
    assert parts["L3"].opacity == parts["B2"].opacity == 1.0
    assert len(parts) == len(van.parts)


def test_a_wall_view_keeps_its_side_only(van: Scene) -> None:
    left = seen_in(view_named("left"), van)
    assert {part.name for part in left.parts} >= {"left", "L1", "LE", "arch-left", "roof", "floor"}
    assert not {part.name for part in left.parts} & {"right", "R1", "RE", "arch-right"}
    assert {tube.run for tube in left.tubes} >= {"fridge-1", "light-1-1", "usb-r-1"}
    assert not {tube.run for tube in left.tubes} & {"ac-1-1", "ac-2-1"}
    middle = (van.low[1] + van.high[1]) / 2.0
    assert min(tube.points[:, 1].min() for tube in left.tubes) >= middle - 1e-9
    assert {mark.device for mark in left.markers} >= {"fridge", "board"}
    assert "inlet" not in {mark.device for mark in left.markers}
    assert all(ring.opening[0] in "LB" for ring in left.rings)
    assert [patch.keep_out for patch in seen_in(view_named("right"), van).patches] == ["window"]
    assert left.patches == ()


def test_a_tube_that_leaves_and_comes_back_is_cut_in_pieces(van: Scene) -> None:
    """The light's cable rises from the left wall to the roof and passes the middle of the van on its way."""
    whole = next(tube for tube in van.tubes if tube.run == "light-2-1")
    left = [tube for tube in seen_in(view_named("left"), van).tubes if tube.run == "light-2-1"]
    right = [tube for tube in seen_in(view_named("right"), van).tubes if tube.run == "light-2-1"]
    assert len(left) == len(right) == 1
    assert len(left[0].points) + len(right[0].points) == len(whole.points)


def test_no_such_wall_is_said_with_what_there_is() -> None:
    with pytest.raises(NothingToShow, match="no view 'ceiling'; there are overview, other side, above, left"):
        view_named("ceiling")


@pytest.mark.parametrize("wall", VIEWS)
def test_scales_count_from_datum_floor_and_centre(van: Scene, wall: str) -> None:
    rulers = rulers_of(view_named(wall), seen_in(view_named(wall), van))
    assert len(rulers) == (3 if VIEWS[wall].slab is None else 2)
    for ruler in rulers:
        for mark, figure in zip(ruler.marks, ruler.figures, strict=True):
            if "back" in ruler.caption:
                assert float(figure) == pytest.approx(-mark[0])
            elif "up" in ruler.caption:
                assert float(figure) == pytest.approx(mark[2])
            else:
                assert float(figure) == pytest.approx(abs(mark[1]))
    counts = {ruler.caption: len(ruler.figures) for ruler in rulers}
    if "m back from the datum" in counts and wall not in ("bulkhead", "rear"):
        assert counts["m back from the datum"] == 8  # 0 to 3.5 m of 3.6 m
