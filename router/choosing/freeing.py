"""What would let every run through when some have no route: the cheapest changes, each checked by planning again with it."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from ribway.models.told import FREEING, Told, untold
from ribway.router.choosing.by_steps import by_steps
from ribway.router.choosing.changes import BESIDE_PRICE, ELSEWHERE_PRICE, Change, changed, merged, price_of, words_of
from ribway.router.choosing.instances import posed
from ribway.router.choosing.least_changes import LeastChanges
from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2
from ribway.router.faults import RouterFaults
from ribway.router.paths.search import Path
from ribway.router.planning import Planning, State
from ribway.router.proof.certificate import Certificate, at_least, certify
from ribway.router.rising import first_sizes, planned

TRIALS = 12
MOST = 3
STEPS = 6  # of going on where no set was found; in the later half what has no route is led elsewhere
MISSES = 2  # sets of the programme with all runs that may fail before what was found step by step has to do
ROUNDS = 12  # of prices, for the proof that not all runs find room
NAMED = 6  # ways that a certificate names, at most
SURE = 1e-6

__all__ = ["Change", "Freed", "Relief", "changed", "relief_of"]


@dataclass(frozen=True)
class Freed:
    """Changes after which every run was planned.

    Args:
        changes: all of them together.
        words: one for each.
        price: summed.
        kg: copper of the plan with them [kg].
    """

    changes: tuple[Change, ...]
    words: tuple[str, ...]
    price: float
    kg: float


@dataclass(frozen=True)
class Relief:
    """What was found of runs without a route.

    Args:
        freed: sets of changes, cheapest first.
        least: whether no set of such changes is cheaper than the first, in whatever cables.
        proof: why not all runs can be led, in words; empty if that was not shown.
        tried: sets that were planned with.
    """

    freed: tuple[Freed, ...]
    least: bool
    proof: str
    tried: int


def relief_of(planning: Planning, state: State, told: Told = untold) -> Relief:
    """What would free the runs of a state that have no route.

    An integer programme names the cheapest changes that might do; planning with them says whether they do, and which cables
    they take. Where its sets fail again and again, changes are found step by step. It stops on counts.

    Args:
        planning: what was planned.
        state: in which some run has no route.
        told: how far it is.
    """
    dead = frozenset(number for number, path in enumerate(state.paths) if path is None)
    trying = _Trying(planning, state, told, set(dead))
    trying.run()
    if not trying.found:
        trying.go_on()
    found = tuple(sorted(trying.found, key=lambda one: (one.price, one.kg)))
    least = bool(found) and none_cheaper(planning, found[0].price, trying.whom)
    instance = posed(planning, state).adapted.instance
    return Relief(found, least, _proof(planning, certify(instance, ROUNDS, enough=len(dead))), trying.tried)


def none_cheaper(planning: Planning, price: float, whom: Collection[int]) -> bool:
    """Whether it is shown that no set of changes that costs less lets all runs through.

    It is posed in cables thinner than which no plan has any (`first_sizes`).

    Args:
        planning: what was planned.
        price: of a set.
        whom: runs that are looked at first; then all are.
    """
    jobs = planning.jobs(first_sizes(planning))
    for some in (whom, range(len(jobs))):
        answer = LeastChanges(planning, jobs, some, straight=False, most=price).answer()
        if answer is not None and answer.least >= price - SURE:
            return True
    return False


@dataclass
class _Trying:
    """Trials that are made one after the other, and what they found; ``whom`` are the runs that were seen to need help."""

    planning: Planning
    state: State
    told: Told
    whom: set[int]
    tried: int = 0
    found: list[Freed] = field(default_factory=list)

    def run(self) -> None:
        """Sets of the integer programme, cheapest first, in the cables that trials turn out to need; or step by step.

        At first only the runs in need flow; where they find no room beside the others, all do. What is found step by
        step goes first where it costs no more: it knows how long the ways are.
        """
        planning, sizes, failed = self.planning, dict(self.state.index), list[tuple[Change, ...]]()
        every, misses = False, 0
        stepped = self._stepped(sizes)
        while len(self.found) < MOST and self.tried < TRIALS:
            dearest = self.found[0].price + BESIDE_PRICE if self.found else price_of(stepped)
            model = LeastChanges(planning, planning.jobs(sizes), self._flowing(every), not every, dearest)
            answer = model.answer([one.changes for one in self.found], failed) if misses < MISSES else None
            fresh = stepped and stepped not in failed and not self.found
            if fresh and (answer is None or price_of(stepped) <= answer.price):
                changes = stepped
            elif answer is not None:
                changes = answer.changes
            else:
                return
            trial = self._planned(changes, sizes)
            if trial.freed is not None:
                self.found.append(trial.freed)
                continue
            if self.found:
                return
            self.whom |= trial.dead
            bigger = {run: max(size, trial.sizes.get(run, 0)) for run, size in sizes.items()}
            if bigger != sizes:
                sizes = bigger
                stepped = self._stepped(sizes)
                continue
            failed.append(changes)
            if changes is not stepped:
                misses += every
                every = True

    def go_on(self) -> None:
        """Where no set was found: go on from what was found step by step with what is still without a route.

        What finds no room even then, or no cable that is thick enough for its way, is led outside of what is modelled.
        """
        planning, sizes = self.planning, dict(self.state.index)
        changes = self._stepped(sizes)
        for step in range(STEPS):
            trial = self._planned(changes, sizes)
            if trial.freed is not None:
                self.found.append(trial.freed)
                return
            sizes = {run: max(size, trial.sizes.get(run, 0)) for run, size in sizes.items()}
            away = {one.run for one in changes if one.what == "elsewhere"}
            lost = {run.id for run in planning.routed if run.circuit in trial.faulted} - away
            if step >= STEPS // 2:
                lost |= {planning.routed[number].id for number in trial.dead}
            if lost:
                changes += tuple(Change("elsewhere", run=run, price=ELSEWHERE_PRICE) for run in sorted(lost))
                continue
            other = changed(planning, changes)
            jobs = other.jobs(sizes)
            changes = merged(planning, changes, by_steps(other, jobs, other.negotiator.route(jobs).paths))

    def _flowing(self, every: bool) -> Collection[int]:
        return range(len(self.planning.routed)) if every else self.whom

    def _stepped(self, sizes: Mapping[str, int]) -> tuple[Change, ...]:
        """A set put together run by run, less what then turns out needless; the dearest is looked at first."""
        jobs = self.planning.jobs(sizes)
        paths = self.planning.negotiator.amend(jobs, self.state.paths, ()).paths
        changes = by_steps(self.planning, jobs, paths)
        for one in sorted(changes, key=lambda other: (-other.price, other.way, other.run)):
            fewer = tuple(other for other in changes if other != one)
            other = changed(self.planning, fewer)
            if len(changes) > 1 and None not in other.negotiator.route(other.jobs(sizes)).paths:
                changes = fewer
        return changes

    def _planned(self, changes: tuple[Change, ...], sizes: Mapping[str, int]) -> _Trial:
        self.told(FREEING, self.tried, TRIALS)
        self.tried += 1
        other = changed(self.planning, changes)
        paths = other.negotiator.route(other.jobs(sizes)).paths
        if None in paths:
            return _Trial(None, self._dead(other, paths), sizes)
        try:
            found = planned(other)
        except RouterFaults as faults:
            faulted = frozenset(name for fault in faults.faults for name in fault.place.split(" / ")[1:2])
            return _Trial(None, frozenset(), sizes, faulted)
        if not found.whole or not all(one.verdict is None or one.verdict.ok for one in found.sized.values()):
            return _Trial(None, self._dead(other, found.paths), found.index)
        metres = ((other.cables[run][found.index[run]].copper_mm2, cut.cut_m) for run, cut in found.cuts.items())
        kg = COPPER_KG_PER_M_MM2 * math.fsum(area * cut_m for area, cut_m in metres)
        words = tuple(words_of(self.planning, one) for one in changes)
        return _Trial(Freed(changes, words, price_of(changes), kg), frozenset(), found.index)

    def _dead(self, other: Planning, paths: Sequence[Path | None]) -> frozenset[int]:
        """Runs without a path, as they are counted here."""
        number = {run.id: at for at, run in enumerate(self.planning.routed)}
        return frozenset(number[run.id] for run, path in zip(other.routed, paths, strict=True) if path is None)


@dataclass(frozen=True)
class _Trial:
    """What planning with changes came to.

    Args:
        freed: if all runs were planned.
        dead: runs that found no route all the same.
        sizes: that they turned out to need.
        faulted: circuits for which no stocked size would do.
    """

    freed: Freed | None
    dead: frozenset[int]
    sizes: Mapping[str, int]
    faulted: frozenset[str] = frozenset()


def _proof(planning: Planning, why: Certificate) -> str:
    if not why.proved or not why.ways:
        return ""
    least, runs = at_least(why), ", ".join(planning.routed[run].id for run in why.runs)
    names = ", ".join(planning.space.ways[way].name for way in why.ways[:NAMED])
    return (
        f"whatever the routes, at least {least} of the runs {runs} find no room: for what they need, or must be kept apart "
        f"from, {names} are too few and too small together"
    )
