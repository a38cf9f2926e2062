"""The pull plan as it is shown: what is in the van after each step, and what is pulled in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class PullStep:
    """One step of the work.

    Args:
        number: as in the pull plan.
        title: what is done, in a few words.
        lines: from where to where, how hard, what to take care of.
        run: the run that is pulled; empty for work on the bench.
        loom: the loom it belongs to; empty for what lies by itself.
    """

    number: int
    title: str
    lines: tuple[str, ...] = ()
    run: str = ""
    loom: str = ""


def laid_before(steps: Sequence[PullStep], at: int) -> frozenset[str]:
    """The runs that are in the van already when a step begins.

    Args:
        steps: all steps, in order.
        at: which of them, from 0.

    Returns:
        Ids of runs.
    """
    return frozenset(step.run for step in steps[: max(at, 0)] if step.run)


def step_words(steps: Sequence[PullStep], at: int) -> str:
    """What is said of a step.

    Args:
        steps: all steps, in order.
        at: which of them, from 0.

    Returns:
        A few lines, the first with the number and how many there are.
    """
    step = steps[at]
    return "\n".join((f"step {step.number} of {steps[-1].number}: {step.title}", *step.lines))
