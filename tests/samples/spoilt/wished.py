"""Plans in which looms are not what a person asked for, or lengths not as safe as they are said to be."""

from __future__ import annotations

from typing import Any

from ribway.models.plan.plan import Plan
from ribway.models.plan.safe_lengths import PlanExtra, PlanSafeLengths
from ribway.models.plan.wished import PlanLoomWishes
from samples.spoilt.changes import Spoilt, change


def _asked(plan: Plan, **wishes: Any) -> Plan:
    return plan.model_copy(update={"loom_wishes": PlanLoomWishes(**wishes)})


def _report_in_another_loom(plan: Plan) -> Plan:
    moved = change(plan, "runs", "report-1", loom="right")
    moved = change(moved, "looms", "left", runs=("fridge-1", "main-1"))
    moved = change(moved, "looms", "right", runs=("outlet-1", "report-1"))
    return _asked(moved, together=(("fridge-1", "report-1"),))


def _safe(plan: Plan, **said: Any) -> Plan:
    right = {"chance": 0.05, "common_m": 0.0, "chance_then": 0.0}
    return plan.model_copy(update={"safe_lengths": PlanSafeLengths(**(right | said))})


WISHED = (
    Spoilt("safe-lengths", "all alike", lambda p: _safe(p, common_m=-3.0)),
    Spoilt("safe-lengths", "run by run", lambda p: _safe(p, extra_m=0.5)),
    Spoilt("safe-lengths", "run by run", lambda p: _safe(p, chance_then=0.3)),
    Spoilt("unknown-name", "safe lengths", lambda p: _safe(p, extra=(PlanExtra(run="nobody-1", metres=0.1),))),
    Spoilt("loom-apart", "main-1", lambda p: _asked(p, apart=((("main-1",), ("fridge-1",)),))),
    Spoilt("loom-together", "fridge-1", _report_in_another_loom),
    Spoilt("spares-wished", "left", lambda p: _asked(p, spares={"left": 1})),
    Spoilt("unknown-name", "looms", lambda p: _asked(p, together=(("fridge-1", "nobody-1"),))),
)
