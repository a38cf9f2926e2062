"""Cheapest path that is not longer than a limit, by label setting."""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.proof.instance import Array, Ints

EPS_M = 1e-9


@dataclass(frozen=True)
class Leaving:
    """Arcs sorted by the node they leave; lists, since single numbers are read.

    Args:
        first: by node, its first arc; one more than nodes.
        target: of each arc.
        cost: of each arc; none negative.
        metres: length of each arc.
        rest: least length from the arc's target to the end.
        ahead: by node, least cost to the end whatever the length; infinite where there is no way.
    """

    first: Sequence[int]
    target: Sequence[int]
    cost: Sequence[float]
    metres: Sequence[float]
    rest: Sequence[float]
    ahead: Sequence[float]


def cheapest_within(leaving: Leaving, start: int, end: int, longest_m: float) -> tuple[float, list[int]]:
    """Cheapest path whose length stays within a limit.

    A label is dropped if another at the same node is neither dearer nor longer. Labels leave the heap by their cost and
    the least cost ahead of them, so those at one node leave it by rising cost.

    Args:
        leaving: arcs by the node they leave.
        start: first node.
        end: last node.
        longest_m: limit of the length [m].

    Returns:
        Cost and positions of the arcs, or infinity and nothing.
    """
    first, target, step, metres = leaving.first, leaving.target, leaving.cost, leaving.metres
    rest, ahead, limit = leaving.rest, leaving.ahead, longest_m + EPS_M
    heap: list[tuple[float, float, float, int, int]] = [(ahead[start], 0.0, 0.0, start, 0)]
    trail: list[tuple[int, int]] = [(-1, -1)]  # label before, arc
    shortest: dict[int, float] = {}  # so far, at each node
    while heap:
        _, cost, length, node, label = heapq.heappop(heap)
        if length >= shortest.get(node, math.inf):
            continue
        shortest[node] = length
        if node == end:
            arcs = []
            while label:
                label, arc = trail[label]
                arcs.append(arc)
            return cost, arcs[::-1]
        for arc in range(first[node], first[node + 1]):
            further, after = length + metres[arc], target[arc]
            if further + rest[arc] > limit or further >= shortest.get(after, math.inf):
                continue
            dearer = cost + step[arc]
            if dearer + ahead[after] < math.inf:
                trail.append((label, arc))
                heapq.heappush(heap, (dearer + ahead[after], dearer, further, after, len(trail) - 1))
    return math.inf, []


def cheapest_on(
    indptr: NDArray[np.int32],
    target: NDArray[np.int32],
    cost: Array,
    metres: Array,
    rest: Array,
    ends: tuple[int, int],
    longest_m: float,
) -> tuple[float, Ints]:
    """The same on arrays, with the least cost ahead of each node worked out first.

    Args:
        indptr: ``(n + 1,)`` first arc of each node; arcs are sorted by the node they leave.
        target: ``(a,)`` node that an arc leads to.
        cost, metres: ``(a,)`` of each arc.
        rest: ``(a,)`` least length from its target to the end.
        ends: first and last node.
        longest_m: limit of the length [m].

    Returns:
        Cost and places of the arcs; infinity and nothing if there is no such path.
    """
    nodes = len(indptr) - 1
    ahead = dijkstra(csr_array((cost, target, indptr), shape=(nodes, nodes)).T.tocsr(), indices=ends[1])  # type: ignore[call-overload]
    arcs = Leaving(*(one.tolist() for one in (indptr, target, cost, metres, rest, ahead)))
    value, found = cheapest_within(arcs, *ends, longest_m)
    return value, np.array(found, dtype=np.int64)
