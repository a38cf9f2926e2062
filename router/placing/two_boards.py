"""Where to put two further fuse boards fed by one, and which circuits to feed from each.

For every pair of places every division of the circuits among the three boards is bounded: what one board would feed at one place
from what is left when the other has taken its own, which is exact over all divisions (see `ribway.router.placing.division`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.models.project import Project
from ribway.router.faults import RouterFaults
from ribway.router.placing.dividing import Asked, asked, divided
from ribway.router.placing.division import Division, least_of
from ribway.router.placing.moving import moved_to
from ribway.router.placing.search import best_first
from ribway.router.placing.trying import Tried, Trying, checked

Array = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Pair:
    """Two boards that were planned.

    Args:
        places: index of the place of each.
        feeds: ids of the circuits that each feeds.
        bound_kg: copper before rounding that no plan with boards there does with less [kg].
        kg: copper before rounding; infinite if the plan is not complete [kg].
        worst_drop_percent: of the plan; None if there is none.
    """

    places: tuple[int, int]
    feeds: tuple[tuple[str, ...], tuple[str, ...]]
    bound_kg: float
    kg: float
    worst_drop_percent: float | None


@dataclass(frozen=True, eq=False)
class TwoBoards:
    """What was found.

    Args:
        ask: places and circuits.
        pairs: those that were planned, least copper first.
        count: pairs of places that were bounded.
        without_kg: copper of the van as it stands before rounding; infinite if it has no complete plan [kg].
        least_kg: no plan with two boards at these places does with less [kg].
    """

    ask: Asked
    pairs: tuple[Pair, ...]
    count: int
    without_kg: float
    least_kg: float


def two_boards_for(
    project: Project, trying: Trying, board: str, walls: Sequence[str] = (), step_m: float = 0.2, most: int = 8
) -> TwoBoards:
    """Bound every pair of places of two further boards and plan the best.

    Args:
        project: what the user said.
        trying: plans its variants.
        board: id of the board that feeds them.
        walls: skins to look at; that of the board if none are named.
        step_m: between places along the tape [m].
        most: pairs to plan at most.

    Raises:
        RouterFaults: no such board, or fewer than three circuits to divide.
    """
    ask = asked(project, trying, board, walls, step_m, boards=2)
    both = _Pairs(ask)
    bounds = least_of(ask, both.kg, len(both.first))
    plans: dict[int, Tried] = {}

    def evaluate(at: int) -> tuple[float, Pair]:
        places, feeds = both.places(at), both.feeds(at)
        try:
            plans[at] = trying.plan(_variant(project, ask, places, feeds))
        except RouterFaults:
            return math.inf, Pair(places, feeds, float(bounds[at]), math.inf, None)
        kg, drop = plans[at].kg, plans[at].plan.totals.worst_drop_percent
        return kg, Pair(places, feeds, float(bounds[at]), kg, drop)

    found = best_first(bounds.tolist(), evaluate, most)
    at, kg, _ = min(found.tried, key=lambda one: (one[1], one[0]), default=(0, math.inf, None))
    if math.isfinite(kg):
        checked(plans[at])
    pairs = sorted((what for _, _, what in found.tried), key=lambda one: (one.kg, one.places))
    least = float(bounds.min()) if len(bounds) else math.inf
    return TwoBoards(ask, tuple(pairs), len(bounds), trying.plan(project).kg, least)


def _variant(project: Project, ask: Asked, places: Sequence[int], feeds: Sequence[Sequence[str]]) -> Project:
    for new, place, names in zip(ask.new, places, feeds, strict=True):
        project = moved_to(divided(project, ask.main, new, names), new[0], ask.spots.found[place].place)
    return project


class _Pairs:
    """Copper of the divided circuits from three boards, for every pair of places, by volts lost before the first board.

    Attributes:
        first: ``(m,)`` place of one board, the lower index.
        second: ``(m,)`` place of the other.
    """

    def __init__(self, ask: Asked) -> None:
        self._division = Division(ask)
        self.first, self.second = (one.astype(np.int64) for one in np.triu_indices(len(ask.spots.found), 1))
        self._best = np.full(len(self.first), np.inf)
        self._sets: Indices = np.zeros((2, len(self.first)), dtype=np.int64)

    def places(self, at: int) -> tuple[int, int]:
        """Both places of a pair."""
        return int(self.first[at]), int(self.second[at])

    def feeds(self, at: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """What each board of a pair feeds where copper was least."""
        one, other = self._sets[:, at].tolist()
        return self._division.named(one), self._division.named(other)

    def kg(self, lost: Array, lost_start: Array) -> Array:
        """``(m,)`` least copper of all divisions that feed something from each further board."""
        stays, goes = self._division.sets_kg(lost, lost_start)
        left, taken = _of_what_is_left(stays, goes)
        best = np.full(len(self.first), np.inf)
        sets: Indices = np.zeros((2, len(self.first)), dtype=np.int64)
        whole = len(goes) - 1
        for mask in range(1, whole):
            total = goes[mask][self.first] + left[whole - mask][self.second]
            better = total < best
            best = np.where(better, total, best)
            sets = np.where(better, np.array([np.full(len(best), mask), taken[whole - mask][self.second]]), sets)
        fresh = best < self._best
        self._best, self._sets = np.where(fresh, best, self._best), np.where(fresh, sets, self._sets)
        return best


def _of_what_is_left(stays: Array, goes: Array) -> tuple[Array, Indices]:
    """``(sets, n)`` least copper of a set of circuits between the first board and one at each place that feeds some of them.

    Args:
        stays: ``(sets, n)`` copper of sets from the first board [kg].
        goes: ``(sets, n)`` and from one at each place, with its feeder [kg].

    Returns:
        Copper, infinite for the empty set, and the part that the board at the place feeds.
    """
    least = np.full(goes.shape, np.inf)
    taken: Indices = np.zeros(goes.shape, dtype=np.int64)
    for whole in range(1, len(goes)):
        part = whole
        while part:  # every part of a set but the empty one, by counting down within its bits
            total = goes[part] + stays[whole - part]
            better = total < least[whole]
            least[whole] = np.where(better, total, least[whole])
            taken[whole] = np.where(better, part, taken[whole])
            part = (part - 1) & whole
    return least, taken
