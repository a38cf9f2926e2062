"""Which holes that may be drilled are worth it: the best of them for every number, and copper without each."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations

from ribway.models.project import Project
from ribway.router.faults import RouterFaults
from ribway.router.placing.field import ClosedBounds
from ribway.router.placing.room_prices import room_prices
from ribway.router.placing.search import best_first
from ribway.router.placing.trying import Tried, Trying

Holes = frozenset[str]

MOST_SETS = 60
"""Sets of one number of holes that are looked at; of more only those that add a hole to the best set before."""
PLAY_KG = 1e-9


@dataclass(frozen=True)
class HoleWorth:
    """One hole that may be drilled.

    Args:
        name: of the opening.
        runs: that pass it in the plan; empty if the plan does without.
        without_kg: copper before rounding if it is not drilled; infinite if there is no complete plan then [kg].
    """

    name: str
    runs: tuple[str, ...]
    without_kg: float


@dataclass(frozen=True)
class BestHoles:
    """The best holes of a number, drilling them not counted.

    Args:
        names: of the holes, in the order of the file; none that no run passes.
        kg: copper before rounding with them; infinite if no plan with so few is complete [kg].
        proven: no other holes of this number do with less.
        open_kg: no other holes of this number do with less than this; infinite if all were planned [kg].
    """

    names: tuple[str, ...]
    kg: float
    proven: bool
    open_kg: float


@dataclass(frozen=True)
class HolesWorth:
    """All of them.

    Args:
        with_kg: copper before rounding with all that the plan drills [kg]; infinite if it is not complete.
        holes: one by one, in the order of the file.
        steps: the best ones for none, one, two and more; numbers that save nothing against fewer are left out.
        drill_costs_m: detour that the shop takes to save drilling one hole [m].
    """

    with_kg: float
    holes: tuple[HoleWorth, ...]
    steps: tuple[BestHoles, ...]
    drill_costs_m: float


def holes_worth(project: Project, trying: Trying, most: int = 12) -> HolesWorth:
    """Find the best holes to drill for every number of them; plan a project without each that it drills.

    Args:
        project: what the user said.
        trying: plans its variants.
        most: plans at most for each number.

    Raises:
        RouterFaults: the project does not fit its shell.
    """
    now = trying.plan(project)
    may = [one.id for one in now.plan.openings if one.state == "drill"]
    runs = {one.id: one.runs for one in now.plan.openings}

    def without(name: str) -> float:
        try:
            return trying.plan(_blocked(project, [name])).kg
        except RouterFaults:
            return math.inf

    holes = tuple(HoleWorth(name, runs[name], without(name) if runs[name] else now.kg) for name in may)
    steps = tuple(_steps(project, trying, may, most)) if may else ()
    return HolesWorth(now.kg, holes, steps, project.shop.drill_costs)


def most_trials(project: Project, most: int) -> int:
    """How many plans `holes_worth` makes at most, with as many for each number of holes."""
    may = sum(one.state == "drill" for one in project.vehicle.openings)
    sets = (math.comb(may, number) for number in range(may + 1))
    return 1 + may + 1 + sum(min(most, count if count <= MOST_SETS else may) for count in sets)


def _steps(project: Project, trying: Trying, may: Sequence[str], most: int) -> Iterator[BestHoles]:
    """The best holes for none, one, two and more, until more of them save nothing."""
    free = project.model_copy(update={"shop": project.shop.model_copy(update={"drill_costs": 0.0})})
    plans = _Plans(lambda names: trying.plan(_blocked(free, [one for one in may if one not in names])), may)
    all_of_them = frozenset(may)
    everything = plans.with_holes(all_of_them)
    # Prices of room from a plan that may use all holes bound the plans that may use some of them.
    prices = room_prices(*everything.found) if everything is not None and everything.found is not None else None
    bounds = ClosedBounds(trying.prepared(free), prices)
    goal, before = plans.kg(all_of_them), BestHoles((), math.inf, False, math.inf)
    for number in range(len(may) + 1):
        sets = [frozenset(one) for one in combinations(may, number)] if math.comb(len(may), number) <= MOST_SETS else []
        whole = bool(sets)
        sets = sets or [frozenset({*before.names, one}) for one in may if one not in before.names]
        found = best_first(
            [bounds.kg(all_of_them - one) for one in sets],
            partial(plans.tried, sets),
            most,
        )
        best = min((what for _, _, what in found.tried), key=plans.kg, default=frozenset())
        kg = plans.kg(best)
        if number == 0 or kg < before.kg - PLAY_KG:
            before = BestHoles(plans.used(best), kg, whole and found.proven, found.open_bound if whole else bounds.kg())
            yield before
        if kg <= max(goal, bounds.kg()) + PLAY_KG and math.isfinite(kg):
            return


class _Plans:
    """Plans by the holes that may be used; one that leaves holes alone counts for all sets with those it uses."""

    def __init__(self, plan: Callable[[Holes], Tried], may: Sequence[str]) -> None:
        self._plan, self._may = plan, may
        self._known: dict[Holes, Tried | None] = {}
        self._used: dict[Holes, float] = {}

    def with_holes(self, names: Holes) -> Tried | None:
        """The plan that may use holes; None if the project cannot be planned with them."""
        if names not in self._known:
            try:
                tried = self._plan(names)
            except RouterFaults:
                self._known[names] = None
                return None
            self._known[names] = tried
            passed = frozenset(one.id for one in tried.plan.openings if one.id in names and one.runs)
            self._used[passed] = min(tried.kg, self._used.get(passed, math.inf))
        return self._known[names]

    def kg(self, names: Holes) -> float:
        """Least copper of the plans made that use no other of the holes than these; one with just these is made."""
        self.with_holes(names)
        return min((kg for used, kg in self._used.items() if used <= names), default=math.inf)

    def tried(self, sets: Sequence[Holes], at: int) -> tuple[float, Holes]:
        """Copper with one of some sets, and which it is."""
        return self.kg(sets[at]), sets[at]

    def used(self, names: Holes) -> tuple[str, ...]:
        """The holes that the best of those plans uses."""
        inside = [used for used in self._used if used <= names]
        best = min(inside, key=lambda used: (self._used[used], len(used), sorted(used)), default=frozenset())
        return tuple(one for one in self._may if one in best)


def _blocked(project: Project, names: Collection[str]) -> Project:
    openings = tuple(
        one.model_copy(update={"state": "blocked"}) if one.name in names else one for one in project.vehicle.openings
    )
    return project.model_copy(update={"vehicle": project.vehicle.model_copy(update={"openings": openings})})
