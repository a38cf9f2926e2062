"""The cheapest priced route of every run, exactly, in one search over a graph that holds a small part for each run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.proof.blocks import Keep, Store, build_blocks
from ribway.router.proof.instance import Array, Flags, Instance, Ints, Route, route_of
from ribway.router.proof.kinds import Groups
from ribway.router.proof.limited import EPS_M
from ribway.router.proof.prices import Prices, Shut

BUDGETS = (1.35, 1.06, 1.02)  # of a run's own least cost: the first that gives no more than MANY arcs
GROWTH = (1.4, 1.02, 1.01)  # of the budget before, where prices ask for more
MANY = 300_000
SLACK = 1e-9  # relative; distances that bound a budget are sums of floats


@dataclass(frozen=True, eq=False)
class Priced:
    """Cheapest routes at some prices.

    Args:
        values: ``(k,)`` cost of the cheapest priced path of each run; infinite if there is none.
        offers: for each run the cheapest route of each of its sizes, with the priced cost; none that passes a way twice.
    """

    values: Array
    offers: tuple[tuple[tuple[float, Route], ...], ...]


class Pricer:
    """Finds routes at prices; its graph is widened where prices drive routes far, and thinned where proof allows."""

    def __init__(
        self, instance: Instance, groups: Groups, full: bool = False, free: bool = False, twin: Store | None = None
    ) -> None:
        """Args: instance; groups; ``full``: all arcs from the start; ``free``: routes cost only prices; a store to share."""
        self._instance, self._groups, self._free = instance, groups, free
        self._store = Store(instance, twin)
        first = BUDGETS[0] if full or free else self._store.widest(BUDGETS, MANY)
        self._growth = GROWTH[BUDGETS.index(first)]
        self._budgets = np.full(len(instance.runs), np.inf) if full or free else first * self._store.least
        self._keep: Keep = {}
        self._routes: dict[tuple[int, int, tuple[int, ...]], Route] = {}
        self._build()
        self.searches = 0

    @property
    def least(self) -> Array:
        """``(k,)`` cost of each run alone, by distances; a lower bound where bores or lengths forbid the shortest."""
        return self._blocks.least

    @property
    def budgets(self) -> Array:
        """``(k,)`` cost up to which arcs of each run are looked at."""
        return self._budgets.copy()

    def set_budgets(self, budgets: Array) -> None:
        """Look as far as a copy of this that was widened elsewhere."""
        changed = np.flatnonzero(budgets != self._budgets)
        if len(changed):
            self._budgets = budgets.copy()
            self._store.forget(changed.tolist())
            self._build()

    def price(
        self, prices: Prices, shut: Shut, wanted: Array | None = None, widen: bool = True, every: bool = True
    ) -> Priced:
        """Cheapest route of every run at these prices.

        Args:
            prices: of the rules.
            shut: what is not to be used.
            wanted: ``(k,)``; routes are given only of runs cheaper than this.
            widen: look beyond the budgets where that may give cheaper routes; else values are lowered to what a route
                beyond them costs at least, so that they are bounds and no more.
            every: give a route of each size; else only the cheapest of all.
        """
        below = np.full(len(self._instance.runs), np.inf) if wanted is None else wanted
        while True:
            cost = self._costs(prices, shut)
            reach, before = self._search(cost)
            values, offers = self._read(cost, reach, before, below, every)
            short = np.flatnonzero(values > self._blocks.beyond * (1.0 - SLACK))
            if not len(short) or not widen:
                return Priced(np.minimum(values, self._blocks.beyond), offers)
            self._widen(short, np.minimum(values[short], 1e6 * self._blocks.least[short] + 1e6))

    def thin(self, prices: Prices, shut: Shut, priced: Priced, room: float) -> None:
        """Drop every arc that no plan better than ``bound + room`` can use, where ``bound`` is that of these prices.

        After this, values are exact only for such plans: what is cut off must be counted as costing at least that.
        """
        wanted = priced.values + room
        short = np.flatnonzero(wanted > self._blocks.beyond * (1.0 - SLACK))
        while len(short):
            self._widen(short, wanted[short])
            short = np.flatnonzero(wanted > self._blocks.beyond * (1.0 - SLACK))
        cost, blocks = self._costs(prices, shut), self._blocks
        forth = self._distances(cost, blocks.source, blocks.target, blocks.sources)
        back = self._distances(cost, blocks.target, blocks.source, blocks.sinks)
        over = forth[blocks.source] + cost + back[blocks.target] + blocks.fixed[blocks.block]
        stays = over <= wanted[blocks.run[blocks.block]] * (1.0 + SLACK)
        for number, (run, size) in enumerate(zip(blocks.run, blocks.size, strict=True)):
            piece = slice(blocks.first[number], blocks.first[number + 1])
            self._keep[int(run), int(size)] = np.sort(blocks.origin[piece][stays[piece]])
        for number, one in enumerate(self._instance.runs):
            for size in range(len(one.sizes)):
                self._keep.setdefault((number, size), np.empty(0, dtype=np.int64))
        self._budgets[:] = np.inf
        self._store.forget(range(len(self._instance.runs)))
        self._build()

    @property
    def arcs(self) -> int:
        """Arcs in the graph, all runs and sizes together."""
        return len(self._blocks.arc)

    def _build(self) -> None:
        blocks = build_blocks(self._store, self._budgets, self._keep)
        self._blocks = blocks
        self._place = blocks.block * (self._instance.network.ways + 1) + blocks.way

    def _widen(self, runs: Ints, wanted: Array) -> None:
        self._budgets[runs] = np.maximum(self._budgets[runs] * self._growth, wanted * (1.0 + 1e-6))
        self._store.forget(runs.tolist())
        self._build()

    def _costs(self, prices: Prices, shut: Shut) -> Array:
        blocks, of = self._blocks, self._groups.of
        ways = self._instance.network.ways
        per_mm2 = prices.per_mm2[:-1] + prices.per_mm2[-1]
        paid = np.zeros((len(blocks.run), ways + 1))  # by block and way, and nothing where there is no way
        paid[:, :-1] = blocks.area[:, None] * per_mm2[of[blocks.run]] + prices.toll[blocks.run]
        paid[:, :-1][shut.ways[of[blocks.run]]] = np.inf
        cost = paid.ravel()[self._place]
        if not self._free:
            cost += blocks.base
        for one, arcs in shut.arcs.items():
            for number in np.flatnonzero(blocks.run == one):
                piece = slice(blocks.first[number], blocks.first[number + 1])
                cost[piece][np.isin(blocks.arc[piece], list(arcs))] = np.inf
        return np.asarray(cost)

    def _search(self, cost: Array) -> tuple[Array, Ints]:
        blocks = self._blocks
        self.searches += len(blocks.run)
        graph = csr_array((cost, blocks.target32, blocks.indptr), shape=(blocks.nodes, blocks.nodes))
        reach, before, _ = dijkstra(graph, indices=blocks.sources, min_only=True, return_predecessors=True)
        return np.asarray(reach), np.asarray(before, dtype=np.int64)

    def _distances(self, cost: Array, source: Ints, target: Ints, starts: Ints) -> Array:
        graph = csr_array((cost, (source, target)), shape=(self._blocks.nodes, self._blocks.nodes))
        return np.asarray(dijkstra(graph, indices=starts, min_only=True))

    def _read(
        self, cost: Array, away: Array, before: Ints, below: Array, every: bool
    ) -> tuple[Array, tuple[tuple[tuple[float, Route], ...], ...]]:
        blocks, runs, metres = self._blocks, self._instance.runs, self._instance.network.length_m
        fixed = np.zeros(len(blocks.run)) if self._free else blocks.fixed
        raw = away[blocks.sinks] + fixed
        steps, length = self._walk(before, np.isfinite(raw))
        values = np.full(len(runs), np.inf)
        offers: list[list[tuple[float, Route]]] = [[] for _ in runs]
        for number in np.lexsort((raw, blocks.run)):
            value, run, size = float(raw[number]), int(blocks.run[number]), int(blocks.size[number])
            limit = runs[run].sizes[size].longest_m
            known = value >= values[run]
            if not value < np.inf or (known and not (every and length[number] <= limit + EPS_M)):
                continue  # no path, or an exact answer could only be dearer
            arcs = steps[steps[:, number] >= 0, number][::-1]
            if length[number] > limit + EPS_M:
                piece, reach = blocks.span(number)[0], self._store.reaches.of(run)
                value, found = blocks.within(number, cost[piece], metres, reach, limit)
                value += float(fixed[number])
                arcs = found + piece.start
            values[run] = min(values[run], value)
            if value < below[run]:
                route = self._route(run, size, tuple(blocks.arc[arcs].tolist()))
                if len(set(route.ways)) == len(route.ways):
                    offers[run].append((value, route))
        return values, tuple(tuple(sorted(some, key=lambda one: one[0])) for some in offers)

    def _route(self, run: int, size: int, arcs: tuple[int, ...]) -> Route:
        """The route of these arcs; most are met again and again."""
        key = (run, size, arcs)
        if key not in self._routes:
            self._routes[key] = route_of(self._instance, run, size, arcs)
        return self._routes[key]

    def _walk(self, before: Ints, found: Flags) -> tuple[Ints, Array]:
        """Walk all blocks' paths back at once: ``(steps, b)`` places of arcs, last first, -1 when done; and lengths."""
        blocks = self._blocks
        node = np.where(found, blocks.sinks, blocks.sources)
        metres = self._instance.network.length_m
        steps, length = [], np.zeros(len(node))
        while (going := node != blocks.sources).any():
            last = np.where(going, before[node], node)
            place = np.where(going, np.searchsorted(blocks.keys, last.astype(np.int64) * blocks.nodes + node), -1)
            length += np.where(going, metres[blocks.arc[place]], 0.0)
            steps.append(place)
            node = last
        return np.array(steps, dtype=np.int64).reshape(len(steps), len(node)), length
