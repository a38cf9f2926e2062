"""Tails that make the whole van long enough, as the plan says them."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.plan.results import PlanRun
from ribway.models.plan.safe_lengths import PlanExtra, PlanSafeLengths
from ribway.router.chance.enough import MOST_CHANCE, chance_with, common_extra_m, extras_m
from ribway.router.chance.survey import Bound, Short
from ribway.router.chance.sway import Change


def write_safe_lengths(runs: Sequence[PlanRun], cut_step_m: float) -> PlanSafeLengths:
    """How much longer cables would have to be cut.

    Args:
        runs: with their margins and errors.
        cut_step_m: lengths are cut in steps of this [m].
    """
    shorts = {
        run.id: Short(run.margin_m, tuple(Bound(one.measurement, Change(one.mean_m, one.metres)) for one in run.errors))
        for run in runs
    }
    extra = extras_m(shorts, cut_step_m)
    return PlanSafeLengths(
        chance=MOST_CHANCE,
        common_m=round(common_extra_m(list(shorts.values()), cut_step_m), 4),
        extra=tuple(PlanExtra(run=run.id, metres=round(extra[run.id], 4)) for run in runs if run.id in extra),
        extra_m=round(sum(extra[run.id] * run.pieces for run in runs if run.id in extra), 4),
        chance_then=round(sum(chance_with(one, extra.get(run, 0.0)) for run, one in shorts.items()), 6),
    )
