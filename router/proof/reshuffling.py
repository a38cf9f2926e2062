"""A better plan from a plan: some runs at a time are taken out, and the best for all of them is chosen among known routes."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from ribway.router.proof.instance import Array, Instance, Ints, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.placing import Placer
from ribway.router.proof.prices import Prices
from ribway.router.proof.restricted import best_of
from ribway.router.proof.table import Table

TOGETHER = 24  # runs taken out at a time
KNOWN, OFFERED = 60, 14  # routes of a run that are kept; that are offered at a time
NODES = 30
WANTED = 12  # cheaper routes of a run that are looked at for who is in their way


class Reshuffler:
    """Holds known routes, the most promising of each run first."""

    def __init__(self, instance: Instance, groups: Groups, placer: Placer, prices: Prices, routes: Iterable[Route]):
        """Args: what is solved; groups; who places; prices that tell which routes are promising; known routes."""
        self._instance, self._groups, self._placer = instance, groups, placer
        area = prices.per_mm2[:-1] + prices.per_mm2[-1]
        best: dict[object, tuple[float, Route]] = {}
        for route in (one for one in routes if one.ways):
            ways = list(route.ways)
            size = instance.runs[route.run].sizes[route.size]
            priced = route.cost + float(prices.toll[route.run, ways].sum())
            priced += size.area_mm2 * float(area[groups.of[route.run], ways].sum())
            if route.key not in best or priced < best[route.key][0]:
                best[route.key] = (priced, route)
        known: list[list[tuple[float, tuple[int, ...], Route]]] = [[] for _ in instance.runs]
        for priced, route in best.values():
            known[route.run].append((priced, route.arcs, route))
        self._known = [[route for _, _, route in sorted(some, key=lambda one: one[:2])[:KNOWN]] for some in known]
        self._thin = np.array([min(size.area_mm2 for size in run.sizes) for run in instance.runs])
        self._flat = [self._flattened(some) for some in self._known]

    def _flattened(self, routes: list[Route]) -> tuple[Ints, Ints, Array]:
        """Ways of all routes in one row, where each route's begin, and the area it takes in each."""
        count = np.array([len(route.ways) for route in routes], dtype=np.int64)
        ways = np.array([way for route in routes for way in route.ways], dtype=np.int64)
        area = np.array([self._instance.runs[route.run].sizes[route.size].area_mm2 for route in routes])
        return ways, np.cumsum(count) - count, np.repeat(area, count)

    def improve(self, table: Table, trials: int, expired: Callable[[], bool] = bool) -> int:
        """Take runs out and choose anew, beginning with the run that is farthest from its cheapest route.

        Args:
            table: a full plan; changed in place.
            trials: how often at most.
            expired: whether a user's cap on time is met.

        Returns:
            Trials made; fewer than asked for if there is nothing left to try.
        """
        tried: dict[int, int] = {}  # run: the change after which it was tried last
        changes = 0
        for trial in range(trials):
            loss = np.array([route.cost for route in table.routes if route is not None]) - self._placer.finder.least
            open_ = [k for k in range(len(loss)) if tried.get(k, -1) < changes and loss[k] > 1e-9]
            if not open_ or expired():
                return trial
            run = max(open_, key=lambda k: (-tried.get(k, -1), loss[k], -k))
            tried[run] = changes
            if self._once(table, self._around(table, run)):
                changes += 1
        return trials

    def _around(self, table: Table, run: int) -> list[int]:
        """A run, and those that lie where it would rather be, the most often met first."""
        here = table.routes[run]
        passes = np.zeros((len(table.routes), len(table.load)))
        for other, route in enumerate(table.routes):
            if route is not None and other != run:
                passes[other, list(route.ways)] = 1.0
        table.put(run, None)
        closed = table.closed_to(run, float(self._thin[run]))
        table.put(run, here)
        wanted = np.zeros(len(table.load))
        cheaper = [one for one in self._known[run] if here is None or one.cost < here.cost][:WANTED]
        for route in cheaper:
            wanted[list(route.ways)] = 1.0
        met = passes @ (wanted * closed)
        score = 4.0 * met + 0.1 * (passes @ (passes.T @ (met > 0.0)))
        order = np.lexsort((np.arange(len(score)), -score))
        return [run, *(int(k) for k in order[: TOGETHER - 1] if score[k] > 0.0)]

    def _once(self, table: Table, runs: list[int]) -> bool:
        before = {run: table.routes[run] for run in runs}
        cost = table.cost
        for run in runs:
            table.put(run, None)
        offered: list[Route] = []
        for run in runs:
            some = self._fitting(table, run)
            hard = self._placer.hard(table, run)
            own = before[run]
            some += [one for one in (hard, own) if one is not None and one not in some]
            offered += some
        below = cost - table.cost - 1e-9
        chosen = best_of(self._instance, self._groups, offered, (), below, NODES, 1e-5, held=table)
        for route in chosen or before.values():
            if route is not None:
                table.put(route.run, route)
        if chosen is not None and (table.crowded().any() or table.cost >= cost - 1e-10):
            for run, route in before.items():
                table.put(run, route)
            return False
        return chosen is not None

    def _fitting(self, table: Table, run: int) -> list[Route]:
        """Known routes of a run that fit beside the others."""
        if not self._known[run]:
            return []
        ways, first, area = self._flat[run]
        closed = (table.load[ways] + area > table.limit[ways]) | (table.strangers(run)[ways] > 0)
        shut = np.add.reduceat(closed, first) > 0 if len(ways) else np.zeros(len(first), dtype=bool)
        return [self._known[run][i] for i in np.flatnonzero(~shut)[:OFFERED]]
