"""Circles round bundles against proved optima and closed forms (tests/data/checks, which name their sources)."""

from __future__ import annotations

import csv
import itertools
import math
import re
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq
from shapely.geometry import LineString, Point

from ribway.router.geometry import packing_bounds
from ribway.router.geometry.packing import Outline, Packing, fits, pack

CHECKS = Path(__file__).parents[2] / "data" / "checks"


def rows(name: str) -> list[dict[str, str]]:
    with (CHECKS / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def fill_row(case: str) -> dict[str, str]:
    return next(row for row in rows("fill_and_pull.csv") if row["case"] == case)


def round_cables(*diameters_mm: float) -> tuple[Outline, ...]:
    return tuple(Outline(d / 1000.0, d / 1000.0) for d in diameters_mm)


def assert_feasible(outlines: tuple[Outline, ...], found: Packing) -> None:
    """Nothing overlaps and nothing reaches out of the circle, measured by shapely and not by the code under test."""
    axes = []
    for outline, (x, y), angle in zip(outlines, found.centres_m, found.angles_rad, strict=True):
        half = (outline.width_m - outline.thickness_m) / 2.0
        dx, dy = half * math.cos(angle), half * math.sin(angle)
        axes.append(LineString([(x - dx, y - dy), (x + dx, y + dy)]) if half else Point(x, y))
        for px, py in axes[-1].coords:
            assert math.hypot(px, py) + outline.thickness_m / 2.0 <= found.diameter_m / 2.0 * (1.0 + 1e-12)
    for (a, one), (b, two) in itertools.combinations(zip(outlines, axes, strict=True), 2):
        assert one.distance(two) >= (a.thickness_m + b.thickness_m) / 2.0 * (1.0 - 1e-12)


REACHED = [
    row for row in rows("packing.csv") if row["status"].startswith("proved") or row["n_equal_circles"] in {"18", "20"}
]


@pytest.mark.parametrize("row", REACHED, ids=lambda row: row["n_equal_circles"])
def test_equal_circles_reach_the_proved_or_best_known_optimum(row: dict[str, str]) -> None:
    count, ratio = int(row["n_equal_circles"]), float(row["enclosing_over_unit_radius"])
    outlines = round_cables(2.0) * count
    found = pack(outlines)
    assert found.diameter_m / 0.002 == pytest.approx(ratio, rel=1e-6)
    assert found.proven == row["status"].startswith("proved")
    assert found.lower_bound_m <= 0.002 * ratio * (1.0 + 1e-6)
    assert_feasible(outlines, found)


def test_row_6_three_mixed_circles() -> None:
    row = fill_row("6")
    sizes = [float(size) for size in re.findall(r"[\d.]+", row["inputs"])]
    stated = float(re.findall(r"[\d.]+", row["answer"])[0])
    found = pack(round_cables(*sizes))
    assert 1000.0 * found.diameter_m == pytest.approx(stated, abs=0.005)
    assert found.proven


def test_row_7_two_flat_twins() -> None:
    row = fill_row("7")
    width, thick = (float(size) / 1000.0 for size in re.findall(r"[\d.]+", row["inputs"]))
    stated = float(re.findall(r"[\d.]+", row["answer"])[0])
    outlines = (Outline(width, thick),) * 2
    for quick in (True, False):
        found = pack(outlines, quick=quick)
        assert 1000.0 * found.diameter_m == pytest.approx(stated, abs=0.005)
        assert_feasible(outlines, found)


def test_row_8_the_rule_of_thumb_is_below_the_proved_minimum() -> None:
    listed = re.search(r"for ([\d\-, and]+) equal wires", fill_row("8")["answer"])
    assert listed is not None
    assert listed[1] == "2-6, 9 and 10"
    for count in range(2, 12):
        rule_m = 1.2 * math.sqrt(count * 0.003**2)
        assert (rule_m < 0.003 * packing_bounds.equal_ratio_bound(count)) == (count in {2, 3, 4, 5, 6, 9, 10})


def test_row_9_half_the_area_is_proof_for_round_cables_only() -> None:
    numbers = [float(number) for number in re.findall(r"[\d.]+", fill_row("9")["answer"])]
    width, thick, diameter, bore, percent = numbers
    assert (width, thick, diameter, bore, percent) == (10.4, 2.0, 5.0, 10.5, 45.7)
    outlines = (Outline(width / 1000, thick / 1000), *round_cables(diameter))
    area = sum(outline.area_m2 for outline in outlines)
    assert 100.0 * area / (math.pi / 4.0 * (bore / 1000.0) ** 2) == pytest.approx(percent, abs=0.05)
    assert fits(outlines, bore / 1000.0).why == "impossible"
    assert fits(outlines, 0.01054).why == "packing"  # by hand: 10.528 mm

    # Any round cables of half the bore's area: the proof by area agrees with a placing that is really found.
    random = np.random.default_rng(11)
    for _ in range(6):
        radii = random.uniform(0.2, 1.0, int(random.integers(2, 7)))
        radii *= 0.005 / math.sqrt(2.0) * 0.999999 / math.sqrt((radii**2).sum())
        cables = tuple(Outline(2.0 * r, 2.0 * r) for r in radii.tolist())
        assert fits(cables, 0.010).why == "area"
        assert pack(cables).diameter_m <= 0.010


def test_the_flat_and_round_pair_by_hand() -> None:
    """Circle of 5 over the middle of a flat 10.4 x 2: h^2 = 4 r^2 - 4 r a gives a = 0.736 and R = 1 + 5 - a."""
    found = pack((Outline(0.0104, 0.002), Outline(0.005, 0.005)))
    assert found.diameter_m == pytest.approx(2.0 * (6.0 - 0.736) / 1000.0, rel=1e-7)
    assert found.proven


def test_three_circles_against_the_cosine_rule() -> None:
    """Seen from the middle of the outer circle the three centres make up a full turn; solved for R by bisection."""
    random = np.random.default_rng(2)
    for _ in range(50):
        r = np.sort(random.uniform(0.3, 1.0, 3))[::-1]

        def missing(outer: float, r: np.ndarray = r) -> float:
            turn = 0.0
            for i, j in ((0, 1), (1, 2), (2, 0)):
                a, b, c = outer - r[i], outer - r[j], r[i] + r[j]
                turn += math.acos(max(-1.0, min(1.0, (a * a + b * b - c * c) / (2.0 * a * b))))
            return turn - 2.0 * math.pi

        line = float(r[0] + r[1])
        expected = line if missing(line) <= 0.0 else brentq(missing, line, 3.0 * line, xtol=1e-14)
        assert packing_bounds.two_or_three_radius(*r.tolist()) == pytest.approx(expected, rel=1e-9)
        cables = round_cables(*(2.0 * r).tolist())
        found = pack(cables)
        assert found.proven
        assert found.diameter_m == pytest.approx(2.0 * expected / 1000.0, rel=1e-9)
        assert_feasible(cables, found)


def test_mixed_bundles_are_feasible_and_above_the_bound() -> None:
    random = np.random.default_rng(7)
    for _ in range(4):
        sizes = [1.6, 2.0, 2.8, 3.5, 5.0, 7.0]
        cables = round_cables(*random.choice(sizes, int(random.integers(3, 12))))
        cables += (Outline(0.0084, 0.0042),) * int(random.integers(0, 4))
        quick, best = pack(cables, quick=True), pack(cables)
        for found in (quick, best):
            assert_feasible(cables, found)
            assert found.diameter_m >= found.lower_bound_m * (1.0 - 1e-12)
        assert best.diameter_m <= quick.diameter_m * (1.0 + 1e-3)
        assert quick.diameter_m <= 1.15 * best.diameter_m


def test_sixty_mixed_cables_are_free_of_overlaps_and_near_the_bound() -> None:
    """Thorough and quick, held against shapely; the thorough circle is within 12 % of the proved bound, and never above the
    quick one."""
    random = np.random.default_rng(3)
    cables = round_cables(*random.choice([1.6, 2.0, 2.8, 3.5, 5.0, 7.0], 40))
    cables += (Outline(0.0084, 0.0042),) * 10 + (Outline(0.0068, 0.0039),) * 10
    best, quick = pack(cables), pack(cables, quick=True)
    for found in (best, quick):
        assert_feasible(cables, found)
    assert best.lower_bound_m <= best.diameter_m <= 1.12 * best.lower_bound_m
    assert best.diameter_m <= quick.diameter_m


def test_long_flats_never_cross() -> None:
    cables = (Outline(0.012, 0.001),) * 4
    assert_feasible(cables, pack(cables))


def test_the_order_given_is_the_order_returned_and_a_seed_repeats() -> None:
    cables = round_cables(2.0, 7.0, 3.0, 5.0)
    for order in itertools.permutations(range(4)):
        shuffled = tuple(cables[index] for index in order)
        found = pack(shuffled, quick=True)
        assert_feasible(shuffled, found)
        assert found.diameter_m == pack(cables, quick=True).diameter_m
    assert pack(cables, seed=3) == pack(cables, seed=3)


def test_bounds_on_equal_circles_never_exceed_what_was_found() -> None:
    """Groemer's inequality and the table against every row, proved or best known."""
    for row in rows("packing.csv"):
        count, ratio = int(row["n_equal_circles"]), float(row["enclosing_over_unit_radius"])
        assert packing_bounds.equal_ratio_bound(count) <= ratio * (1.0 + 1e-6)
    ratios = [packing_bounds.equal_ratio_bound(count) for count in range(1, 200)]
    assert all(a <= b for a, b in itertools.pairwise(ratios))


def test_empty_single_and_bad_outlines() -> None:
    assert pack(()).diameter_m == 0.0
    assert fits((), 0.01).why == "empty"
    assert pack((Outline(0.0104, 0.002),)).diameter_m == pytest.approx(0.0104)
    assert fits(round_cables(6.0), 0.0059).why == "impossible"
    assert fits(round_cables(6.0), 0.006).fits
    with pytest.raises(ValueError, match=r"outline 0\.002 x 0\.004 m"):
        Outline(0.002, 0.004)
