"""The audit passes a right plan and finds every one of many wrong ones, each made wrong in one place."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import ribway.router.audit as audit
from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan
from samples.spoilt.assumed import ASSUMED
from samples.spoilt.boards import BOARDS
from samples.spoilt.changes import Spoilt
from samples.spoilt.feeding import FEEDING
from samples.spoilt.given import GIVEN
from samples.spoilt.joints import JOINTS
from samples.spoilt.members import MEMBERS
from samples.spoilt.negatives import CHASSIS, SHARED
from samples.spoilt.numbers import NUMBERS
from samples.spoilt.routes import ROUTES
from samples.spoilt.signals import SIGNALS, right_budgets
from samples.spoilt.sizes import SIZES
from samples.spoilt.wished import WISHED

EVERY = (*ROUTES, *SIZES, *MEMBERS, *ASSUMED, *FEEDING, *GIVEN, *NUMBERS, *SIGNALS, *WISHED)


def test_the_sample_plan_passes(sample_plan: Plan) -> None:
    assert audit_plan(sample_plan) == ()
    assert audit_plan(right_budgets(sample_plan)) == ()


@pytest.mark.parametrize("spoilt", EVERY, ids=[f"{index}-{one.code}-{one.about}" for index, one in enumerate(EVERY)])
def test_a_wrong_plan_is_found(sample_plan: Plan, spoilt: Spoilt) -> None:
    found = audit_plan(spoilt.make(sample_plan))
    assert (spoilt.level, spoilt.code, spoilt.about) in {(one.level, one.code, one.about) for one in found}
    assert all(one.message and one.remedy for one in found)


def test_every_finding_the_audit_can_make_is_made_here() -> None:
    """Codes are read from the audit's source, so that a check added there without a wrong plan here is noticed."""
    folder = Path(audit.__file__ or "").parent
    source = "\n".join(file.read_text(encoding="utf-8") for file in sorted(folder.glob("*.py")))
    codes = set(re.findall(r'\b(?:error|warning|note|_same)\(\s*"([a-z-]+)"', source))
    assert codes == {one.code for one in (*EVERY, *BOARDS, *CHASSIS, *SHARED, *JOINTS)}


def test_errors_come_first(sample_plan: Plan) -> None:
    circuits = tuple(
        one.model_copy(update={"fuse_a": {"outlet": 16.0, "fridge": 20.0}.get(one.id, one.fuse_a)})
        for one in sample_plan.circuits
    )
    levels = [one.level for one in audit_plan(sample_plan.model_copy(update={"circuits": circuits}))]
    assert levels == sorted(levels, key=("error", "warning", "note").index)
    assert set(levels) == {"error", "warning"}


def test_a_missing_run_is_no_fault_of_an_incomplete_plan(sample_plan: Plan) -> None:
    """Without the fridge's run the plan is incomplete: what is laid is checked, what is not is not missed."""
    left_out = [one for one in audit_plan(_without_fridge(sample_plan, complete=True)) if one.code == "unknown-name"]
    assert {one.about for one in left_out} == {"fridge"}
    codes = {one.code for one in audit_plan(_without_fridge(sample_plan, complete=False))}
    assert codes <= {"total", "fill", "bundle", "separation-label"}  # openings and totals were not written anew


def _without_fridge(plan: Plan, *, complete: bool) -> Plan:
    openings = tuple(
        one.model_copy(update={"runs": tuple(run for run in one.runs if run != "fridge-1")}) for one in plan.openings
    )
    looms = tuple(
        loom.model_copy(
            update={
                "runs": tuple(run for run in loom.runs if run != "fridge-1"),
                "sections": tuple(
                    section.model_copy(
                        update={
                            "runs": tuple(run for run in section.runs if run != "fridge-1"),
                            "loaded_conductors": 2 * sum(run in ("main-1", "outlet-1") for run in section.runs),
                        }
                    )
                    for section in loom.sections
                ),
                "breakouts": tuple(
                    one.model_copy(update={"runs": tuple(run for run in one.runs if run != "fridge-1")})
                    for one in loom.breakouts
                ),
            }
        )
        for loom in plan.looms
    )
    runs = tuple(run for run in plan.runs if run.id != "fridge-1")
    return plan.model_copy(update={"runs": runs, "openings": openings, "looms": looms, "complete": complete})
