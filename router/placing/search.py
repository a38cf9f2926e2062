"""Places planned in order of their bounds, until no other can be better."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True)
class Searched(Generic[T]):
    """What came of it.

    Args:
        tried: what was evaluated, in order: which, its cost (infinite if it cannot be), and what came of it.
        proven: none of the others costs less than the best that was evaluated.
        open_bound: least bound of what was not evaluated; infinite if nothing is left.
    """

    tried: tuple[tuple[int, float, T], ...]
    proven: bool
    open_bound: float

    @property
    def best(self) -> float:
        """Least cost that was met."""
        return min((cost for _, cost, _ in self.tried), default=math.inf)


def best_first(
    bounds: Sequence[float], evaluate: Callable[[int], tuple[float, T]], most: int, first: Sequence[int] = ()
) -> Searched[T]:
    """Evaluate candidates by rising bound until the next bound is not below the best cost.

    Args:
        bounds: a bound from below for each candidate; infinite where it is known to be impossible.
        evaluate: cost of a candidate, infinite if impossible, and what came of it.
        most: evaluations at most, ``first`` included.
        first: candidates to begin with, whatever their bounds.

    Returns:
        The search. Ties go by index, so that the same input gives the same answer.
    """
    order = [k for k in sorted(range(len(bounds)), key=lambda k: (bounds[k], k)) if k not in set(first)]
    tried: list[tuple[int, float, T]] = []
    best = math.inf
    for k in first:
        cost, what = evaluate(k)
        tried.append((k, cost, what))
        best = min(best, cost)
    for place, k in enumerate(order):
        if bounds[k] >= best or math.isinf(bounds[k]):
            return Searched(tuple(tried), best < math.inf, bounds[k])
        if len(tried) >= most:
            return Searched(tuple(tried), False, bounds[order[place]])
        cost, what = evaluate(k)
        tried.append((k, cost, what))
        best = min(best, cost)
    return Searched(tuple(tried), best < math.inf, math.inf)
