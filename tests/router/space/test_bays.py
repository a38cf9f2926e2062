"""Skins cut into bays: how many, how large, how they are called, and what keep-outs and obstacles take from them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
import shapely.affinity
from plain_shells import DEPTH, HALF_WIDTH, RAIL, WIDTH, Bar, Corner, Hole, box, mesh_of, on_wall, plain_shell, project
from vans import van

from ribway.router.faults import RouterFaults
from ribway.router.geometry.plane_domain import PlaneDomain
from ribway.router.shell.parts import Obstacle, Shell
from ribway.router.space.bays import BayFinder
from ribway.router.space.build import build_space
from ribway.router.space.types import Bay, Space

EDGE, MEMBER = 0.01, 0.002


def space_of(shell: Shell, vehicle: dict[str, Any] | None = None, shop: dict[str, Any] | None = None) -> Space:
    places = {"a": on_wall(0.1, 0.1), "b": on_wall(0.15, 0.2)}
    return build_space(project(places, [{"id": "C", "name": "C", "from": "a", "to": ["b"]}], shop, vehicle), shell)


def test_a_wall_between_ribs_by_hand() -> None:
    """2.0 x 1.2 m, ribs at 0.5 and 1.2: three rectangles, 10 mm off the sheet's edges, 2 mm off the ribs."""
    space = space_of(plain_shell(2.0, 1.2, [Bar(0.5, (Hole(0.4),)), Bar(1.2, (Hole(0.4),))]))
    found = {bay.name: bay.outline for bay in space.bays}
    half = WIDTH / 2 + MEMBER
    spans = {"left 0": (EDGE, 0.5 - half), "left 1": (0.5 + half, 1.2 - half), "left 2": (1.2 + half, 2.0 - EDGE)}
    assert set(found) == set(spans)
    for name, (front, rear) in spans.items():
        assert found[name].area == pytest.approx((rear - front) * (1.2 - 2 * EDGE), abs=2e-4)
        assert len(found[name].interiors) == 0


def test_the_rail_takes_its_strip_of_both_skins() -> None:
    shell = plain_shell(2.0, 1.2, [Bar(0.5, (Hole(0.4),))], [Bar(1.0, (Hole(0.1),))], [Corner(0.3)], roof=True)
    areas = {bay.name: bay.outline.area for bay in space_of(shell).bays}
    half = WIDTH / 2 + MEMBER
    up, across = 1.2 - RAIL - MEMBER - EDGE, 2 * HALF_WIDTH - RAIL - MEMBER - EDGE
    assert areas == pytest.approx(
        {
            "left 0": (0.5 - half - EDGE) * up,
            "left 1": (1.5 - half - EDGE) * up,
            "roof 0": (1.0 - half - EDGE) * across,
            "roof 1": (1.0 - half - EDGE) * across,
        },
        abs=3e-4,
    )


def test_names_count_from_the_front_and_from_below() -> None:
    """A beam along the wall at half height parts every bay into a lower and an upper one."""
    shell = plain_shell(2.0, 1.2, [Bar(0.5, (Hole(0.4),)), Bar(1.2, (Hole(0.4),))])
    beam = mesh_of(box((-2.1, HALF_WIDTH - DEPTH, 0.58), (0.1, HALF_WIDTH - 0.0005, 0.62)))
    member = replace(shell.members[0], name="LW", kind="rail", mesh=beam)
    space = space_of(replace(shell, members=(*shell.members, member)))
    assert sorted(bay.name for bay in space.bays) == sorted(
        f"left {k} {where}" for k in range(3) for where in ("lower", "upper")
    )
    for bay in space.bays:
        middle = np.array(bay.outline.centroid.coords)
        x, _, z = space.skins[bay.skin].chart.lift(np.vstack([middle, middle + 1e-6]), 0.0)[0]
        assert ("upper" in bay.name) == (z > 0.6)
        assert int(bay.name.split()[1]) == sum(1 for rib in (0.5, 1.2) if -x > rib)


def test_a_keep_out_is_taken_out_with_the_larger_margin() -> None:
    shell = plain_shell(2.0, 1.2, [Bar(0.5, (Hole(0.4),))])
    keep_out = {
        "name": "bag", "why": "airbag", "corner": {"wall": "left", "back": 0.9, "up": 0.4},
        "opposite": {"wall": "left", "back": 1.3, "up": 0.7},
    }  # fmt: skip
    whole = next(bay for bay in space_of(shell).bays if bay.name == "left 1").outline.area
    for own, general, margin in ((0.0, 0.02, 0.02), (0.05, 0.02, 0.05), (0.0, 0.0, 0.0)):
        space = space_of(shell, {"keep_outs": [{**keep_out, "margin": own}]}, {"keep_out_margin": general})
        left = next(bay for bay in space.bays if bay.name == "left 1").outline
        assert whole - left.area == pytest.approx((0.4 + 2 * margin) * (0.3 + 2 * margin), abs=1e-6)
        assert len(left.interiors) == 1
        assert space.keep_outs[0].margin_m == margin


def test_corners_within_rounding_are_one() -> None:
    """Two boxes side by side, one higher by the last digit: turned, so short an edge of the bay may cross its neighbour."""
    shell = plain_shell(2.0, 1.2, [Bar(0.5, (Hole(0.4),))])
    high = float(np.nextafter(np.nextafter(0.6, 1.0), 1.0))
    boxes = [
        {"name": "a", "why": "heat", "corner": on_wall(0.9, 0.4), "opposite": on_wall(1.1, 0.6)},
        {"name": "b", "why": "heat", "corner": on_wall(1.1, 0.4), "opposite": on_wall(1.3, high)},
    ]
    for bay in space_of(shell, {"keep_outs": boxes}).bays:
        for ring in (bay.outline.exterior, *bay.outline.interiors):
            steps = np.linalg.norm(np.diff(np.array(ring.coords), axis=0), axis=1)
            assert steps.min() > 1e-9


def test_a_box_by_xyz_closes_every_skin_it_touches() -> None:
    """A gas locker in the corner of wall and roof, given by x, y, z: it takes part of both."""
    shell = plain_shell(2.0, 1.2, [], [], [Corner(0.3)], roof=True)
    locker = {
        "name": "gas", "why": "gas locker", "corner": {"x": -1.0, "y": 0.5, "z": 0.8},
        "opposite": {"x": -1.5, "y": 0.95, "z": 1.25},
    }  # fmt: skip
    space = space_of(shell, {"keep_outs": [locker]}, {"keep_out_margin": 0.0})
    assert {space.skins[one.skin].name for one in space.keep_outs} == {"left", "roof"}
    for one in space.keep_outs:
        # The box is grown by the lay depth, where cables lie, and cut by the sheet's own edge.
        assert one.outline.area == pytest.approx((0.5 + 2 * 0.0275) * (0.4 + 0.0275), rel=1e-6)
    floating = {**locker, "corner": {"x": -1.0, "y": 0.0, "z": 0.3}, "opposite": {"x": -1.5, "y": 0.1, "z": 0.4}}
    with pytest.raises(RouterFaults) as faults:
        space_of(shell, {"keep_outs": [floating]})
    assert "touches no skin" in str(faults.value)


def test_an_obstacle_is_taken_out_with_its_margin() -> None:
    shell = plain_shell(2.0, 1.2, [])
    arch = Obstacle("arch-left", ("left",), mesh_of(box((-1.4, 0.6, -0.01), (-0.9, HALF_WIDTH - 0.0005, 0.3))))
    bare, taken = (space_of(one).bays[0].outline for one in (shell, replace(shell, obstacles=(arch,))))
    assert bare.area - taken.area == pytest.approx((0.5 + 2 * 0.005) * (0.3 + 0.005 - EDGE), abs=1e-4)


def test_bays_of_a_real_van_do_not_overlap_members_or_each_other() -> None:
    one = van("long-high", 60, seed=1)
    assert len({bay.name for bay in one.space.bays}) == len(one.space.bays) > 40
    for index, skin in enumerate(one.space.skins):
        own = [bay.outline for bay in one.space.bays if bay.skin == index]
        union = shapely.union_all(own)
        assert union.area == pytest.approx(sum(bay.area for bay in own), rel=1e-9)
        assert shapely.intersection(union, skin.closed).area == pytest.approx(0.0, abs=1e-6)
        assert shapely.difference(union, skin.sheet).area == pytest.approx(0.0, abs=1e-9)


def test_lay_by_bay_and_an_unknown_bay() -> None:
    shell = plain_shell(2.0, 1.2, [Bar(0.5, (Hole(0.4),))])
    space = space_of(shell, shop={"lay_by_bay": {"left 1": "taut"}})
    assert {bay.name: bay.lay for bay in space.bays} == {"left 0": "square", "left 1": "taut"}
    with pytest.raises(RouterFaults) as faults:
        space_of(shell, None, {"lay_by_bay": {"left 11": "taut"}})
    assert "there is no bay called left 11" in str(faults.value)


@pytest.mark.parametrize("degrees", [0.0, 0.1325, 30.0])
def test_points_off_the_metal_are_drawn_to_where_cables_can_lie(degrees: float) -> None:
    """A wall with a window, points 5 mm off every edge, in the window and outside: each sees a point of the wall beside it."""
    wall = shapely.Polygon(shapely.box(0, 0, 2, 1).exterior.coords, [shapely.box(0.4, 0.3, 1.6, 0.8).exterior.coords])
    outline = shapely.affinity.rotate(wall, degrees, origin=(0, 0))
    finder, domain = BayFinder([Bay("left 0", 0, "square", outline, 0.0)]), PlaneDomain(outline)
    for ring, off in ((outline.exterior, 0.005), (outline.interiors[0], -0.005)):
        line = shapely.Polygon(ring).buffer(off, join_style="mitre").exterior
        for along in np.linspace(0.0, 1.0, 200):
            point = np.array(shapely.get_coordinates(line.interpolate(along, normalized=True))[0])
            bay, drawn = finder.at(0, point)
            assert bay == 0
            assert domain.contains(drawn[None]).all()
            assert 0.005 - 1e-9 <= np.hypot(*(drawn - point)) <= 0.005 * 2**0.5 + 2e-6
            assert outline.contains(shapely.Point(drawn))
            assert domain.clearance(drawn[None])[0] == pytest.approx(1e-6, abs=2e-9)
