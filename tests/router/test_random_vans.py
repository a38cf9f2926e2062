"""Vans put together at random are planned to the end, or refused in words; what is planned is sound, and its bound below it.

`plan_project` audits what it plans with code of its own, and raises where that finds anything.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from random_vans import RandomVan

from ribway.models.plan.plan import Plan
from ribway.models.reading import check_text
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_project
from ribway.sheets.catalogue import book_files
from ribway.sheets.paper.wishes import Wishes

TRIES = 12
SEEDS = range(7)


def planned(seed: int) -> Plan | None:
    """A plan of a random van; devices that the shell refuses are put elsewhere. None if it is refused for other reasons."""
    van = RandomVan(seed, 7)
    for _ in range(TRIES):
        try:
            return plan_project(check_text(yaml.safe_dump(van.data), "van.yaml", Path()).base, Path())
        except RouterFaults as faults:
            refused = [fault.place.split(" / ")[1] for fault in faults.faults if fault.place.startswith("devices / ")]
            if not refused:
                return None
            van.moved(refused)
    return None


@pytest.fixture(scope="module")
def plans() -> list[Plan | None]:
    return [planned(seed) for seed in SEEDS]


def test_most_random_vans_are_planned(plans: list[Plan | None]) -> None:
    """Places that never fit, and circuits for which no size in stock will do, are refused: at most a third."""
    made = [plan for plan in plans if plan is not None]
    assert len(made) >= len(SEEDS) * 2 / 3
    assert any(plan.complete for plan in made)


def test_no_plan_of_a_random_van_is_below_its_bound(plans: list[Plan | None]) -> None:
    bounds = [plan.bound for plan in plans if plan is not None and plan.complete]
    for bound in bounds:
        assert bound is not None
        assert bound.copper_kg <= bound.same_cables_kg <= bound.planned_kg
        assert 0.0 <= bound.routes_gap_percent <= bound.gap_percent < 100.0


def test_random_vans_have_papers(plans: list[Plan | None]) -> None:
    for plan in plans:
        if plan is not None and plan.complete:
            files = dict(book_files(plan, Wishes()))
            assert "wire-list.csv" in files
            text = files["wire-list.csv"].decode()
            assert all(run.id in text for run in plan.runs)
