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
        bounds: of all candidates, as they were known in the end.
    """

    tried: tuple[tuple[int, float, T], ...]
    proven: bool
    open_bound: float
    bounds: tuple[float, ...] = ()

    @property
    def best(self) -> float:
        """Least cost that was met."""
        return min((cost for _, cost, _ in self.tried), default=math.inf)


def best_first(
    bounds: Sequence[float],
    evaluate: Callable[[int], tuple[float, T]],
    most: int,
    first: Sequence[int] = (),
    learn: Callable[[T], Sequence[float]] | None = None,
) -> Searched[T]:
    """Evaluate candidates by rising bound until the next bound is not below the best cost.

    Args:
        bounds: a bound from below for each candidate; infinite where it is known to be impossible.
        evaluate: cost of a candidate, infinite if impossible, and what came of it.
        most: evaluations at most, ``first`` included.
        first: candidates to begin with, whatever their bounds.
        learn: further bounds for all candidates from what came of one; the greater holds. Not asked when none is left open.

    Returns:
        The search. Ties go by index, so that the same input gives the same answer.
    """
    known, left, begin = list(bounds), set(range(len(bounds))), list(first)
    tried: list[tuple[int, float, T]] = []
    best = math.inf
    while left:
        k = begin[0] if begin else min(left, key=lambda one: (known[one], one))
        if not begin and (known[k] >= best or math.isinf(known[k])):
            return Searched(tuple(tried), best < math.inf, known[k], tuple(known))
        if not begin and len(tried) >= most:
            return Searched(tuple(tried), False, known[k], tuple(known))
        begin = begin[1:]
        left.discard(k)
        cost, what = evaluate(k)
        tried.append((k, cost, what))
        best = min(best, cost)
        if learn is not None and any(known[one] < best for one in left):
            known = [max(pair) for pair in zip(known, learn(what), strict=True)]
    return Searched(tuple(tried), best < math.inf, math.inf, tuple(known))
