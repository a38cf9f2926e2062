"""What the linear programme over routes is asked and what it answers: covers, overlaps, shares."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.router.proof.instance import Array, Route
from ribway.router.proof.prices import Prices

ALL = -1  # in place of a group: all runs together


@dataclass(frozen=True, eq=False)
class Shares:
    """A solution.

    Args:
        value: of the programme.
        worth: ``(k,)`` what each run costs at the prices: a cheaper route would help.
        routes: with a share above 0, and that share.
        unled: ``(k,)`` share of each run without any route.
        shares: ``(r,)`` share of every route of the master.
        prices: of the rules.
    """

    value: float
    worth: Array
    routes: tuple[tuple[Route, float], ...]
    unled: Array
    shares: Array
    prices: Prices


@dataclass(frozen=True)
class Cover:
    """At most ``most`` of some runs pass a way, since any more of them overfill it.

    Args:
        way: index.
        group: all are of this group, or `ALL`.
        runs: the runs.
        most: how many.
    """

    way: int
    group: int
    runs: frozenset[int]
    most: int


@dataclass(frozen=True)
class Overlap:
    """A plan shares at most ``most`` passages of a run through a way with another plan.

    Args:
        passages: (run, way) of the other plan.
        most: how many of them may be taken again.
    """

    passages: frozenset[tuple[int, int]]
    most: int

    def of(self, route: Route) -> int:
        """How many of them a route takes."""
        return sum((route.run, way) in self.passages for way in route.ways)
