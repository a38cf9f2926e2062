"""What every search begins with: prices by steps and first plans; and what it keeps, the best plan and the best bound."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

import numpy as np

from ribway.models.told import Told, untold
from ribway.router.proof.ascent import Ascended, Ascent, promising
from ribway.router.proof.generation import Generator
from ribway.router.proof.instance import Instance, Route
from ribway.router.proof.kinds import groups_of
from ribway.router.proof.master import Master
from ribway.router.proof.negotiating import Pace
from ribway.router.proof.placing import FAST, SLOW, Placer
from ribway.router.proof.plans import cost_of, faults_of
from ribway.router.proof.prices import Prices, nothing_shut
from ribway.router.proof.pricing import Pricer
from ribway.router.proof.result import Limits
from ribway.router.proof.rules import Overlap
from ribway.router.proof.table import Table

UNLED = 3.0  # cost of leaving a run out, in sums of all runs' least costs
POOL = 6  # routes a run, on average, that the linear programme begins with
CLOSE = 5e-3  # a first plan this near the bound is near enough


class Beginning:
    """The best plan, the best bound, and the ways to get first ones."""

    def __init__(
        self,
        instance: Instance,
        limits: Limits,
        clock: Callable[[], float],
        overlaps: Sequence[Overlap] = (),
        told: Told = untold,
    ) -> None:
        """Args: what is solved; where to stop; clock; plans to differ from; who waits."""
        self._told = told
        self._overlaps = tuple(overlaps)
        self._instance, self._limits, self._clock = instance, limits, clock
        self._ends = math.inf if limits.seconds is None else clock() + limits.seconds
        self._groups = groups_of(instance)
        self._plan: list[Route] = []
        self._cost, self._bound = math.inf, -math.inf
        self._thinned_at = math.inf  # bounds hold up to here, since dearer plans' arcs were dropped
        self._nodes = 0
        self._story: list[tuple[str, int, float, float]] = []

    def _prepare(self) -> bool:
        """Make what places, prices and chooses; whether every run has a route alone."""
        shunned = sorted({one for rule in self._overlaps for one in rule.passages})
        self._shunned = shunned
        self._placer = Placer(self._instance, self._groups, shunned)
        least = self._placer.finder.least
        if not np.isfinite(least).all():
            return False
        self._pricer = Pricer(self._instance, self._groups, twin=self._placer.finder.store)
        self._master = Master(self._instance, self._groups, UNLED * float(least.sum()))
        self._generator = Generator(self._instance, self._groups, self._master, self._pricer, self._is_capped)
        return True

    def _first_steps(self) -> Ascent:
        """Prices by steps."""
        shut = nothing_shut(self._groups.count, self._instance.network.ways)
        ascent = Ascent(self._instance, self._groups, self._pricer, shut)
        ascent.run(self._limits.steps, math.inf, self._limits.tolerance, self._is_capped)
        found = ascent.found()
        if found is not None:
            self._bound = max(self._bound, found.bound)
            self._note("steps")
        return ascent

    def _first_plans(self, found: Ascended | None, enough: bool) -> None:
        """Plans by negotiation that begins with prices and without them; any plan will do if that is ``enough``."""
        trials: list[tuple[Prices | None, Pace]] = [(None, SLOW), (None, FAST)]
        if found is not None:
            trials.insert(0, (found.prices, SLOW))
        for guide, pace in trials:
            near = self._done() or self._cost - self._bound < CLOSE * self._cost
            if self._plan and (near or enough):
                break
            self._settle(guide, pace)
        if found is not None:
            self._master.add_routes(promising(self._instance, self._groups, found, POOL))

    def _settle(self, guide: Prices | None, pace: Pace) -> None:
        table = self._placer.settled(self._limits.sweeps, guide, pace)
        if table is not None:
            self._offer([route for route in table.routes if route is not None])

    def _table(self) -> Table:
        table = Table(self._instance, self._groups)
        for route in self._plan:
            table.put(route.run, route)
        return table

    @property
    def _cutoff(self) -> float:
        """A part whose plans cost at least this needs no further look."""
        return self._cost * (1.0 - self._limits.tolerance) if self._plan else math.inf

    def _done(self) -> bool:
        return self._bound >= self._cutoff or self._capped

    @property
    def _capped(self) -> bool:
        return self._is_capped()

    def _is_capped(self) -> bool:
        return self._ends < math.inf and self._clock() >= self._ends

    def _offer(self, routes: Sequence[Route]) -> bool:
        """Take a plan if it is better and keeps every rule."""
        cost = cost_of(self._instance, routes)
        if any(sum(map(rule.of, routes)) > rule.most for rule in self._overlaps):
            return False
        if cost >= self._cost or faults_of(self._instance, routes):
            return False
        self._plan, self._cost = sorted(routes, key=lambda route: route.run), cost
        self._master_takes(routes)
        return True

    def _master_takes(self, routes: Iterable[Route]) -> None:
        self._master.add_routes(routes)

    def _note(self, stage: str) -> None:
        rounds = self._generator.rounds
        self._story.append((stage, rounds, self._cost, self._bound))
        self._told(stage, self._nodes, self._limits.nodes)
