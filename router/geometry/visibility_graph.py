"""Visibility graph of a plane domain: which of its points and corners see each other, and shortest chains through it.

The straight-edge graph over points and reflex corners holds a shortest path in the Euclidean metric and, with L1
weights, in the L1 metric too: pulling a path taut puts straight segments for parts of it, which lengthens neither.
Source: T. Lozano-Perez, M. A. Wesley, "An algorithm for planning collision-free paths among polyhedral obstacles",
Communications of the ACM 22 (1979); K. L. Clarkson, S. Kapoor, P. M. Vaidya, "Rectilinear shortest paths through
polygonal obstacles in O(n (log n)^2) time", Symposium on Computational Geometry 1987.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.geometry.plane_domain import Array, BoolArray, IntArray, PlaneDomain

__all__ = ["VisibilityGraph", "chain", "visibility_graph"]


@dataclass(frozen=True)
class VisibilityGraph:
    """Points and corners of a domain and who sees whom.

    Args:
        domain: the domain.
        nodes: `(N, 2)` the points asked about, then the domain's corners [m].
        count: how many of the nodes are points asked about.
        sees: `(N, N)` symmetric, true where the straight segment stays in the domain.
    """

    domain: PlaneDomain
    nodes: Array
    count: int
    sees: BoolArray

    def shortest(self, weight: Array, sources: int) -> tuple[Array, NDArray[np.int32]]:
        """Shortest chains through the graph from its first nodes.

        Args:
            weight: `(N, N)` weight of each straight segment [m].
            sources: how many of the first nodes to start from.

        Returns:
            `(sources, N)` lengths [m], inf where there is no way, and `(sources, N)` predecessors, negative where none.
        """
        rows, columns = np.nonzero(self.sees)
        matrix = csr_array((weight[rows, columns], (rows, columns)), shape=self.sees.shape)
        length, before = dijkstra(matrix, indices=np.arange(sources), return_predecessors=True)
        return np.asarray(length, dtype=np.float64), np.asarray(before, dtype=np.int32)


def visibility_graph(domain: PlaneDomain, points: Array) -> VisibilityGraph:
    """Visibility graph over points and the corners of a domain.

    Args:
        domain: the domain.
        points: `(n, 2)` points [m]; one that lies outside sees nothing.

    Returns:
        The graph over `n` points and all corners (none when the domain is convex).

    Raises:
        ValueError: the points have the wrong shape or are not finite.
    """
    asked = np.asarray(points, dtype=np.float64)
    if asked.ndim != 2 or asked.shape[1] != 2 or not np.isfinite(asked).all():
        raise ValueError(f"visibility graph: points of shape {asked.shape} must be (n, 2) and finite")
    nodes = np.concatenate([asked, domain.corners])
    inside = domain.contains(nodes)
    sees = inside[:, None] & inside[None, :]
    if not domain.free:
        first, second = np.triu_indices(len(nodes), 1)
        seen = domain.visible(nodes[first], nodes[second])
        sees[first, second] = seen
        sees[second, first] = seen
    np.fill_diagonal(sees, False)
    return VisibilityGraph(domain, nodes, len(asked), sees)


def chain(before: NDArray[np.int32], start: int, end: int) -> IntArray:
    """Nodes of a shortest chain, read back from one row of predecessors.

    Args:
        before: `(N,)` predecessors as seen from `start`, negative where none.
        start: first node.
        end: last node, reachable from `start`.

    Returns:
        `(k,)` node numbers from start to end.
    """
    walk = [end]
    while walk[-1] != start:
        walk.append(int(before[walk[-1]]))
    return np.asarray(walk[::-1], dtype=np.int64)
