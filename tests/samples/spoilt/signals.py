"""Plans whose budgets of data circuits are wrong."""

from __future__ import annotations

from typing import Any

from ribway.models.plan.electric import PlanBudget
from ribway.models.plan.plan import Plan
from samples.spoilt.changes import Spoilt, take

RG58_DB_PER_M = 0.161
"""At 100 MHz (makers' sheets)."""


def _budget(plan: Plan, kind: str, **update: Any) -> Plan:
    """The plan with a right budget of its data lead, changed in one place."""
    cut_m = take(plan, "runs", "report-1").cut_m
    right = {
        "length": {"of": "LIN", "value": cut_m, "bound": 40.0, "sense": "at most", "unit": "m"},
        "loss": {
            "of": "RG-58", "value": RG58_DB_PER_M * cut_m + 0.4, "bound": 3.0, "sense": "at most", "unit": "dB",
            "frequency_mhz": 100.0, "plugs": 2,
        },
        "volts": {"of": "display", "value": 12.0, "bound": 9.0, "sense": "at least", "unit": "V", "drawn_a": (0.0,)},
    }  # fmt: skip
    said = {"kind": kind, "circuit": "report", "runs": ("report-1",), "says": "so", **right[kind], **update}
    return plan.model_copy(update={"budgets": (PlanBudget.model_validate(said),)})


def right_budgets(plan: Plan) -> Plan:
    """The plan with three budgets that hold."""
    three = tuple(_budget(plan, kind).budgets[0] for kind in ("length", "loss", "volts"))
    return plan.model_copy(update={"budgets": three})


SIGNALS = (
    Spoilt("budget-runs", "report", lambda p: _budget(p, "length", runs=("report-9",))),
    Spoilt("budget-runs", "nobody", lambda p: _budget(p, "length", circuit="nobody")),
    Spoilt("budget", "report", lambda p: _budget(p, "length", value=0.1)),
    Spoilt("budget", "report", lambda p: _budget(p, "loss", value=0.1)),
    Spoilt("budget", "report", lambda p: _budget(p, "loss", plugs=1)),
    Spoilt("budget", "report", lambda p: _budget(p, "volts", drawn_a=(5.0,))),
    Spoilt("budget-bound", "report", lambda p: _budget(p, "length", bound=400.0)),
    Spoilt("budget-untold", "report", lambda p: _budget(p, "loss", bound=0.5)),
    Spoilt("budget-untold", "report", lambda p: _budget(p, "volts", bound=12.5)),
)
