"""The cheapest route of one run at a time, for the searches that put runs in one by one."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.proof.blocks import Keep, Store, build_blocks
from ribway.router.proof.instance import Array, Instance, Route, route_of
from ribway.router.proof.limited import EPS_M

Part = tuple[slice, int, NDArray[np.int32], NDArray[np.int32]]  # arcs, first node, targets, row starts
FIRST_REACH = 2.0  # of a run's own least cost
MANY = 1_000_000  # runs times arcs; with more, the first reach is shorter
SHORT_REACH = 1.5


class Finder:
    """Finds routes of single runs within twice their least cost, and everywhere if there is none."""

    def __init__(self, instance: Instance) -> None:
        self._instance = instance
        self._store = Store(instance)
        self.least = self._store.least
        many = len(instance.runs) * len(instance.network.source) > MANY
        self._budgets = (SHORT_REACH if many else FIRST_REACH) * self.least
        self._build()

    def route(self, run: int, price: Array, per_mm2: Array) -> Route | None:
        """Cheapest route of a run.

        Args:
            run: index.
            price: ``(w,)`` added for passing a way; infinite closes it.
            per_mm2: ``(w,)`` added for each mm2 of the cable.

        Returns:
            The route with its own cost, prices left out; None if there is none.
        """
        found = self._look(run, price, per_mm2)
        while found is None and self._budgets[run] < np.inf:
            wider = self._budgets[run] < FIRST_REACH * self.least[run]
            self._budgets[run] = FIRST_REACH * self.least[run] if wider else np.inf
            self._store.forget([run])
            self._build()
            found = self._look(run, price, per_mm2)
        return found

    def _build(self) -> None:
        keep: Keep = {}
        self._blocks = build_blocks(self._store, self._budgets, keep)
        self._of: list[list[int]] = [[] for _ in self._instance.runs]
        for number, run in enumerate(self._blocks.run):
            self._of[run].append(number)
        self._graphs: dict[int, Part] = {}

    def _graph(self, number: int) -> Part:
        if number not in self._graphs:
            blocks = self._blocks
            piece, low, high = blocks.span(number)
            indptr = blocks.indptr[low : high + 1] - blocks.indptr[low]
            self._graphs[number] = (piece, low, blocks.target32[piece] - np.int32(low), indptr.astype(np.int32))
        return self._graphs[number]

    def _look(self, run: int, price: Array, per_mm2: Array) -> Route | None:
        blocks, best, chosen = self._blocks, math.inf, None
        for number in self._of[run]:
            size = int(blocks.size[number])
            if self._store.least_by_size[run][size] >= best:
                continue
            piece, low, target, indptr = self._graph(number)
            way = blocks.way[piece]
            cost = blocks.base[piece] + np.append(price + blocks.area[number] * per_mm2, 0.0)[way]
            nodes = len(indptr) - 1
            graph = csr_array((cost, target, indptr), shape=(nodes, nodes))
            start, end = int(blocks.sources[number]) - low, int(blocks.sinks[number]) - low
            reach, before = dijkstra(graph, indices=start, return_predecessors=True)  # type: ignore[call-overload]
            value = float(reach[end]) + float(blocks.fixed[number])
            if not value < best:
                continue
            arcs, node = [], end
            while node != start:
                last = int(before[node])
                row = slice(indptr[last], indptr[last + 1])
                arcs.append(int(blocks.arc[piece][row][np.flatnonzero(target[row] == node)[0]]))
                node = last
            route = route_of(self._instance, run, size, arcs[::-1])
            limit = self._instance.runs[run].sizes[size].longest_m
            if route.length_m > limit + EPS_M:
                value, route = self._within(run, number, cost, limit)
                if not value < best:
                    continue
            if len(set(route.ways)) == len(route.ways):
                best, chosen = value, route
        return chosen

    def _within(self, run: int, number: int, cost: Array, limit: float) -> tuple[float, Route]:
        blocks, reach = self._blocks, self._store.reaches.of(run)
        value, found = blocks.within(number, cost, self._instance.network.length_m, reach, limit)
        arcs = blocks.arc[found + int(blocks.first[number])]
        route = route_of(self._instance, run, int(blocks.size[number]), arcs)
        return value + float(blocks.fixed[number]), route
