"""The demo projects, planned once for all tests here, and a small van to damage."""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ribway.models.alternatives import read_all
from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.models.reading import check_data
from ribway.router.planner import plan_project
from samples.small_lab import SMALL

DEMO = Path(__file__).parents[2] / "docs" / "demo"
Both = tuple[Project, dict[str, Project]]
PlanIt = Callable[[dict[str, Any]], Plan]


@pytest.fixture
def small() -> dict[str, Any]:
    """Data of the small project, to be changed freely."""
    return copy.deepcopy(SMALL)


@pytest.fixture(scope="session")
def plan_it(tmp_path_factory: pytest.TempPathFactory) -> PlanIt:
    """Checks and plans a project's data."""
    folder = tmp_path_factory.mktemp("project")
    return lambda raw: plan_project(check_data(raw).base, folder)


@pytest.fixture(scope="session")
def demo_folder() -> Path:
    """Where the demo projects lie, each in a folder of its own."""
    return DEMO


@pytest.fixture(scope="session")
def survey() -> Both:
    """The survey van and its alternatives."""
    return read_all(DEMO / "survey-van" / "project.yaml")


@pytest.fixture(scope="session")
def survey_project(survey: Both) -> Project:
    """The survey van as its file gives it."""
    return survey[0]


@pytest.fixture(scope="session")
def survey_plan(survey_project: Project) -> Plan:
    """The survey van, planned."""
    return plan_project(survey_project, DEMO / "survey-van")


@pytest.fixture(scope="session")
def survey_alternatives(survey: Both) -> dict[str, Plan]:
    """Every alternative of the survey van, planned."""
    return {name: plan_project(project, DEMO / "survey-van", name) for name, project in survey[1].items()}


@pytest.fixture(scope="session")
def inch() -> Both:
    """The van in feet and inches, and its alternatives."""
    return read_all(DEMO / "inch-van" / "project.yaml")


@pytest.fixture(scope="session")
def inch_plan(inch: Both) -> Plan:
    """The van in feet and inches, planned."""
    return plan_project(inch[0], DEMO / "inch-van")
