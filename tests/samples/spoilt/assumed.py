"""Plans that are wrong in what they say of assumed values and of chances."""

from __future__ import annotations

from typing import Any

from ribway.models.plan.assumptions import RunError
from ribway.models.plan.plan import Plan
from samples.spoilt.changes import Spoilt, add, change, take


def _assumption(plan: Plan, about: str, /, **update: Any) -> Plan:
    rows = tuple(one.model_copy(update=update) if one.about == about else one for one in plan.assumptions)
    assert rows != plan.assumptions, f"nothing changed about {about}"
    return plan.model_copy(update={"assumptions": rows})


def _without(plan: Plan, about: str) -> Plan:
    return plan.model_copy(update={"assumptions": tuple(one for one in plan.assumptions if one.about != about)})


def _totals(plan: Plan, **update: Any) -> Plan:
    return plan.model_copy(update={"totals": plan.totals.model_copy(update=update)})


def _error(plan: Plan, metres: float, measurement: str = "device fridge") -> Plan:
    return change(plan, "runs", "fridge-1", errors=(RunError(measurement=measurement, mean_m=0.0, metres=metres),))


ASSUMED: tuple[Spoilt, ...] = (
    Spoilt("assumption", "R1a", lambda p: _assumption(p, "R1a", confirmed=True)),
    Spoilt("assumption", "R1a", lambda p: _without(p, "R1a")),
    Spoilt("assumption", "L1a", lambda p: change(p, "openings", "L1a", state="assumed")),
    Spoilt("assumption", "flat-2x16", lambda p: _without(p, "flat-2x16")),
    Spoilt("assumption", "fridge", lambda p: change(p, "devices", "fridge", confirmed=False)),
    Spoilt("assumption", "fridge", lambda p: _without(p, "fridge")),
    Spoilt("unknown-name", "oven", lambda p: _assumption(p, "fridge", about="oven")),
    Spoilt("unknown-name", "fridge-1", lambda p: _error(p, 0.01, "device oven")),
    Spoilt("margin", "fridge-1", lambda p: add(p, "runs", "fridge-1", "margin_m", 0.05)),
    # 0.9 m to spare: evenly spread between +/-1.8 m, a quarter of all errors is more than that.
    Spoilt("short-chance", "fridge-1", lambda p: _error(p, 2.0 * 0.9)),
    Spoilt("short-chance", "fridge-1", lambda p: _error(p, -0.01)),
    Spoilt("short-chance", "fridge-1", lambda p: change(p, "runs", "fridge-1", short_chance=0.25)),
    Spoilt("scale-error", "fridge-1", lambda p: p.model_copy(update={"scale_error_percent": 1.0})),
    Spoilt("scale-error", "fridge-1", lambda p: _scaled(p, 0.03)),
    Spoilt("total", "runs short", lambda p: _totals(p, short_runs=1.0)),
    Spoilt("total", "any run short", lambda p: _totals(p, short_chance=0.5)),
    Spoilt("gain", "device fridge", lambda p: change(p, "measurements", "device fridge", gain=0.5)),
    Spoilt("gain", "device fridge", lambda p: change(p, "measurements", "device fridge", after_m=0.5)),
)


def _scaled(plan: Plan, metres: float) -> Plan:
    """The plan with an error of the scale at one run, though its shell has none."""
    run = take(plan, "runs", "fridge-1")
    return change(
        plan, "runs", "fridge-1", errors=(*run.errors, RunError(measurement="scale", mean_m=0.0, metres=metres))
    )
