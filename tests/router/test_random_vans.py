"""Vans put together at random are planned to the end, or refused in words; what is planned is sound, and its bound below it.

`plan_project` audits what it plans with code of its own, and raises where that finds anything.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import pytest
import yaml
from random_vans import RandomVan

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.models.reading import check_text
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_project
from ribway.router.planning import Planning, State
from ribway.router.rising import planned
from ribway.router.shell.choose import shell_of
from ribway.sheets.catalogue import book_files
from ribway.sheets.paper.wishes import Wishes

T = TypeVar("T")
TRIES = 12
SEEDS = range(7)


def accepted(van: RandomVan, make: Callable[[Project], T]) -> T | None:
    """What is made of a van; devices that the shell refuses are put elsewhere. None if it is refused for other reasons."""
    for _ in range(TRIES):
        try:
            return make(check_text(yaml.safe_dump(van.data), "van.yaml", Path()).base)
        except RouterFaults as faults:
            refused = [fault.place.split(" / ")[1] for fault in faults.faults if fault.place.startswith("devices / ")]
            if not refused:
                return None
            van.moved(refused)
    return None


@pytest.fixture(scope="module")
def plans() -> list[Plan | None]:
    return [accepted(RandomVan(seed, 7), lambda project: plan_project(project, Path())) for seed in SEEDS]


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


def test_in_a_crowded_van_no_run_is_left_out_that_has_a_way_beside_the_others() -> None:
    """Routes are found while cables are thicker than they end: what these kept out is led when they have become thin."""
    van = RandomVan(4, 30)
    van.vehicle["preset"] = "short-high"
    van.shop["fill_limit"] = "20 %"

    def made(project: Project) -> tuple[Planning, State]:
        planning = Planning(project, shell_of(project, Path()))
        return planning, planned(planning)

    found = accepted(van, made)
    assert found is not None
    planning, state = found
    jobs = planning.jobs(state.index)
    dead = [number for number, path in enumerate(state.paths) if path is None]
    assert dead
    assert [number for number in dead if planning.negotiator.beside(jobs, state.paths, number) is not None] == []
