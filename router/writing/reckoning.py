"""The reckoning behind a run's size: factors, limits with their margins, losses, price."""

from __future__ import annotations

from functools import partial
from typing import Any

from ribway.models.plan.electric import PlanFactor, PlanLimit
from ribway.router.circuits.runs import Run
from ribway.router.memory import Same
from ribway.router.sizes.held import Sized
from ribway.router.writing.budgets import fixed_lengths
from ribway.router.writing.outcome import Outcome
from ribway.router.writing.size_by import size_by
from ribway.sizing.cost import run_cost
from ribway.sizing.verdict import Verdict


def write_reckoning(outcome: Outcome, run: Run, sized: Sized | None) -> dict[str, Any]:
    """The fields of a plan's run that say how its size came about.

    Args:
        outcome: what was decided.
        run: the run.
        sized: how it was held against its limits; None for a spare.

    Returns:
        Fields by name; empty where nothing was sized.
    """
    cut = outcome.cuts[run.id]
    fields: dict[str, Any] = {}
    lead_m = fixed_lengths(outcome).get(run.id)
    if lead_m is not None:
        fields["fixed_length_m"] = lead_m
    if sized is None or sized.verdict is None:
        return fields
    verdict = sized.verdict
    hours = _hours(outcome, run)
    cost = run_cost(verdict.conductor, cut.cut_m, run.amps, hours or 0.0, verdict.copper_c, run.cores_in_line)
    return {
        **fields,
        **outcome.memory.of("written verdict", Same(verdict), partial(_verdict, verdict)),
        "size_by": size_by(outcome, run, sized),
        "copper_c": round(verdict.copper_c, 1),
        "loss_w": round(cost.loss_w, 3),
        "loss_wh_per_day": None if hours is None else round(cost.loss_wh_per_day, 2),
    }


def _verdict(verdict: Verdict) -> dict[str, Any]:
    return {
        "factors": tuple(
            PlanFactor(
                name=one.name,
                value=round(one.value, 4),
                before_a=round(one.before_a, 2),
                after_a=round(one.after_a, 2),
                because=one.because,
            )
            for one in verdict.ampacity.factors
        ),
        "limits": tuple(
            PlanLimit(
                name=one.name,
                value=round(one.value, 4),
                bound=round(one.bound, 4),
                sense=one.sense,
                unit=one.unit,
                margin=round(one.margin, 4),
                says=one.says,
            )
            for one in verdict.limits
        ),
    }


def _hours(outcome: Outcome, run: Run) -> float | None:
    """Hours of a day that a run's devices draw: the longest of them; None if one does not say."""
    devices = outcome.sizer.devices
    hours = [devices[name].hours_per_day for name in _drawing(outcome, run)]
    known = [one for one in hours if one is not None]
    return max(known) if known and len(known) == len(hours) else None


def _drawing(outcome: Outcome, run: Run) -> list[str]:
    """Devices that draw behind a run in its circuit, switches left out: they draw nothing."""
    runs = [one for one in outcome.runs if one.circuit == run.circuit]
    through = {run.id}
    names = list(run.draws)
    for one in runs:
        if one.after in through:
            through.add(one.id)
            names += one.draws
    devices = outcome.sizer.devices
    return [name for name in dict.fromkeys(names) if devices[name].kind not in ("switch", "joint", "earth point")]
