"""One graph that holds, side by side, the arcs that each run in each size may use within a budget."""

from __future__ import annotations

from collections.abc import MutableMapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ribway.router.proof.instance import Array, Instance, Ints, Run
from ribway.router.proof.limited import EPS_M, Leaving
from ribway.router.proof.reach import Reach, passes

Costs = tuple[Array, ...]
Keep = MutableMapping[tuple[int, int], Ints]
FIRST_BUDGET = 1.35  # of a run's own least cost


@dataclass(frozen=True, eq=False)
class Blocks:
    """Blocks, one for a run in a size, with no arc between them; arcs sorted by their source.

    Args:
        run, size: ``(b,)`` whose block it is.
        first: ``(b + 1,)`` its first arc.
        sources, sinks: ``(b,)`` nodes of start and end.
        area: ``(b,)`` of the size [mm2].
        fixed: ``(b,)`` of the size.
        nodes: in all.
        source, target: ``(a,)`` nodes.
        target32: the same for the search.
        indptr: row starts.
        block: ``(a,)`` block of an arc.
        origin: ``(a,)`` its index among the run's own arcs.
        arc: ``(a,)`` of the network.
        way: ``(a,)`` of the network; the number of ways if none.
        base: ``(a,)`` cost without prices.
        rest: ``(a,)`` least length from its target to the end [m].
        beyond: ``(k,)`` least cost of a route that uses an arc left out for its budget.
        least: ``(k,)`` least cost of a run by distances alone.
        keys: ``(a,)`` ``source * nodes + target``, rising: finds an arc by its ends.
    """

    run: Ints
    size: Ints
    first: Ints
    sources: Ints
    sinks: Ints
    area: Array
    fixed: Array
    nodes: int
    source: Ints
    target: Ints
    target32: NDArray[np.int32]
    indptr: NDArray[np.int32]
    block: Ints
    origin: Ints
    arc: Ints
    way: Ints
    base: Array
    rest: Array
    beyond: Array
    least: Array
    keys: Ints

    def leaving(self, number: int, cost: Array, length_m: Array) -> Leaving:
        """A block's arcs by the node they leave, for the search with a limit."""
        out: dict[int, list[tuple[int, float, float, float, int]]] = {}
        for place in range(int(self.first[number]), int(self.first[number + 1])):
            row = (
                int(self.target[place]),
                float(cost[place]),
                float(length_m[self.arc[place]]),
                float(self.rest[place]),
                place,
            )
            out.setdefault(int(self.source[place]), []).append(row)
        return out


def initial_budgets(costs: Sequence[Costs]) -> Array:
    """``(k,)`` what a route may cost for its arcs to be there from the start."""
    least = [min((float(one.min()) for one in some if len(one)), default=np.inf) for some in costs]
    return FIRST_BUDGET * np.array(least)


def build_blocks(
    instance: Instance, reaches: Sequence[Reach], costs: Sequence[Costs], budgets: Array, keep: Keep
) -> Blocks:
    """Blocks with the arcs of all routes within a budget.

    Args:
        instance: network and runs.
        reaches: arcs of each run.
        costs: least cost over each of them, from `costs_of`.
        budgets: ``(k,)`` costs.
        keep: by run and size, which of the run's own arcs are left after thinning; all if it is not there.
    """
    net = instance.network
    beyond, least = np.full(len(instance.runs), np.inf), np.full(len(instance.runs), np.inf)
    columns: dict[str, list[Any]] = {name: [] for name in ("source", "target", "origin", "arc", "base", "rest")}
    heads: list[tuple[int, int, int, int, float, float, int]] = []
    nodes = 0
    for k, (run, reach) in enumerate(zip(instance.runs, reaches, strict=True)):
        for o, cost in enumerate(costs[k]):
            if not len(cost):
                continue
            least[k] = min(least[k], float(np.min(cost)))
            size = run.sizes[o]
            chosen = np.flatnonzero((cost <= budgets[k]) & (cost < np.inf)) if (k, o) not in keep else keep[k, o]
            if (k, o) not in keep:
                beyond[k] = min(beyond[k], float(np.min(cost, where=cost > budgets[k], initial=np.inf)))
            if not len(chosen):
                continue
            met = np.zeros(
                max(reach.start, reach.end, int(reach.source.max()), int(reach.target.max())) + 1, dtype=np.int64
            )
            for ends in (reach.source[chosen], reach.target[chosen], [reach.start, reach.end]):
                met[ends] = 1
            local = np.cumsum(met) - 1
            a, b = local[reach.source[chosen]], local[reach.target[chosen]]
            order = np.lexsort((b, a))
            arc = reach.arc[chosen][order]
            columns["source"].append(a[order] + nodes)
            columns["target"].append(b[order] + nodes)
            columns["origin"].append(chosen[order])
            columns["arc"].append(arc)
            columns["base"].append(size.rate * (net.length_m[arc] + net.extra_m[arc]))
            columns["rest"].append(reach.rest[chosen][order])
            start, end = int(local[reach.start]) + nodes, int(local[reach.end]) + nodes
            heads.append((k, o, start, end, size.area_mm2, size.fixed, len(chosen)))
            nodes += int(local[-1]) + 1
    merged = {name: np.concatenate([np.empty(0, dtype=np.int64), *some]) for name, some in columns.items()}
    table = np.array(heads, dtype=np.float64).reshape(-1, 7)
    run_of, size_of, sources, sinks, count = (table[:, i].astype(np.int64) for i in (0, 1, 2, 3, 6))
    source, target, arc = (merged[name].astype(np.int64) for name in ("source", "target", "arc"))
    way = net.way[arc]
    return Blocks(
        run=run_of,
        size=size_of,
        first=np.concatenate([[0], np.cumsum(count)]),
        sources=sources,
        sinks=sinks,
        area=table[:, 4].copy(),
        fixed=table[:, 5].copy(),
        nodes=nodes,
        source=source,
        target=target,
        target32=target.astype(np.int32),
        indptr=np.searchsorted(source, np.arange(nodes + 1)).astype(np.int32),
        block=np.repeat(np.arange(len(heads)), count),
        origin=merged["origin"].astype(np.int64),
        arc=arc,
        way=np.where(way < 0, net.ways, way),
        base=merged["base"].astype(np.float64),
        rest=merged["rest"].astype(np.float64),
        beyond=beyond,
        least=least,
        keys=source * nodes + target,
    )


def costs_of(instance: Instance, run: Run, reach: Reach) -> Costs:
    """For each size, ``(a,)`` least cost of a useful route over each of a run's arcs; infinite where it can't go.

    A thicker cable that is nowhere better is only of use where the thinner one before it would be too long.
    """
    out = []
    for o, size in enumerate(run.sizes):
        floor = 0.0
        if o:
            one = run.sizes[o - 1]
            thin = (one.rate, one.area_mm2, one.across_mm, one.fixed)
            thick = (size.rate, size.area_mm2, size.across_mm, size.fixed)
            if all(a <= b for a, b in zip(thin, thick, strict=True)):
                floor = one.longest_m
        fits = passes(instance.network, reach.arc, size) & (reach.length <= size.longest_m + EPS_M)
        out.append(np.where(fits, size.fixed + size.rate * np.maximum(reach.metres, floor), np.inf))
    return tuple(out)
