"""Cheapest path that is not longer than a limit, by label setting."""

from __future__ import annotations

import heapq
import math
from collections.abc import Mapping, Sequence

# node -> (target, cost, length, least length from target to the end, position of the arc)
Leaving = Mapping[int, Sequence[tuple[int, float, float, float, int]]]
EPS_M = 1e-9


def cheapest_within(leaving: Leaving, start: int, end: int, longest_m: float) -> tuple[float, list[int]]:
    """Cheapest path whose length stays within a limit.

    A label is dropped if another at the same node is neither dearer nor longer. Costs must not be negative.

    Args:
        leaving: arcs by the node they leave.
        start: first node.
        end: last node.
        longest_m: limit of the length [m].

    Returns:
        Cost and positions of the arcs, or infinity and nothing.
    """
    heap: list[tuple[float, float, int, int]] = [(0.0, 0.0, start, 0)]
    trail: list[tuple[int, int]] = [(-1, -1)]  # label before, arc
    shortest: dict[int, float] = {}  # labels leave the heap by rising cost, so the least length so far tells all
    while heap:
        cost, length, node, label = heapq.heappop(heap)
        if length >= shortest.get(node, math.inf):
            continue
        shortest[node] = length
        if node == end:
            arcs = []
            while label:
                label, arc = trail[label]
                arcs.append(arc)
            return cost, arcs[::-1]
        for target, step, metres, rest, position in leaving.get(node, ()):
            further = length + metres
            if further + rest <= longest_m + EPS_M and further < shortest.get(target, math.inf) and step < math.inf:
                trail.append((label, position))
                heapq.heappush(heap, (cost + step, further, target, len(trail) - 1))
    return math.inf, []
