"""Rounded corners against closed forms and handbook rows (tests/data/checks/lengths.csv, which names their sources)."""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import numpy as np
import pytest

from ribway.router.geometry import fillets, polylines

CHECKS = Path(__file__).parents[2] / "data" / "checks" / "lengths.csv"


def row(case: str) -> dict[str, str]:
    with CHECKS.open(encoding="utf-8", newline="") as lines:
        return next(line for line in csv.DictReader(lines) if line["case"] == case)


def test_row_1_route_of_five_bends() -> None:
    stated = row("1")
    points = [[float(v) for v in triple.split(",")] for triple in re.findall(r"\(([-\d.,]+)\)", stated["inputs"])]
    numbers = re.match(r"sharp ([\d.]+), (\d+) bends; with 60 mm radii ([\d.]+); straight ([\d.]+)", stated["answer"])
    assert numbers is not None
    line = fillets.rounded(points, 0.060, 0.060)
    assert polylines.length(points) == pytest.approx(float(numbers[1]), abs=5e-4)
    assert fillets.bends(points) == (int(numbers[2]), pytest.approx(90.0 * int(numbers[2])))
    assert line.length_m == pytest.approx(float(numbers[3]), abs=5e-4)
    assert polylines.straight_distance(points) == pytest.approx(float(numbers[4]), abs=5e-4)
    assert line.tight == ()


def test_row_2_one_right_angle() -> None:
    number = re.search(r"([\d.]+) mm at r 50", row("2")["answer"])
    assert number is not None
    corner = [[0, 0, 0], [1, 0, 0], [1, 1, 0]]
    line = fillets.rounded(corner, 0.050)
    assert 1000.0 * (line.sharp_m - line.length_m) == pytest.approx(float(number[1]), abs=0.05)
    assert line.sharp_m - line.length_m == pytest.approx((2.0 - math.pi / 2.0) * 0.050, abs=1e-12)
    for legs in (0.050, 0.049):  # "only if both legs are at least r"
        short = fillets.rounded([[0, 0, 0], [legs, 0, 0], [legs, 1, 0]], 0.050, 0.050)
        assert short.corners[0].radius_m == pytest.approx(legs)
        assert bool(short.tight) == (legs < 0.050)


def random_square_routes(count: int) -> list[np.ndarray]:
    random = np.random.default_rng(20240607)
    routes = []
    for _ in range(count):
        legs = int(random.integers(1, 9))
        steps = np.zeros((legs + 1, 3))
        axes = random.integers(0, 3, legs)
        steps[1 + np.arange(legs), axes] = random.uniform(0.005, 1.5, legs) * random.choice([-1.0, 1.0], legs)
        routes.append(np.cumsum(steps, axis=0))
    return routes


def test_straight_rounded_sharp_on_random_square_routes() -> None:
    """10,000 routes: the order of lengths, arcs that do not overlap, and a drawn line as long as its curve."""
    for route in random_square_routes(10_000):
        line = fillets.rounded(route, 0.060, 0.040)
        assert polylines.straight_distance(route) <= line.length_m + 1e-9
        assert line.length_m <= line.sharp_m + 1e-12
        assert line.sharp_m == pytest.approx(polylines.length(route), abs=1e-12)
        assert abs(polylines.length(line.points) - line.length_m) < 1e-7
        assert all(corner.tight == (corner.radius_m < 0.040 - 1e-9) for corner in line.corners)


def test_arcs_never_overlap_and_none_could_grow() -> None:
    random = np.random.default_rng(5)
    for _ in range(500):
        count = int(random.integers(1, 9))
        legs = random.uniform(0.01, 0.3, count + 1)
        angles = random.uniform(0.0, math.pi, count)
        radii = fillets.fitted_radii(legs, angles, 0.060)
        setbacks = np.where(radii > 0.0, radii * np.tan(angles / 2.0), 0.0)
        used = np.concatenate((setbacks, [0.0])) + np.concatenate(([0.0], setbacks))
        assert (used <= legs + 1e-12).all()
        full = used >= legs * (1.0 - 1e-9)
        for at in np.flatnonzero((radii < 0.060 - 1e-12) & (angles > fillets.SHARP_BELOW_RAD)):
            # max-min fair: a full leg stops it, on which no arc has a larger radius than its own
            fair = [full[leg] and max(radii[max(leg - 1, 0) : leg + 1]) <= radii[at] + 1e-9 for leg in (at, at + 1)]
            assert any(fair) or angles[at] >= fillets.U_TURN_FROM_RAD


def test_drawn_line_stays_on_the_curve() -> None:
    """Each drawn point and chord middle is within 0.5 mm of the true arc, for turns of any angle in any plane."""
    random = np.random.default_rng(9)
    for _ in range(200):
        a, b = random.normal(size=(2, 3))
        radius = float(random.uniform(0.01, 0.5))
        line = fillets.rounded([-9.0 * a / np.linalg.norm(a), [0, 0, 0], 9.0 * b / np.linalg.norm(b)], radius)
        corner = line.corners[0]
        back, on = a / np.linalg.norm(a), b / np.linalg.norm(b)
        inward = (on - back) / np.linalg.norm(on - back)
        centre = inward * corner.radius_m / math.cos(corner.angle_rad / 2.0)
        arc = line.points[1:-1]
        middles = (arc[1:] + arc[:-1]) / 2.0
        for points in (arc, middles):
            off = np.abs(np.linalg.norm(points - centre, axis=1) - corner.radius_m)
            assert off.max() <= 0.0005
        assert polylines.length(line.points) == pytest.approx(line.length_m, rel=1e-9)
        expected = line.sharp_m - corner.radius_m * (2.0 * math.tan(corner.angle_rad / 2.0) - corner.angle_rad)
        assert line.length_m == pytest.approx(expected, abs=1e-12)


def test_u_turn_small_turn_and_single_points() -> None:
    turn = fillets.rounded([[0, 0, 0], [1, 0, 0], [0.4, 0, 0]], 0.05, 0.03)
    assert turn.length_m == pytest.approx(1.6)
    assert [corner.radius_m for corner in turn.tight] == [0.0]
    slight = fillets.rounded([[0, 0, 0], [1, 0, 0], [2, 0.02, 0]], 0.05, 0.03)
    assert slight.length_m == slight.sharp_m
    assert slight.corners == ()
    assert fillets.rounded([[1, 2, 3]], 0.05).length_m == 0.0
    assert fillets.rounded([[1, 2, 3], [1, 2, 3]], 0.05).points.tolist() == [[1, 2, 3]]
    with pytest.raises(ValueError, match=r"radius_m: -0\.1 found"):
        fillets.rounded([[0, 0, 0], [1, 0, 0]], -0.1)


def test_bends_above_an_angle() -> None:
    points = [[0, 0, 0], [1, 0, 0], [2, 0.2, 0], [2, 1, 0]]  # turns of 11.3 and 78.7 degrees
    first = math.degrees(math.atan(0.2))
    assert fillets.bends(points) == (1, pytest.approx(90.0 - first))
    assert fillets.bends(points, above_deg=5.0) == (2, pytest.approx(90.0))
