"""The cheapest route of one run at a time, for the searches that put runs in one by one.

The search is led by the exact distance to the end without prices (Hart, Nilsson and Raphael 1968, A formal basis for the
heuristic determination of minimum cost paths): it looks only at nodes that a route cheaper than wanted could pass.
"""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass, field
from functools import cached_property

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
NEAR = 40  # nodes settled one by one, before all others are by arrays: most searches end sooner

Leaving = list[tuple[float, int, int, int]]  # detour, target, way, arc


@dataclass(frozen=True, eq=False)
class _Graph:
    """A piece, ready to be searched.

    Args:
        piece: arcs of a run in a size.
        indptr: first arc of each node.
        way: of each arc; the number of ways if none.
        base: cost of each arc without prices.
        detour: ``(a,)`` by how much a route gets dearer at least by taking an arc.
        least: cost of the size's cheapest route.
        leaving: by node, arcs that leave it, the least detour first; made when a search first comes there.
    """

    piece: Piece
    indptr: NDArray[np.int32]
    way: Ints
    base: Array
    detour: Array
    least: float
    leaving: dict[int, Leaving] = field(default_factory=dict)

    def at(self, node: int) -> Leaving:
        """Arcs that leave a node."""
        known = self.leaving.get(node)
        if known is None:
            row = slice(self.indptr[node], self.indptr[node + 1])
            lists = (self.detour[row], self.piece.target[row], self.way[row], self.piece.arc[row])
            known = self.leaving[node] = sorted(zip(*(one.tolist() for one in lists), strict=True))
        return known

    def cheapest(self, toll: list[float], room: float) -> tuple[float, list[int]] | None:
        """Cheapest path that is dearer than the least by less than ``room``: how much dearer, and its arcs."""
        start, end = self.piece.start, self.piece.end
        reached, before, settled = {start: 0.0}, dict[int, tuple[int, int]](), set[int]()
        heap = [(0.0, start)]
        while heap:
            cost, node = heapq.heappop(heap)
            if node == end:
                arcs = []
                while node != start:
                    node, arc = before[node]
                    arcs.append(arc)
                return cost, arcs[::-1]
            if node in settled:
                continue
            if len(settled) == NEAR:
                return self.by_arrays(np.array(toll), room)
            settled.add(node)
            for detour, target, way, arc in self.at(node):
                dearer = cost + detour
                if dearer >= room:
                    break
                dearer += toll[way]
                if dearer < room and dearer < reached.get(target, math.inf):
                    reached[target] = dearer
                    before[target] = (node, arc)
                    heapq.heappush(heap, (dearer, target))
        return None

    def by_arrays(self, toll: Array, room: float) -> tuple[float, list[int]] | None:
        """The same, for prices that drive routes far."""
        piece, graph = self.piece, self.arrays
        graph.data = self.detour + toll[self.way]
        reached, before = dijkstra(graph, indices=piece.start, return_predecessors=True, limit=room)  # type: ignore[call-overload]
        graph.data = self.detour  # so that no copy of the costs is kept for each run
        value = float(reached[piece.end])
        if not value < room:
            return None
        last, met = before.tolist(), [piece.end]
        while met[-1] != piece.start:
            met.append(last[met[-1]])
        path = np.array(met[::-1])
        return value, piece.arc[np.searchsorted(self.keys, path[:-1] * piece.nodes + path[1:])].tolist()

    @cached_property
    def arrays(self) -> csr_array:
        """The same graph, of which only the costs change from search to search."""
        piece = self.piece
        return csr_array((self.detour, piece.target, self.indptr), shape=(piece.nodes, piece.nodes))

    @property
    def keys(self) -> Ints:
        """``(a,)`` rising: the place of an arc by the nodes it joins."""
        return np.asarray(self.piece.source.astype(np.int64) * self.piece.nodes + self.piece.target)


class Finder:
    """Finds routes of single runs within some multiple of their least cost, and farther off if there is none."""

    def __init__(self, instance: Instance, twin: Store | None = None) -> None:
        """Args: instance; ``twin``: another store of it, whose distances serve here too."""
        self._instance = instance
        self.store = Store(instance, twin)
        self.least = self.store.least
        self._budgets = self.store.widest(REACHES, MANY) * self.least
        self._farthest = REACHES[0] * self.least
        self._charged = instance.network.length_m + instance.network.extra_m
        self._graphs: list[tuple[_Graph, ...] | None] = [None] * len(instance.runs)

    def route(self, run: int, price: Array, per_mm2: Array, below: float = math.inf) -> Route | None:
        """Cheapest route of a run.

        Args:
            run: index.
            price: ``(w,)`` added for passing a way; infinite closes it.
            per_mm2: ``(w,)`` added for each mm2 of the cable.
            below: only a route that costs less than this, prices included, is of use.

        Returns:
            The route with its own cost, prices left out; None if there is none.
        """
        found = self._look(run, price, per_mm2, below)
        while found is None and self._budgets[run] < min(below, np.inf):
            far = self._budgets[run] >= self._farthest[run]
            self._budgets[run] = np.inf if far else WIDER * self._budgets[run]
            self._graphs[run] = None
            self.store.forget([run])
            found = self._look(run, price, per_mm2, below)
        return found

    def _of(self, run: int) -> tuple[_Graph, ...]:
        graphs = self._graphs[run]
        if graphs is None:
            keep: Keep = {}
            pieces = self.store.pieces(run, float(self._budgets[run]), keep).pieces
            graphs = self._graphs[run] = tuple(self._graph(run, piece) for piece in pieces)
        return graphs

    def _graph(self, run: int, piece: Piece) -> _Graph:
        net, size = self._instance.network, self._instance.runs[run].sizes[piece.size]
        reach = self.store.reaches.of(run)
        before, after = (reach.ahead[one[piece.origin]] for one in (reach.source, reach.target))
        count = np.bincount(piece.source, minlength=piece.nodes)
        way, charged = net.way[piece.arc], self._charged[piece.arc]
        return _Graph(
            piece,
            np.concatenate([[0], np.cumsum(count)]).astype(np.int32),
            np.where(way < 0, net.ways, way),
            size.rate * charged,
            size.rate * np.maximum(charged + after - before, 0.0),
            size.fixed + size.rate * float(reach.ahead[reach.start]),
        )

    def _look(self, run: int, price: Array, per_mm2: Array, below: float) -> Route | None:
        best, chosen = below, None
        far = bool(per_mm2.any())  # prices of area are dear everywhere that others lie
        for graph in self._of(run):
            size = self._instance.runs[run].sizes[graph.piece.size]
            if self.store.least_by_size[run][graph.piece.size] >= best:
                continue
            toll = np.append(price + size.area_mm2 * per_mm2, 0.0)
            room = best - graph.least
            found = graph.by_arrays(toll, room) if far else graph.cheapest(toll.tolist(), room)
            if found is None:
                continue
            value, route = graph.least + found[0], route_of(self._instance, run, graph.piece.size, found[1])
            if route.length_m > size.longest_m + EPS_M:
                value, route = self._within(run, graph, graph.base + toll[graph.way])
            if value < best and len(set(route.ways)) == len(route.ways):
                best, chosen = value, route
        return chosen

    def _within(self, run: int, graph: _Graph, cost: Array) -> tuple[float, Route]:
        piece, size = graph.piece, self._instance.runs[run].sizes[graph.piece.size]
        metres = self._instance.network.length_m[piece.arc]
        rest = self.store.reaches.of(run).rest[piece.origin]
        ends = piece.start, piece.end
        value, found = cheapest_on(graph.indptr, piece.target, cost, metres, rest, ends, size.longest_m)
        return value + size.fixed, route_of(self._instance, run, piece.size, piece.arc[found])
