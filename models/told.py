"""Whoever waits for long work is told how far it is, in steps that are counted; telling may also stop the work."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final, TypeVar

T = TypeVar("T")

Told = Callable[[str, int, int], None]
"""Is told what is being done, how many of its steps are done, and of how many. What it raises stops the work."""

FEW: Final = "which few sizes to keep"
GROUND: Final = "metal, bays and ways"
ROUTES: Final = "routes and sizes"
THINNER: Final = "each circuit one size thinner"
COOLER: Final = "thinner cables round hot air"
TOGETHER: Final = "all routes together"
LEAST: Final = "least copper of any plan"
WRITING: Final = "writing the plan down"
FREEING: Final = "what would let all runs through"
TRIALS: Final = "planning trials"
CHECKING: Final = "checking the plan"
PAPERS: Final = "lists and papers"
PAGE: Final = "page for the phone"
PICTURES: Final = "pictures"

PLANNING: Final = (GROUND, ROUTES, THINNER, COOLER, WRITING)
"""Stages of every plan."""
FINISHING: Final = (LEAST, WRITING, CHECKING)
"""Stages that add its bound and its audit."""


def stages_of(thorough: bool, finish: bool = True) -> tuple[str, ...]:
    """The stages of a plan from nothing, in their order.

    Args:
        thorough: whether all routes are searched together as well.
        finish: whether bound and audit belong to it.
    """
    return (*PLANNING[:-1], *([TOGETHER] if thorough else []), *(FINISHING if finish else PLANNING[-1:]))


def untold(stage: str, done: int, of: int) -> None:
    """Nobody waits."""


def each_told(told: Told, stage: str, items: Sequence[T]) -> Iterator[T]:
    """The items one by one, told before each and at the end.

    Args:
        told: who waits.
        stage: what is done with them.
        items: what is gone through.
    """
    for done, item in enumerate(items):
        told(stage, done, len(items))
        yield item
    told(stage, len(items), len(items))


class HowFar:
    """Stages that are told one after another, as one share that never goes back."""

    def __init__(self, stages: Sequence[str]) -> None:
        """Nothing is done.

        Args:
            stages: those expected, in their order; each counts alike. Others are named, and move nothing.
        """
        self._stages = tuple(stages)
        self.share = 0.0

    def words(self, stage: str, done: int, of: int) -> str:
        """Take in what was told.

        Args:
            stage, done, of: as `Told`.

        Returns:
            What is being done, with its count; `share` is then how much of all is done, from 0 to 1.
        """
        if stage in self._stages:
            here = min(done / of, 1.0) if of > 0 else 0.0
            self.share = max(self.share, (self._stages.index(stage) + here) / len(self._stages))
        return f"{stage}, {done} of {of}" if of > 1 else stage
