"""The cheapest route of one run at a time, for the searches that put runs in one by one."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.proof.blocks import Keep, Piece, Store
from ribway.router.proof.instance import Array, Instance, Ints, Route, route_of
from ribway.router.proof.limited import EPS_M, cheapest_on

REACHES = (2.0, 1.5, 1.25, 1.12, 1.06)  # of a run's own least cost: the first that gives no more than MANY arcs
MANY = 4_000_000
WIDER = 1.3


@dataclass(frozen=True, eq=False)
class _Graph:
    """A piece, ready to be searched; the way of an arc through none is the number of ways."""

    piece: Piece
    indptr: NDArray[np.int32]
    way: Ints
    base: Array


class Finder:
    """Finds routes of single runs within some multiple of their least cost, and farther off if there is none."""

    def __init__(self, instance: Instance) -> None:
        self._instance = instance
        self.store = Store(instance)
        self.least = self.store.least
        self._budgets = self.store.widest(REACHES, MANY) * self.least
        self._farthest = REACHES[0] * self.least
        self._charged = instance.network.length_m + instance.network.extra_m
        self._graphs: list[tuple[_Graph, ...] | None] = [None] * len(instance.runs)

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
            far = self._budgets[run] >= self._farthest[run]
            self._budgets[run] = np.inf if far else WIDER * self._budgets[run]
            self._graphs[run] = None
            self.store.forget([run])
            found = self._look(run, price, per_mm2)
        return found

    def _of(self, run: int) -> tuple[_Graph, ...]:
        graphs = self._graphs[run]
        if graphs is None:
            keep: Keep = {}
            pieces = self.store.pieces(run, float(self._budgets[run]), keep).pieces
            graphs = self._graphs[run] = tuple(self._graph(run, piece) for piece in pieces)
        return graphs

    def _graph(self, run: int, piece: Piece) -> _Graph:
        net = self._instance.network
        count = np.bincount(piece.source, minlength=piece.nodes)
        way = net.way[piece.arc]
        return _Graph(
            piece,
            np.concatenate([[0], np.cumsum(count)]).astype(np.int32),
            np.where(way < 0, net.ways, way),
            self._instance.runs[run].sizes[piece.size].rate * self._charged[piece.arc],
        )

    def _look(self, run: int, price: Array, per_mm2: Array) -> Route | None:
        best, chosen = math.inf, None
        for graph in self._of(run):
            piece = graph.piece
            size = self._instance.runs[run].sizes[piece.size]
            if self.store.least_by_size[run][piece.size] >= best:
                continue
            cost = graph.base + np.append(price + size.area_mm2 * per_mm2, 0.0)[graph.way]
            arrays = csr_array((cost, piece.target, graph.indptr), shape=(piece.nodes, piece.nodes))
            reach, before = dijkstra(arrays, indices=piece.start, return_predecessors=True)  # type: ignore[call-overload]
            value = float(reach[piece.end]) + size.fixed
            if not value < best:
                continue
            arcs, node = [], piece.end
            while node != piece.start:
                last = int(before[node])
                row = slice(graph.indptr[last], graph.indptr[last + 1])
                arcs.append(int(piece.arc[row][np.flatnonzero(piece.target[row] == node)[0]]))
                node = last
            route = route_of(self._instance, run, piece.size, arcs[::-1])
            if route.length_m > size.longest_m + EPS_M:
                value, route = self._within(run, graph, cost)
                if not value < best:
                    continue
            if len(set(route.ways)) == len(route.ways):
                best, chosen = value, route
        return chosen

    def _within(self, run: int, graph: _Graph, cost: Array) -> tuple[float, Route]:
        piece, size = graph.piece, self._instance.runs[run].sizes[graph.piece.size]
        metres = self._instance.network.length_m[piece.arc]
        rest = self.store.reaches.of(run).rest[piece.origin]
        ends = piece.start, piece.end
        value, found = cheapest_on(graph.indptr, piece.target, cost, metres, rest, ends, size.longest_m)
        return value + size.fixed, route_of(self._instance, run, piece.size, piece.arc[found])
