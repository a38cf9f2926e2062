"""Many runs: prices by steps alone, plans by small changes and region by region, on two cores where there are two.

Steps of prices, which are the bound, and searches for plans need nothing of each other but now and then what the other has
reached. So one goes on beside the other; both stop at counts, and the answer is the same on one core.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ribway.router.proof.ascent import Ascent
from ribway.router.proof.beside import Beside
from ribway.router.proof.instance import Array, Instance, Route
from ribway.router.proof.placing import SLOW, Placer
from ribway.router.proof.prices import Prices
from ribway.router.proof.rearranging import Rearranger
from ribway.router.proof.regions import Regions
from ribway.router.proof.starting import Beginning
from ribway.router.proof.table import Table

MANY_RUNS = 100
TOGETHER = 40  # runs in a region
REGIONS_A_RUN = 0.12  # regions that are searched, for each run
TRIES = 1200  # of a few runs put back in another order
FIRST_STEPS, LAST_STEPS = 100, 140  # of prices, beside the first plans and beside the last
ARCS = 1_000_000  # of all runs together, above which one process is enough for the memory, and counts are smaller
FEW_STEPS, FEW_TRIES = (55, 40), 400
# First price of crowding and its growth: where runs settle depends on it by chance, so that several are worth trying.
EARLY = ((0.05, 1.03),)
HERE, THERE = (SLOW, (0.02, 1.03)), ((0.01, 1.03), (0.2, 1.03))


@dataclass(frozen=True)
class _Stepped:
    """Where steps have led: what they changed, and how far their pricer looks."""

    standing: dict[str, Any]
    budgets: Array


class ManyRuns(Beginning):
    """A beginning that goes on to better plans and bounds without any linear programme of the whole."""

    def _without_programme(self, ascent: Ascent) -> None:
        """Better plans by small changes and by regions searched anew, better bounds by steps."""
        if self._pricer.arcs > ARCS:
            self._one_after_the_other(ascent)
            return
        found = ascent.found()
        with self._beside_steps(ascent, FIRST_STEPS) as steps:
            self._first_plans(found, enough=True)
            self._note("plan")
            if found is not None:
                self._settle_anew(found.prices, EARLY)
            self._take_steps(ascent, steps.answer())
        found = ascent.found()
        if found is None or self._done():
            return
        prices = found.prices
        with Beside(lambda: self._other_plan(prices)) as other:
            self._settle_anew(prices, HERE)
            if self._plan:
                self._change(seed=1)
            self._take(other.answer(), "changes")
        if not self._plan or self._done():
            return
        with self._beside_steps(ascent, LAST_STEPS) as steps:
            self._change(seed=3)
            known = [*self._placer.met.values(), *(route for route, _ in found.routes)]
            regions = Regions(self._instance, self._groups, self._placer.finder.least, known, self._part_plan)
            table = self._table()
            runs = len(self._instance.runs)
            regions.improve(table, math.ceil(REGIONS_A_RUN * runs), TOGETHER, self._is_capped)
            self._take(_routes(table), "regions")
            self._take_steps(ascent, steps.answer())

    def _one_after_the_other(self, ascent: Ascent) -> None:
        """The same of very many arcs, shorter and all in this process."""
        found = ascent.found()
        self._first_plans(found, enough=True)
        self._note("plan")
        if found is not None:
            self._settle_anew(found.prices, EARLY)
        self._step(ascent, FEW_STEPS[0])
        found = ascent.found()
        if found is None or not self._plan or self._done():
            return
        self._settle_anew(found.prices, HERE)
        self._change(seed=1, tries=FEW_TRIES)
        self._step(ascent, FEW_STEPS[1])

    def _step(self, ascent: Ascent, count: int) -> None:
        ascent.run(count, self._cost, self._limits.tolerance, self._is_capped)
        self._stepped(ascent)

    def _beside_steps(self, ascent: Ascent, count: int) -> Beside[_Stepped]:
        target = self._cost

        def go_on() -> _Stepped:
            ascent.run(count, target, self._limits.tolerance, self._is_capped)
            return _Stepped(ascent.standing(), self._pricer.budgets)

        return Beside(go_on)

    def _take_steps(self, ascent: Ascent, stepped: _Stepped) -> None:
        ascent.go_on_from(stepped.standing)
        self._pricer.set_budgets(stepped.budgets)
        self._stepped(ascent)

    def _stepped(self, ascent: Ascent) -> None:
        found = ascent.found()
        self._bound = max(self._bound, found.bound if found is not None else -math.inf)
        self._note("steps")

    def _settle_anew(self, prices: Prices, starts: Sequence[tuple[float, float]]) -> None:
        """Plans from prices, with several prices of crowding."""
        for price, growth in starts:
            if not self._is_capped():
                self._settle(prices, price, growth)
        self._note("plan")

    def _change(self, seed: int, tries: int = TRIES) -> None:
        """A few runs put back in another order, again and again."""
        table = self._table()
        Rearranger(self._instance, self._placer, seed).improve(table, tries, self._is_capped)
        self._take(_routes(table), "changes")

    def _other_plan(self, prices: Prices) -> Sequence[Route]:
        """The best of other starts, with small changes; none if no start led to a plan. Touches nothing of this search."""
        placer = Placer(self._instance, self._groups, self._shunned, self._placer.finder.store)
        best: Table | None = None
        for price, growth in THERE:
            if self._is_capped():
                break
            table = placer.settled(self._limits.sweeps, prices, price, growth)
            if table is not None and (best is None or table.cost < best.cost):
                best = table
        if best is None:
            return ()
        Rearranger(self._instance, placer, seed=2).improve(best, TRIES, self._is_capped)
        return _routes(best)

    def _take(self, routes: Sequence[Route], what: str) -> None:
        if routes:
            self._offer(routes)
        self._note(what)

    def _part_plan(self, part: Instance, begin: Sequence[Route]) -> Sequence[Route]:
        """A plan of a region, from one to begin with."""
        raise NotImplementedError


def _routes(table: Table) -> list[Route]:
    return [route for route in table.routes if route is not None]
