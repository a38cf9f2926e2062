"""Cautions stand where the plan gives cause for them, and nowhere else."""

from __future__ import annotations

import pytest

from ribway.models.plan.plan import Plan
from ribway.sheets.cautions import cautions, named


def heads(plan: Plan) -> str:
    return " ".join(one.head for one in cautions(plan))


def without(plan: Plan, kind: str) -> Plan:
    """The plan without the circuits and runs of a kind."""
    return plan.model_copy(
        update={
            "runs": tuple(run for run in plan.runs if run.kind != kind),
            "circuits": tuple(circuit for circuit in plan.circuits if circuit.kind != kind),
        }
    )


def all_openings(plan: Plan, state: str) -> Plan:
    openings = tuple(opening.model_copy(update={"state": state}) for opening in plan.openings)
    return plan.model_copy(update={"openings": openings})


def test_codes_and_guideline_come_first_on_every_plan(sample_plan: Plan, bare_plan: Plan) -> None:
    for plan in (sample_plan, bare_plan):
        assert cautions(plan)[0].head == "Local codes and the vehicle maker's guideline come first."
    assert len(cautions(bare_plan)) == 1


@pytest.mark.parametrize(
    "words", ["licensed person", "Fuse at the source", "every edge", "template", "airbag", "assumed"]
)
def test_the_sample_gives_cause_for(sample_plan: Plan, words: str) -> None:
    assert words in heads(sample_plan)


def test_ac_fuses_and_template_go_with_their_cause(sample_plan: Plan) -> None:
    assert "licensed" not in heads(without(sample_plan, "ac"))
    assert "Fuse" not in heads(without(sample_plan, "dc"))
    assert "template" not in heads(without(sample_plan, "dc"))


def test_drilling_and_checking_go_with_the_state_of_the_openings(sample_plan: Plan) -> None:
    drilled = all_openings(sample_plan, "drill")
    assert "drilling" in heads(drilled)
    assert "assumed" not in heads(drilled)
    assert any("Holes to drill: L1a, R1a." in one.text for one in cautions(drilled))
    measured = all_openings(sample_plan, "measured")
    assert "drilling" not in heads(measured)
    assert "assumed" not in heads(measured)


def test_what_is_meant_is_named(sample_plan: Plan) -> None:
    texts = " ".join(one.text for one in cautions(sample_plan))
    for words in ("1 opening that this plan uses was never measured: R1a.", "main-1", "window-left (window)", "RCD"):
        assert words in texts


def test_many_names_are_cut_short_and_counted() -> None:
    ids = tuple(f"L{number}a" for number in range(20))
    assert named(ids) == "L0a, L1a, L2a, L3a, L4a, L5a, L6a and 13 more"
    assert named(ids[:8]) == ", ".join(ids[:8])
