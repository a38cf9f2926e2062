"""Where cables are drawn: side by side, inside every opening; checked with shapely on the plan's own rims."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely import Point, Polygon

from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanOpening
from ribway.viewer.fan import curve_of, fanned, seats_at_devices, seats_in_passages
from samples.van import van_plan

Points = NDArray[np.float64]


@pytest.fixture(scope="module")
def van() -> Plan:
    return van_plan()


def drawn(plan: Plan, spread: float) -> dict[str, Points]:
    seats, ends = seats_in_passages(plan, spread), seats_at_devices(plan, spread)
    return {run.id: fanned(run, seats, ends) for run in plan.runs}


def crossings(curve: Points, origin: Points, normal: Points, reach: float) -> Points:
    """Where a polyline passes a plane, within reach of a point of it."""
    side = (curve - origin) @ normal
    found = []
    for i in np.flatnonzero((side[:-1] < 0.0) != (side[1:] < 0.0)):
        point = curve[i] - side[i] / (side[i + 1] - side[i]) * (curve[i + 1] - curve[i])
        if np.linalg.norm(point - origin) < reach:
            found.append(point)
    return np.array(found).reshape(-1, 3)


def plane_of(opening: PlanOpening) -> tuple[Points, Points, Points]:
    """Origin, and two axes (as columns) of the plane of an opening's rim."""
    rim = np.array(opening.rim)
    origin = rim.mean(axis=0)
    u = (rim[0] - origin) / np.linalg.norm(rim[0] - origin)
    normal = np.cross(u, rim[len(rim) // 4] - origin)
    normal /= np.linalg.norm(normal)
    return origin, normal, np.stack([u, np.cross(normal, u)], axis=1)


def check_inside(plan: Plan, spread: float, slack: float = 1e-6) -> int:
    """Every drawn run leaves its own radius free to the grommet of every opening it passes. Returns how many passed."""
    curves, checked = drawn(plan, spread), 0
    for opening in plan.openings:
        origin, normal, axes = plane_of(opening)
        clear = Polygon((np.array(opening.rim) - origin) @ axes).buffer(
            -(opening.raw_bore_mm - opening.clear_bore_mm) / 2000.0
        )
        places = {}
        for run in plan.runs:
            if opening.id not in run.openings:
                continue
            hits = crossings(curves[run.id], origin, normal, 0.1)
            assert len(hits) == 1, (opening.id, run.id)
            place = (hits[0] - origin) @ axes
            free = clear.exterior.distance(Point(place))
            assert clear.contains(Point(place)), (opening.id, run.id)
            assert free >= run.outside_mm / 2000.0 - slack, (opening.id, run.id, free)
            places[run.id] = (place, run.outside_mm / 2000.0)
            checked += 1
        if opening.fill_percent <= opening.fill_limit_percent:
            for (a, ra), (b, rb) in combinations(places.values(), 2):
                assert np.linalg.norm(a - b) >= (ra + rb) * 0.999
    return checked


@pytest.mark.parametrize("spread", [1.0, 2.0, 5.0])
def test_cables_lie_apart_inside_every_hole_of_the_van(van: Plan, spread: float) -> None:
    assert check_inside(van, spread) == sum(len(run.openings) for run in van.runs) > 60


@pytest.mark.parametrize("spread", [1.0, 3.0])
def test_cables_lie_apart_inside_every_hole_of_the_sample(sample_plan: Plan, spread: float) -> None:
    assert check_inside(sample_plan, spread) == 3


def test_through_both_webs_of_a_hollow_rib_a_cable_keeps_its_place(van: Plan) -> None:
    curves = drawn(van, 2.0)
    opening = next(o for o in van.openings if o.id == "L1c")
    runs = [run for run in van.runs if "L1c" in run.openings]
    assert len(runs) == 7
    _, normal, _ = plane_of(opening)
    mouths = np.array(opening.line)
    for run in runs:
        first, last = (crossings(curves[run.id], mouth, normal, 0.1)[0] - mouth for mouth in mouths)
        assert np.linalg.norm(first - last) < 1e-6
        assert np.linalg.norm(first) <= (opening.clear_bore_mm - run.outside_mm) / 2000.0 + 1e-9


def test_a_centreline_off_the_middle_is_still_led_through_the_hole(van: Plan) -> None:
    moved = van.model_copy(
        update={
            "runs": tuple(
                run.model_copy(update={"centreline": tuple((x, y + 0.002, z - 0.003) for x, y, z in run.centreline)})
                for run in van.runs
            )
        }
    )
    assert check_inside(moved, 1.0, slack=2e-4) > 60


def test_a_slot_is_filled_along_its_length(sample_plan: Plan) -> None:
    """The left hole of the sample as a slot 20 mm wide and 60 mm long, standing upright."""
    hole = next(o for o in sample_plan.openings if o.id == "L1a")
    x, y, z = hole.centre
    half = np.linspace(0.0, np.pi, 13)
    reach = 0.010 / np.cos(np.pi / 24)
    top = [(x, y + reach * np.cos(a), z + 0.02 + reach * np.sin(a)) for a in half]
    bottom = [(x, y - reach * np.cos(a), z - 0.02 - reach * np.sin(a)) for a in half]
    slot = hole.model_copy(
        update={"shape": "slot", "raw_bore_mm": 20.0, "slot_length_mm": 60.0, "rim": tuple(top + bottom)}
    )
    runs = [run.model_copy(update={"outside_mm": 12.0}) for run in sample_plan.runs if "L1a" in run.openings]
    many = tuple(run.model_copy(update={"id": f"{run.id}-{i}"}) for run in runs for i in range(2))
    plan = sample_plan.model_copy(update={"openings": (slot,), "runs": many, "looms": ()})
    assert check_inside(plan, 1.0) == 4
    seats = seats_in_passages(plan)["L1a"]
    heights = [seat.passage.to_space(seat.place)[2] for seat in seats.values()]
    assert max(heights) - min(heights) > 0.02


def shared_length(curves: dict[str, Points], pairs: list[tuple[str, str]], gap: float) -> float:
    """Length over which the runs of pairs lie nearer to each other than a gap [m]."""
    total = 0.0
    for a, b in pairs:
        points, other = curves[a], curves[b]
        middle = (points[1:] + points[:-1]) / 2.0
        start, step = other[:-1], np.diff(other, axis=0)
        share = np.clip(
            np.einsum("ijk,jk->ij", middle[:, None] - start[None], step) / (step**2).sum(axis=1)[None], 0.0, 1.0
        )
        away = np.linalg.norm(middle[:, None] - start[None] - share[..., None] * step[None], axis=2).min(axis=1)
        total += np.linalg.norm(np.diff(points, axis=0), axis=1)[away < gap].sum()
    return float(total)


def test_where_routes_coincide_cables_are_drawn_beside_each_other(van: Plan) -> None:
    pairs = [(a.id, b.id) for a, b in combinations(van.runs, 2) if a.loom == b.loom]
    before = shared_length({run.id: curve_of(run) for run in van.runs}, pairs, 0.002)
    after = shared_length(drawn(van, 1.0), pairs, 0.002)
    assert before > 20.0
    assert after < 0.05 * before


def test_no_cable_is_drawn_far_from_its_route(van: Plan) -> None:
    curves = drawn(van, 2.0)
    for run in van.runs:
        curve, route = curves[run.id], curve_of(run)
        pieces, step = route[:-1], np.diff(route, axis=0)
        share = np.clip(
            np.einsum("ijk,jk->ij", curve[:, None] - pieces[None], step) / (step**2).sum(axis=1)[None], 0.0, 1.0
        )
        away = np.linalg.norm(curve[:, None] - pieces[None] - share[..., None] * step[None], axis=2).min(axis=1)
        assert away.max() <= 0.021


def test_a_run_without_a_route_has_no_curve(sample_plan: Plan) -> None:
    lost = sample_plan.runs[0].model_copy(update={"centreline": ()})
    plan = sample_plan.model_copy(update={"runs": (lost, *sample_plan.runs[1:])})
    assert len(drawn(plan, 1.0)[lost.id]) == 0
    assert lost.id not in seats_in_passages(plan)["L1a"]


def test_over_a_member_cables_lie_flat_beside_each_other(sample_plan: Plan) -> None:
    way = sample_plan.ways[0].model_copy(
        update={
            "line": ((-0.96, 0.85, 1.2), (-0.96, 0.84, 1.2), (-1.04, 0.84, 1.2), (-1.04, 0.85, 1.2)),
            "area_mm2": 600.0, "clear_bore_mm": 10.0,
        }
    )  # fmt: skip
    run = sample_plan.runs[0]
    line = ((-0.2, 0.85, 1.2), *way.line, (-1.8, 0.85, 1.2))
    runs = tuple(
        run.model_copy(update={"id": f"r{i}", "openings": (way.id,), "centreline": line, "outside_mm": 8.0})
        for i in range(3)
    )
    plan = sample_plan.model_copy(update={"ways": (way,), "runs": runs, "looms": ()})
    curves = drawn(plan, 1.0)
    places = [crossings(curves[f"r{i}"], np.array([-1.0, 0.84, 1.2]), np.array([1.0, 0, 0]), 0.2)[0] for i in range(3)]
    for place in places:
        assert abs(place[1] - 0.84) <= 0.001 + 1e-9
        assert abs(place[2] - 1.2) <= 0.03 - 0.004 + 1e-9
    heights = sorted(place[2] for place in places)
    assert np.diff(heights).min() >= 0.008 - 1e-6
