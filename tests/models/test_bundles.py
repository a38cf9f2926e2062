"""Bundles against their corners and bays, by plane geometry."""

from __future__ import annotations

import math
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ribway.models.plan.bundles import bundle_checks, corner_room_m
from ribway.models.plan.plan import Plan
from ribway.router.audit.book import open_book
from ribway.router.audit.bundles import corner_room_mm


def test_a_square_corner_has_room_for_its_shorter_side() -> None:
    assert corner_room_m(((0, 0, 0), (0.3, 0, 0), (0.3, 0.1, 0)), 15.0) == pytest.approx(0.1)
    assert corner_room_m(((0, 0, 0), (0.3, 0, 0), (0.3, 0.1, 0), (0.6, 0.1, 0)), 15.0) == pytest.approx(0.05), "shared"
    assert corner_room_m(((0, 0, 0), (0.3, 0, 0), (0.6, 0, 0)), 15.0) is None
    assert corner_room_m(((0, 0, 0), (0.3, 0, 0), (0.3, 0, 0), (0.3, 0.2, 0)), 15.0) == pytest.approx(0.2), (
        "a point twice"
    )


@given(st.floats(30.0, 165.0), st.floats(0.2, 1.0), st.floats(0.2, 1.0))
def test_the_arc_of_that_radius_just_touches_the_end_of_the_shorter_leg(turn: float, one: float, two: float) -> None:
    """The middle of the arc lies on the corner's half line, as far from both legs as the radius: points found by hand."""
    angle = math.radians(turn)
    end = (one + two * math.cos(angle), two * math.sin(angle), 0.0)
    room = corner_room_m(((0.0, 0.0, 0.0), (one, 0.0, 0.0), end), 15.0)
    assert room is not None
    start = one - min(one, two)
    middle = (start, room)
    across = abs((end[0] - one) * (middle[1]) - (middle[0] - one) * end[1]) / two
    assert across == pytest.approx(room, rel=1e-6)


def test_the_stiffest_cable_decides_and_a_bay_may_be_too_flat(sample_plan: Plan) -> None:
    runs = {run.id: run for run in sample_plan.runs}
    bent = {
        name: run.model_copy(update={"least_bend_radius_mm": radius})
        for (name, run), radius in zip(sorted(runs.items()), (40.0, 60.0, 80.0, 20.0), strict=True)
    }
    for check in bundle_checks(sample_plan.looms, bent, sample_plan.bays, 15.0):
        loom = next(one for one in sample_plan.looms if one.id == check.loom)
        section = next(one for one in loom.sections if one.name == check.section)
        assert check.needs_mm == max(bent[name].least_bend_radius_mm for name in section.runs)
        assert check.bends == (check.room_mm is None or check.room_mm >= check.needs_mm)
        assert check.depth_mm is None
        assert check.fits
    for depth_m, fits in ((0.003, False), (0.1, True)):
        bays = tuple(one.model_copy(update={"depth_m": depth_m}) for one in sample_plan.bays)
        checks = bundle_checks(sample_plan.looms, runs, bays, 15.0)
        tried = [one for one in checks if one.depth_mm is not None]
        assert tried, "no section lies in a bay of the sample"
        assert {(one.depth_mm, one.fits) for one in tried} == {(1000.0 * depth_m, fits)}


def test_the_audit_finds_the_same_corners_by_its_own_reckoning(sample_plan: Plan) -> None:
    """Two programmes that share no code: the planner's recursion, and the audit's arrays, over lines walked at random."""
    book = open_book(sample_plan)
    section = sample_plan.looms[0].sections[0]
    random = Random(7)
    corners = 0
    for _ in range(400):
        at, points = (0.0, 0.0, 0.0), [(0.0, 0.0, 0.0)]
        for _ in range(random.randint(1, 9)):
            step = [0.0, 0.0, 0.0]
            step[random.randrange(3)] = random.choice((-1, 1)) * random.choice((0.004, 0.03, 0.2, 0.7))
            at = (at[0] + step[0], at[1] + step[1], at[2] + step[2])
            points.append(at)
        mine = corner_room_m(tuple(points), sample_plan.rules.bend_counts_above_deg)
        theirs = corner_room_mm(book, section.model_copy(update={"points": tuple(points)}))
        corners += mine is not None
        assert theirs[0] - 0.06 <= (math.inf if mine is None else 1000.0 * mine) <= theirs[1] + 0.06
    assert corners > 300
