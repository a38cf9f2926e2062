"""Taut paths: the exact shortest distances among points of a plane domain, and the paths themselves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.geometry.plane_domain import Array, PlaneDomain
from ribway.router.geometry.visibility_graph import VisibilityGraph, chain, visibility_graph

__all__ = ["TautTable", "taut_table"]


@dataclass(frozen=True)
class TautTable:
    """Shortest Euclidean distances among points of a domain.

    Args:
        graph: the visibility graph they were read from.
        length: `(n, n)` symmetric distances [m]; inf where there is no way.
        before: `(n, N)` predecessors in the graph, or None when every pair that has a way sees each other.
    """

    graph: VisibilityGraph
    length: Array
    before: NDArray[np.int32] | None

    def path(self, i: int, j: int) -> Array:
        """The taut path from point `i` to point `j`.

        Args:
            i: number of the first point.
            j: number of the last point.

        Returns:
            `(k, 2)` vertices [m], `(1, 2)` when i equals j; `path(j, i)` is its exact reverse.

        Raises:
            ValueError: there is no way between the two.
        """
        nodes = self.graph.nodes
        if i == j:
            return nodes[[i]]
        if not np.isfinite(self.length[i, j]):
            raise ValueError(f"taut path: no way from point {i} at {nodes[i].tolist()} to {j} at {nodes[j].tolist()}")
        if i > j:
            return self.path(j, i)[::-1]
        if self.before is None or self.graph.sees[i, j]:
            return nodes[[i, j]]
        return nodes[chain(self.before[i], i, j)]


def taut_table(domain: PlaneDomain, points: Array, graph: VisibilityGraph | None = None) -> TautTable:
    """Exact shortest distances inside a plane domain among points.

    Args:
        domain: the domain.
        points: `(n, 2)` points [m].
        graph: visibility graph of the same domain and points if it is at hand already.

    Returns:
        The table; paths are read from it on demand.
    """
    seen = visibility_graph(domain, points) if graph is None else graph
    nodes, n = seen.nodes, seen.count
    offset = nodes[:, None, :] - nodes[None, :, :]
    straight: Array = np.hypot(offset[..., 0], offset[..., 1])
    if domain.free or bool((seen.sees[:n, :n] | np.eye(n, dtype=np.bool_)).all()):
        length = np.where(seen.sees[:n, :n], straight[:n, :n], np.inf)
        np.fill_diagonal(length, 0.0)
        return TautTable(seen, length, None)
    distance, before = seen.shortest(straight, n)
    length = distance[:, :n]
    length = np.where(seen.sees[:n, :n], straight[:n, :n], np.minimum(length, length.T))
    np.fill_diagonal(length, 0.0)
    return TautTable(seen, length, before)
