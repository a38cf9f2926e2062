"""Bounds of packed bundles hold both ways, and bends and lengths know how much rounding can do."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from ribway.router.audit.fill import outline_mm2
from ribway.router.audit.packing import needs_at_least_mm, surely_fits_mm
from ribway.router.audit.polylines import distances_to_line, length_of, length_play_m, turns_deg

CHECKS = Path(__file__).parents[2] / "data" / "checks"

# Smallest circle round each set of pieces, width x thickness [mm], from tests/data/checks/fill_and_pull.csv:
# 6 closed form; 7 stacked flats with half-round edges. Two circles side by side are exact.
KNOWN = (
    ([(6.0, 6.0), (4.0, 4.0), (4.0, 4.0)], 10.30),
    ([(8.4, 4.2), (8.4, 4.2)], 10.14),
    ([(5.0, 5.0), (3.0, 3.0)], 8.0),
    ([(7.0, 3.0)], 7.0),
)


@pytest.mark.parametrize(("pieces", "circle_mm"), KNOWN)
def test_bounds_enclose_the_smallest_circle(pieces: list[tuple[float, float]], circle_mm: float) -> None:
    assert needs_at_least_mm(pieces) <= circle_mm + 0.01
    assert surely_fits_mm(pieces) >= circle_mm - 0.01


@pytest.mark.parametrize("count", range(1, 11))
def test_bounds_enclose_equal_circles(count: int) -> None:
    """Ratios of the proved optima (Graham 1968, Pirl 1969 and later), from tests/data/checks/packing.csv."""
    with (CHECKS / "packing.csv").open(encoding="utf-8", newline="") as file:
        ratio = next(
            float(row["enclosing_over_unit_radius"])
            for row in csv.DictReader(file)
            if row["n_equal_circles"] == str(count)
        )
    pieces = [(2.0, 2.0)] * count
    assert needs_at_least_mm(pieces) <= 2.0 * ratio + 1e-3
    assert surely_fits_mm(pieces) >= 2.0 * ratio - 1e-3


def test_half_full_is_no_proof_for_flat_cables() -> None:
    """10.4 x 2 and a round 5.0 fill 45.7 % of 10.5 mm and do not fit (fill_and_pull.csv, case 9)."""
    pieces = [(10.4, 2.0), (5.0, 5.0)]
    assert sum(outline_mm2(*piece) for piece in pieces) / (math.pi / 4 * 10.5**2) == pytest.approx(0.457, abs=5e-4)
    assert surely_fits_mm(pieces) > 10.5


def test_outline_of_a_flat_cable() -> None:
    """A circle of 4 mm cut in half, with 4 x 4 mm between the halves."""
    assert outline_mm2(8.0, 4.0) == pytest.approx(math.pi * 4.0 + 16.0)
    assert outline_mm2(4.0, 4.0) == pytest.approx(math.pi * 4.0)


def test_turns() -> None:
    line = np.array([[0.0, 0, 0], [1, 0, 0], [1, 1, 0], [1, 2, 0], [1, 2 + math.cos(1), math.sin(1)], [1, 2, 0]])
    angle, play = turns_deg(line)
    assert angle == pytest.approx([90.0, 0.0, math.degrees(1.0), 180.0])
    assert play.max() < 0.03  # two points 0.087 mm off on legs of 1 m


def test_rounding_never_explains_more_than_its_play() -> None:
    """A thousand times: points rounded to 0.1 mm; angles and length stay within the play that is allowed for it."""
    random = np.random.default_rng(3)
    for _ in range(1000):
        line = np.cumsum(random.uniform(-0.05, 0.05, (6, 3)), axis=0)
        saved = np.round(line, 4)
        true, (found, play) = turns_deg(line)[0], turns_deg(saved)
        assert (np.abs(true - found) <= play + 1e-9).all()
        assert abs(length_of(line) - length_of(saved)) <= length_play_m(saved) + 1e-6


def test_distance_to_a_polyline() -> None:
    line = np.array([[0.0, 0, 0], [1, 0, 0], [1, 1, 0]])
    points = np.array([[0.5, 0.2, 0], [1.3, 0.5, 0.4], [-3, 0, 4], [1, 1, 0]])
    assert distances_to_line(points, line) == pytest.approx([0.2, 0.5, 5.0, 0.0])
