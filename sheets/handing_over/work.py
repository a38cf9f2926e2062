"""The work in a plan, counted, and the hours that it takes."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.rates.rates import Minutes, Rates, Task
from ribway.sheets.buying.parts import fuses_of, parts


@dataclass(frozen=True)
class Work:
    """A task, so many times.

    Attributes:
        task: which.
        count: how many times, or metres.
        minutes: for one.
    """

    task: Task
    count: float
    minutes: Minutes

    @property
    def hours(self) -> tuple[float, float, float]:
        """Low, likely and high [h]."""
        share = self.count / 60.0
        return share * self.minutes.low, share * self.minutes.likely, share * self.minutes.high


def work_of(plan: Plan, rates: Rates) -> tuple[Work, ...]:
    """Every task with how often it comes; AC ends and tests are the licensed person's and not counted.

    Args:
        plan: the plan.
        rates: the shop's minutes.

    Returns:
        Tasks that come at least once, in the order of the work.
    """
    return tuple(Work(task, count, rates.minutes_for(task)) for task, count in counts(plan).items() if count)


def hours_of(work: tuple[Work, ...]) -> tuple[float, float, float]:
    """Low, likely and high hours of all work together [h]."""
    low, likely, high = 0.0, 0.0, 0.0
    for one in work:
        hours = one.hours
        low, likely, high = low + hours[0], likely + hours[1], high + hours[2]
    return low, likely, high


def counts(plan: Plan) -> dict[Task, float]:
    """How often each task comes in a plan; pulling is in metres, one way.

    Args:
        plan: the plan.
    """
    used = [one for one in plan.openings if one.runs]
    cords = {run.id for run in plan.runs if is_draw_cord(run)}
    looms = [loom for loom in plan.looms if len([run for run in loom.runs if run not in cords]) > 1]
    needs = parts(plan)
    return {
        "mark out a place": len(plan.devices),
        "check a hole": sum(1 for one in used if one.state != "drill"),
        "drill a hole": sum(1 for one in used if one.state == "drill"),
        "protect an edge": len(used),
        "cut and mark a piece": sum(run.pieces for run in plan.runs),
        "build a loom": len(looms),
        "pull a metre": round(sum(run.one_way_m for run in plan.runs), 3),
        "pass an opening": sum(len(run.openings) for run in plan.runs),
        "fix a clip": sum(one.amount for one in needs if one.part == "clip"),
        "make an end": sum(2 * run.cores for run in plan.runs if run.kind == "dc")
        + sum(2 for run in plan.runs if run.kind == "data"),
        "test a run": sum(1 for run in plan.runs if run.cores and run.kind != "ac"),
        "fit a fuse": sum(fuses_of(plan, one.id) for one in plan.circuits),
    }
