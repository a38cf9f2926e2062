"""What lies together: neighbours that warm each other, and what the outside of a loom's bends costs."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from ribway.router.laying.layer import Laid, Leg
from ribway.router.looms.crowd import Neighbourhood, loom_side_m, neighbourhoods
from ribway.router.looms.grouping import Loom, Member, Section, group

CHECKS = Path(__file__).parents[2] / "data" / "checks" / "fill_and_pull.csv"


def row(case: int) -> dict[str, str]:
    """A row of the checks with its source."""
    with CHECKS.open(encoding="utf-8", newline="") as lines:
        return next(line for line in csv.DictReader(lines) if line["case"] == str(case))


def loom_of(*runs: tuple[str, ...]) -> Loom:
    """A loom with one section for each set of runs."""
    points = np.array([[0.0, 0, 0], [1, 0, 0]])
    sections = tuple(Section(float(k), k + 1.0, own, (), points, 0) for k, own in enumerate(runs))
    return Loom("A", "rear", tuple(sorted({run for own in runs for run in own})), sections, (), float(len(runs)))


def test_an_outer_wire_at_five_bends_in_a_thick_loom() -> None:
    """Row 10 (geometry): five right angles in a 40 mm loom; a wire of 5 mm on the outside: about +137 mm."""
    assert row(10)["answer"].startswith("about +137 mm")
    turns = {0: 5 * math.pi / 2}
    side = loom_side_m(loom_of(("r",)), "r", 0.0025, {0: 0.020}, turns)
    assert side == pytest.approx(0.137, abs=0.001)
    assert side == pytest.approx((0.020 - 0.0025) * 5 * math.pi / 2, abs=1e-12)


def test_the_outer_wire_by_drawing_it() -> None:
    """The same with arcs laid out: a quarter circle at radius R + (bundle - own) against one at R, five times."""
    for bundle, own, radius in ((0.02, 0.0025, 0.1), (0.012, 0.004, 0.05)):
        angle = np.linspace(0, math.pi / 2, 20001)
        lengths = [
            np.hypot(*np.diff([r * np.cos(angle), r * np.sin(angle)], axis=1)).sum()
            for r in (radius, radius + bundle - own)
        ]
        want = 5 * (lengths[1] - lengths[0])
        got = loom_side_m(loom_of(("r",)), "r", own, {0: bundle}, {0: 5 * math.pi / 2})
        assert got == pytest.approx(want, rel=1e-6)


def test_only_the_sections_a_run_lies_in_count_and_never_below_nothing() -> None:
    loom = loom_of(("a", "b", "c"), ("a", "b"), ("a",))
    radius, turns = {0: 0.010, 1: 0.008, 2: 0.003}, {0: 1.0, 1: 2.0, 2: 4.0}
    assert loom_side_m(loom, "c", 0.003, radius, turns) == pytest.approx(0.007)
    assert loom_side_m(loom, "b", 0.003, radius, turns) == pytest.approx(0.007 + 0.010)
    assert loom_side_m(loom, "a", 0.003, radius, turns) == pytest.approx(0.007 + 0.010 + 0.0)
    assert loom_side_m(loom, "a", 0.004, radius, turns) == pytest.approx(0.006 + 0.008), "thicker than the last bundle"


def leg(number: int, zone: str) -> Leg:
    points = np.array([[number, 0.0, 0.0], [number + 1, 0.0, 0.0]])
    return Leg("bay", f"b{number}", points, 1.0, 1.0, zone, "square", ("bay", number, 0, 1))  # type: ignore[arg-type]


def test_neighbours_are_those_of_the_same_loom_on_the_same_stretch() -> None:
    """r1 and r2 together on the wall, r1 on alone over the roof; AC on the same stretch is another loom."""
    stub = Leg("stub", "d", np.zeros((2, 3)), 0.1, 0.1, "wall", "", None)
    routes = {
        "r1": [stub, leg(0, "wall"), leg(1, "roof")],
        "r2": [leg(0, "wall"), leg(2, "wall")],
        "ac": [leg(0, "wall")],
    }
    laid = {run: Laid(tuple(legs), np.zeros((2, 3)), ()) for run, legs in routes.items()}
    members = [Member(run, "a", run, run, "rear", "ac" if run == "ac" else "low", laid[run]) for run in routes]
    near = neighbourhoods(group(members), laid)
    assert near["r1"] == (
        Neighbourhood("roof", ("r1",)),
        Neighbourhood("wall", ("r1",)),
        Neighbourhood("wall", ("r1", "r2")),
    )
    assert near["r2"] == (Neighbourhood("wall", ("r1", "r2")), Neighbourhood("wall", ("r2",)))
    assert near["ac"] == (Neighbourhood("wall", ("ac",)),)
