"""The pull plan as the window and the animation show it."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.rates.rates import Rates
from ribway.sheets.pulling.steps import Step, pull_steps
from ribway.viewer.steps import PullStep


def shown_steps(plan: Plan) -> tuple[PullStep, ...]:
    """The steps of the pull plan in words, in the order of the paper.

    Args:
        plan: the plan.

    Returns:
        One entry for each step, on the bench or in the van.
    """
    names = {device.id: device.name or device.id for device in plan.devices}
    return tuple(_shown(step, names) for step in pull_steps(plan, Rates()))


def _shown(step: Step, names: dict[str, str]) -> PullStep:
    loom = f"loom {step.loom}" if step.loom else "by itself"
    hands = "two people" if step.people == 2 else "alone"
    if step.pull is None:
        return PullStep(step.number, f"{loom}, on the bench", (step.what,), loom=step.loom)
    pull = step.pull
    lines = [f"feed in at {names.get(pull.feed, pull.feed)}, pull out at {names.get(pull.pull, pull.pull)}, {hands}"]
    if pull.openings:
        lines.append(f"through {', '.join(pull.openings)}")
    lines += [one for one in (step.tape_back, *step.notes) if one]
    return PullStep(step.number, f"{step.what} {pull.run.id}, {loom}", tuple(lines), pull.run.id, step.loom)
