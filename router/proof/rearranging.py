"""A better plan from a plan: a few runs that stand in each other's way are taken out and put back in another order.

Large neighbourhood search (Shaw 1998, Using constraint programming and local search methods to solve vehicle routing problems;
Schrimpf and others 2000, Record breaking optimization results using the ruin and recreate principle): what is put back takes
the cheapest route that fits beside all others, and stays only if the plan gets cheaper.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from ribway.router.proof.instance import Array, Instance, Route
from ribway.router.proof.placing import Placer
from ribway.router.proof.table import Table

FEWEST, MOST = 2, 10  # runs taken out at once
ANYONE = 0.3  # share of tries that begin with any run, not with one that loses much
CLOSED = 2.0  # weight of being in the way, against lying where the first would rather be
GAIN = 1e-9


class Rearranger:
    """Tries one small change after the other; the same seed makes the same changes."""

    def __init__(self, instance: Instance, placer: Placer, seed: int = 1) -> None:
        """Args: what is solved; what puts runs in; seed of the order of tries."""
        self._placer, self._rng = placer, np.random.default_rng(seed)
        self._thin = np.array([min(size.area_mm2 for size in run.sizes) for run in instance.runs])
        self._least = placer.finder.least
        self._passes = np.zeros((len(instance.runs), instance.network.ways))
        self._free = np.zeros(instance.network.ways)
        self._wish: dict[int, Route | None] = {}

    def improve(self, table: Table, tries: int, expired: Callable[[], bool] = bool) -> None:
        """Change a full plan in place where that makes it cheaper.

        Args:
            table: the plan.
            tries: how often some runs are taken out.
            expired: whether a user's cap on time is met.
        """
        routes = [route for route in table.routes if route is not None]
        for route in routes:
            self._note(route)
        if len(routes) < FEWEST:
            return
        for _ in range(tries):
            if expired():
                return
            first = self._first(table)
            self._again(table, self._out(table, first))

    def _note(self, route: Route) -> None:
        self._passes[route.run] = 0.0
        self._passes[route.run, list(route.ways)] = 1.0

    def _first(self, table: Table) -> int:
        loss = np.array([0.0 if route is None else route.cost for route in table.routes]) - self._least
        loss = np.maximum(loss, 0.0)
        if self._rng.random() < ANYONE or not loss.sum() > 0.0:
            return int(self._rng.integers(len(loss)))
        return int(self._rng.choice(len(loss), p=loss / loss.sum()))

    def _out(self, table: Table, first: int) -> list[int]:
        """A run, and some of those that lie where it would rather be, or where it is."""
        if first not in self._wish:
            self._wish[first] = self._placer.finder.route(first, self._free, self._free)
        wish, weight = self._wish[first], np.zeros(len(self._free))
        if wish is not None:
            weight[list(wish.ways)] = 1.0
        if self._rng.random() < 0.5:
            weight = np.maximum(weight, self._passes[first])
        weight *= 1.0 + CLOSED * table.closed_to(first, float(self._thin[first]))
        score = (self._passes @ weight) * self._rng.random(len(self._passes))
        score[first] = np.inf
        count = int(self._rng.integers(FEWEST, MOST + 1))
        order = np.lexsort((np.arange(len(score)), -score))[:count]
        return [int(run) for run in order if score[run] > 0.0]

    def _again(self, table: Table, out: Sequence[int]) -> None:
        old = [table.routes[run] for run in out]
        before = table.cost
        for run in out:
            table.put(run, None)
        if self._put_back(table, self._order(out, old), before):
            for run in out:
                route = table.routes[run]
                if route is not None:
                    self._note(route)
            return
        for run, route in zip(out, old, strict=True):
            table.put(run, route)

    def _order(self, out: Sequence[int], old: Sequence[Route | None]) -> list[int]:
        kind = int(self._rng.integers(4))
        chance: Array = self._rng.random(len(out))
        if kind == 0:  # any
            weight = chance
        elif kind == 1:  # the widest first
            weight = -self._thin[list(out)]
        elif kind == 2:  # the one that loses most, and those most in its way
            return list(out)
        else:  # who loses much comes early
            cost = np.array([0.0 if route is None else route.cost for route in old])
            weight = -(cost - self._least[list(out)]) * chance
        return [out[i] for i in np.argsort(weight, kind="stable")]

    def _put_back(self, table: Table, order: Sequence[int], most: float) -> bool:
        """Whether all find room for less than the plan cost before."""
        ahead = float(self._least[list(order)].sum())
        spent = table.cost
        for run in order:
            ahead -= float(self._least[run])
            room = most - GAIN - spent - ahead
            route = self._placer.hard(table, run, room) if room > self._least[run] else None
            if route is None:
                return False
            spent += route.cost + float(table.unopened[list(route.ways)].sum())
            table.put(run, route)
        return not table.crowded().any() and table.cost < most - GAIN
