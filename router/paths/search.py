"""Shortest feasible paths through the network, by Dijkstra on arrays."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.space.network import Network

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
NO_NODE = -9999


@dataclass(frozen=True)
class Path:
    """A path through the network.

    Args:
        edges: indices of the network's edges in order.
        cost: what the search minimised.
    """

    edges: tuple[int, ...]
    cost: float


def distances(network: Network, starts: Sequence[int]) -> Array:
    """Least metres from devices to every node, all in one call.

    Args:
        network: the network.
        starts: portal indices.

    Returns:
        ``(k, n)`` metres; infinite where there is no path.
    """
    graph = csr_array((network.length, network.target, network.indptr), shape=(network.nodes, network.nodes))
    leaving = np.array([network.leaving(start) for start in starts])
    return np.asarray(dijkstra(graph, indices=leaving))  # type: ignore[arg-type]


class Searcher:
    """Finds one run's cheapest path for given prices; keeps the index arrays between calls."""

    def __init__(self, network: Network) -> None:
        self._network = network
        self._n = network.nodes
        self._way = np.where(network.target < 2 * network.ways, network.target // 2, -1)
        self._indices = network.target.astype(np.int32)
        self._indptr = network.indptr.astype(np.int32)
        arrays = network.length, self._indices, self._indptr
        self._graph = csr_array(arrays, shape=(self._n, self._n), copy=True)

    def path(
        self, start: int, end: int, edge_cost: Array, way_cost: Array, via: Sequence[int] = (), exact: bool = False
    ) -> Path | None:
        """Cheapest path between two devices.

        Args:
            start, end: portal indices.
            edge_cost: ``(e,)`` cost of each edge, not negative.
            way_cost: ``(w,)`` added when a way is entered; infinite closes it.
            via: ways that must be passed, in this order.
            exact: these ways and no others.

        Returns:
            The path, or None if there is none.
        """
        extra = np.append(way_cost, 0.0)[self._way]  # -1, no way, takes the last
        cost = edge_cost + extra
        if via or exact:
            return self._layered(start, end, cost, via, exact)
        self._graph.data = cost
        return self._walk(self._graph, self._network.leaving(start), self._network.reaching(end), cost, self._n)

    def _walk(self, graph: csr_array, source: int, sink: int, cost: Array, n: int) -> Path | None:
        reach, before = dijkstra(graph, indices=source, return_predecessors=True)  # type: ignore[call-overload]
        if not np.isfinite(reach[sink]):
            return None
        nodes = [sink]
        while nodes[-1] != source:
            nodes.append(int(before[nodes[-1]]))
        nodes.reverse()
        edges = tuple(self._edge(a % n, b % n, cost) for a, b in itertools.pairwise(nodes))
        return Path(edges, float(reach[sink]))

    def _edge(self, a: int, b: int, cost: Array) -> int:
        low, high = int(self._indptr[a]), int(self._indptr[a + 1])
        found = low + np.flatnonzero(self._indices[low:high] == b)
        return int(found[np.argmin(cost[found])])

    def _layered(self, start: int, end: int, cost: Array, via: Sequence[int], exact: bool) -> Path | None:
        """One copy of the graph a passed way; the edges into the next wanted way lead one copy up."""
        network, n, layers = self._network, self._n, len(via) + 1
        rows, columns, values = [], [], []
        for layer in range(layers):
            up = self._way == via[layer] if layer < len(via) else np.zeros(len(cost), dtype=bool)
            kept = up | (self._way < 0) if exact else np.ones(len(cost), dtype=bool)
            rows.append((network.source + layer * n)[kept])
            columns.append((network.target + (layer + up) * n)[kept])
            values.append(cost[kept])
        graph = csr_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(layers * n, layers * n)
        )
        sink = network.reaching(end) + (layers - 1) * n
        return self._walk(graph, network.leaving(start), sink, cost, n)
