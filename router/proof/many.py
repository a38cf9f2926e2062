"""Many runs: prices by steps alone, plans by patient negotiation and small changes, on two cores where there are two.

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
from ribway.router.proof.instance import Array, Route
from ribway.router.proof.negotiating import Pace
from ribway.router.proof.placing import SLOW, Placer
from ribway.router.proof.prices import Prices
from ribway.router.proof.rearranging import Rearranger
from ribway.router.proof.starting import Beginning
from ribway.router.proof.table import Table

MANY_RUNS = 100
TRIES = 300  # of a few runs put back in another order
FIRST_STEPS, LAST_STEPS = 100, 45  # of prices, beside the first plan and beside the others
ARCS = 1_000_000  # of all runs together, above which one process is enough for the memory, and counts are smaller
FEW_STEPS, FEW_TRIES = (55, 40), 400
# What crowding costs rises slower than for fewer runs. Where runs settle depends on the pace by chance, so that several
# are tried; and how often each is gone on with.
EARLY, EARLY_TIMES = Pace(0.02, 1.05, 0.1, 0.1), 1
HERE, HERE_TIMES = Pace(0.02, 1.05, 0.1, 0.1), 4
THERE, THERE_TIMES = Pace(0.05, 1.05, 0.1, 0.2, 0.3), 2
SOON = (Pace(0.05, 1.03), SLOW, Pace(0.02, 1.03))  # where there are very many arcs


@dataclass(frozen=True)
class _Stepped:
    """Where steps have led: what they changed, and how far their pricer looks."""

    standing: dict[str, Any]
    budgets: Array


class ManyRuns(Beginning):
    """A beginning that goes on to better plans and bounds without any linear programme of the whole."""

    def _without_programme(self, ascent: Ascent) -> None:
        """Better plans by patient negotiation and small changes, better bounds by steps."""
        if self._pricer.arcs > ARCS:
            self._one_after_the_other(ascent)
            return
        found, target = ascent.found(), self._cost
        with Beside(lambda: self._steps_from(ascent, FIRST_STEPS, target)) as steps:
            if found is not None:
                self._settle_often(found.prices, EARLY, EARLY_TIMES)
            if not self._plan:
                self._first_plans(found, enough=True)
                self._note("plan")
            self._take_steps(ascent, steps.answer())
        found, target = ascent.found(), self._cost
        if found is None or self._done():
            return
        with Beside(lambda: self._steps_and_plan(ascent, target)) as other:
            self._settle_often(found.prices, HERE, HERE_TIMES)
            if self._plan:
                self._change(seed=1)
            stepped, routes = other.answer()
            self._take_steps(ascent, stepped)
            self._take(routes, "plan")

    def _one_after_the_other(self, ascent: Ascent) -> None:
        """The same of very many arcs, shorter and all in this process."""
        found = ascent.found()
        self._first_plans(found, enough=True)
        self._note("plan")
        if found is not None:
            self._settle_anew(found.prices, SOON[:1])
        self._step(ascent, FEW_STEPS[0])
        found = ascent.found()
        if found is None or not self._plan or self._done():
            return
        self._settle_anew(found.prices, SOON[1:])
        self._change(seed=1, tries=FEW_TRIES)
        self._step(ascent, FEW_STEPS[1])

    def _step(self, ascent: Ascent, count: int) -> None:
        ascent.run(count, self._cost, self._limits.tolerance, self._is_capped)
        self._stepped(ascent)

    def _steps_from(self, ascent: Ascent, count: int, target: float) -> _Stepped:
        ascent.run(count, target, self._limits.tolerance, self._is_capped)
        return _Stepped(ascent.standing(), self._pricer.budgets)

    def _steps_and_plan(self, ascent: Ascent, target: float) -> tuple[_Stepped, Sequence[Route]]:
        """The last steps, and a plan from the prices that they end at; changes nothing but the ascent and its pricer."""
        stepped = self._steps_from(ascent, LAST_STEPS, target)
        found = ascent.found()
        return stepped, () if found is None or self._is_capped() else self._other_plan(found.prices)

    def _take_steps(self, ascent: Ascent, stepped: _Stepped) -> None:
        ascent.go_on_from(stepped.standing)
        self._pricer.set_budgets(stepped.budgets)
        self._stepped(ascent)

    def _stepped(self, ascent: Ascent) -> None:
        found = ascent.found()
        self._bound = max(self._bound, found.bound if found is not None else -math.inf)
        self._note("steps")

    def _settle_anew(self, prices: Prices, paces: Sequence[Pace]) -> None:
        """Plans from prices, at several paces."""
        for pace in paces:
            if not self._is_capped():
                self._settle(prices, pace)
                self._note("plan")

    def _settle_often(self, prices: Prices, pace: Pace, times: int) -> None:
        """The best plan of a negotiation that settles several times."""
        table = self._placer.settled_often(self._limits.sweeps, prices, pace, times, self._is_capped)
        self._take(() if table is None else _routes(table), "plan")

    def _change(self, seed: int, tries: int = TRIES) -> None:
        """A few runs put back in another order, again and again."""
        table = self._table()
        Rearranger(self._instance, self._placer, seed).improve(table, tries, self._is_capped)
        self._take(_routes(table), "changes")

    def _other_plan(self, prices: Prices) -> Sequence[Route]:
        """A plan at another pace, with small changes; none if it led to no plan. Touches nothing of this search."""
        placer = Placer(self._instance, self._groups, self._shunned, self._placer.finder.store)
        table = placer.settled_often(self._limits.sweeps, prices, THERE, THERE_TIMES, self._is_capped)
        if table is None:
            return ()
        Rearranger(self._instance, placer, seed=2).improve(table, TRIES, self._is_capped)
        return _routes(table)

    def _take(self, routes: Sequence[Route], what: str) -> None:
        if routes:
            self._offer(routes)
        self._note(what)


def _routes(table: Table) -> list[Route]:
    return [route for route in table.routes if route is not None]
