"""The bound on copper against whole plans: no plan of the same project, with any routes and sizes, lies below it."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from ribway.models.alternatives import alternative_project
from ribway.models.plan.bound import CopperBound, bound_words
from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.audit.check import audit_plan
from ribway.router.planner import plan_project
from ribway.router.writing.bound import gap_percent

KG_PER_M_MM2 = 8.96e-3  # density of copper 8.96 g/cm3
DEMO = Path(__file__).parents[2] / "docs" / "demo" / "inch-van" / "project.yaml"


@pytest.fixture(scope="module")
def project() -> Project:
    return alternative_project(DEMO, "")


@pytest.fixture(scope="module")
def plan(project: Project) -> Plan:
    return plan_project(project, DEMO.parent)


def unrounded_kg(plan: Plan) -> float:
    """Copper of routes with slack, and of tails, from the plan's own lengths."""
    slack = 1.0 + plan.rules.slack_percent / 100.0
    return sum(
        run.conductor_area_mm2 * run.cores * KG_PER_M_MM2 * (run.sharp_m * slack + run.tail_a_m + run.tail_b_m)
        for run in plan.runs
    )


def bound_of(plan: Plan) -> CopperBound:
    assert plan.bound is not None
    return plan.bound


def test_what_is_measured_is_the_plan_before_rounding(plan: Plan) -> None:
    bound = bound_of(plan)
    assert bound.planned_kg == pytest.approx(unrounded_kg(plan), rel=1e-4)
    assert bound.rounding_kg == pytest.approx(plan.totals.copper_kg - bound.planned_kg, abs=2e-6)
    assert 0.0 < bound.copper_kg <= bound.same_cables_kg + 1e-6 <= bound.planned_kg + 2e-6


def test_no_plan_by_other_rules_of_choice_lies_below_it(project: Project, plan: Plan) -> None:
    """The search is turned by other prices of bends and openings; the rules of length and of size stay as they are."""
    bound = bound_of(plan)
    changed = 0
    for bend, opening in itertools.product((0.0, 2.0), (0.0, 1.0)):
        shop = project.shop.model_copy(update={"bend_costs": bend, "opening_costs": opening})
        other = plan_project(project.model_copy(update={"shop": shop}), DEMO.parent)
        assert unrounded_kg(other) >= bound.copper_kg - 1e-6
        changed += [run.openings for run in other.runs] != [run.openings for run in plan.runs]
    assert changed > 0


def test_gaps_are_rounded_so_that_they_claim_no_more_than_was_proved() -> None:
    assert gap_percent(1.0, 0.99999) == 0.01
    assert gap_percent(1.0, 1.0) == 0.0
    assert gap_percent(2.0, 1.5) == 25.0
    assert gap_percent(0.0, 0.0) == 0.0


def test_it_is_said_in_words(plan: Plan) -> None:
    bound = bound_of(plan).model_copy(
        update={
            "planned_kg": 2.0,
            "copper_kg": 1.2349,
            "same_cables_kg": 1.98,
            "routes_gap_percent": 1.0,
            "proven": False,
        }
    )
    said = bound_words(bound, "metric")
    assert "2.000 kg" in said
    assert "1.234 kg" in said  # what is proved is rounded down
    assert "1.00 %" in said
    assert "with less than 1.234 kg" in bound_words(bound.model_copy(update={"proven": True}), "metric")


@pytest.mark.parametrize(
    "spoilt",
    [
        {"planned_kg": 1.5},
        {"copper_kg": 99.0},
        {"gap_percent": 0.0, "copper_kg": 0.5},
        {"same_cables_kg": 0.5},
        {"rounding_kg": 0.5},
        {"routes_gap_percent": 7.0},
    ],
)
def test_the_audit_finds_a_spoilt_bound(plan: Plan, spoilt: dict[str, float]) -> None:
    assert not [one for one in audit_plan(plan) if one.code == "bound"]
    wrong = plan.model_copy(update={"bound": bound_of(plan).model_copy(update=spoilt)})
    assert [one for one in audit_plan(wrong) if one.code == "bound" and one.level == "error"]
