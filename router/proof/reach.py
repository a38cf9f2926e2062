"""For every run, the arcs it could ever use, and the least that a route over each of them costs or measures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.proof.instance import FILL_EPS, Array, Flags, Instance, Ints, Network, Run, Size


@dataclass(frozen=True, eq=False)
class Reach:
    """Arcs of one run, copied once a layer if it has ways to pass in order.

    Args:
        start: node it leaves from.
        end: node it ends at, in the last layer.
        source, target: ``(a,)`` nodes.
        arc: ``(a,)`` arc of the network.
        metres: ``(a,)`` least metres, extra ones included, of a route over it.
        length: ``(a,)`` least length of a route over it.
        rest: ``(a,)`` least length from its target to the end.
        ahead: ``(n,)`` from each node to the end at least so many metres, extra ones included.
    """

    start: int
    end: int
    source: Ints
    target: Ints
    arc: Ints
    metres: Array
    length: Array
    rest: Array
    ahead: Array


class Reaches:
    """Distances from all starts and to all ends, from which each run's arcs are worked out when they are asked for.

    Kept is one row a start and one an end, not one an arc for each run, so that large networks stay small in memory.
    """

    def __init__(self, instance: Instance) -> None:
        self._instance, net = instance, instance.network
        plain = [run for run in instance.runs if not run.via]
        starts, ends = sorted({run.start for run in plain}), sorted({run.end for run in plain})
        self._row_of_start = {node: row for row, node in enumerate(starts)}
        self._row_of_end = {node: row for row, node in enumerate(ends)}
        self._charged = net.length_m + net.extra_m
        weights = [self._charged, net.length_m] if net.extra_m.any() else [self._charged]
        self._fronts = [_distances(net, net.source, net.target, weight, starts) for weight in weights]
        self._backs = [_distances(net, net.target, net.source, weight, ends) for weight in weights]
        self._layered: dict[int, Reach] = {}

    def of(self, number: int) -> Reach:
        """Arcs of a run, always in the same order."""
        net, run = self._instance.network, self._instance.runs[number]
        if run.via:
            if number not in self._layered:
                self._layered[number] = _layered(net, run)
            return self._layered[number]
        i, j = self._row_of_start[run.start], self._row_of_end[run.end]
        metres = self._fronts[0][i][net.source] + self._charged + self._backs[0][j][net.target]
        rest = self._backs[-1][j][net.target]
        length = metres if len(self._fronts) == 1 else self._fronts[1][i][net.source] + net.length_m + rest
        keep = np.flatnonzero(np.isfinite(metres) & _allowed(net, run))
        source, target, ahead = net.source[keep], net.target[keep], self._backs[0][j]
        return Reach(run.start, run.end, source, target, keep, metres[keep], length[keep], rest[keep], ahead)


def _allowed(net: Network, run: Run) -> Flags:
    """``(e,)`` whether a run may use an arc, its widest bore aside."""
    shut = np.zeros(net.ways + 1, dtype=bool)
    shut[list(run.avoid)] = True
    return np.asarray(~shut[net.way] & (net.source != run.end) & (net.target != run.start))


def _distances(net: Network, source: Ints, target: Ints, weight: Array, starts: list[int]) -> Array:
    if not starts:
        return np.empty((0, net.nodes))
    graph = csr_array((weight, (source, target)), shape=(net.nodes, net.nodes))
    return np.asarray(dijkstra(graph, indices=np.array(starts)))


def _layered(net: Network, run: Run) -> Reach:
    """One copy of the network a way to be passed; the arcs through the next wanted way lead one copy up."""
    use = np.flatnonzero(_allowed(net, run))
    layers = len(run.via) + 1
    way = net.way[use]
    source, target = [], []
    for layer in range(layers):
        up = way == run.via[layer] if layer < len(run.via) else np.zeros(len(use), dtype=bool)
        source.append(net.source[use] + layer * net.nodes)
        target.append(net.target[use] + (layer + up) * net.nodes)
    a, b, arc = np.concatenate(source), np.concatenate(target), np.tile(use, layers)
    count, end = layers * net.nodes, run.end + (layers - 1) * net.nodes
    over, backs = [], []
    for weight in (net.length_m + net.extra_m, net.length_m):
        front = dijkstra(csr_array((weight[arc], (a, b)), shape=(count, count)), indices=run.start)  # type: ignore[call-overload]
        back = dijkstra(csr_array((weight[arc], (b, a)), shape=(count, count)), indices=end)  # type: ignore[call-overload]
        over.append(front[a] + weight[arc] + back[b])
        backs.append(back)
    keep = np.isfinite(over[0])
    metres, length, rest = over[0][keep], over[1][keep], backs[1][b][keep]
    return Reach(run.start, end, a[keep], b[keep], arc[keep], metres, length, rest, backs[0])


def passes(net: Network, arc: Ints, size: Size) -> Flags:
    """``(a,)`` whether a cable, alone, goes through the ways of these arcs: its width and its area."""
    bore, limit = np.append(net.bore_mm, np.inf), np.append(net.limit_mm2, np.inf)
    way = net.way[arc]  # -1, no way, takes the last
    return np.asarray((bore[way] >= size.across_mm) & (limit[way] * (1.0 + FILL_EPS) >= size.area_mm2))
