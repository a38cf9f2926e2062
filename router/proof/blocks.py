"""One graph that holds, side by side, the arcs that each run in each size may use within a budget."""

from __future__ import annotations

from collections.abc import Iterable, MutableMapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.proof.instance import Array, Instance, Ints, Run
from ribway.router.proof.limited import EPS_M, cheapest_on
from ribway.router.proof.reach import Reach, Reaches, passes

Costs = tuple[Array, ...]
Keep = MutableMapping[tuple[int, int], Ints]
SAMPLE = 25  # runs from which the number of arcs is estimated


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
        beyond: ``(k,)`` least cost of a route that uses an arc left out for its budget.
        least: ``(k,)`` least cost of a run by distances alone.
        keys: ``(a,)`` ``source * nodes + target``, rising: finds an arc by its ends.
        first_node: ``(b + 1,)`` first node of each block.
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
    beyond: Array
    least: Array
    keys: Ints
    first_node: Ints

    def span(self, number: int) -> tuple[slice, int, int]:
        """Arcs of a block, its first node, and the first node after it."""
        low = int(self.first_node[number])
        return slice(int(self.first[number]), int(self.first[number + 1])), low, int(self.first_node[number + 1])

    def within(self, number: int, cost: Array, length_m: Array, reach: Reach, longest_m: float) -> tuple[float, Ints]:
        """Cheapest path of a block that is no longer than a limit.

        Args:
            number: of the block.
            cost: ``(p,)`` of its arcs.
            length_m: ``(e,)`` of all arcs of the network [m].
            reach: of the block's run.
            longest_m: limit [m].

        Returns:
            Cost without what is fixed, and the places of its arcs within the block; infinity and nothing if there is none.
        """
        piece, low, high = self.span(number)
        ends = int(self.sources[number]) - low, int(self.sinks[number]) - low
        indptr = self.indptr[low : high + 1] - self.indptr[low]
        metres, rest = length_m[self.arc[piece]], reach.rest[self.origin[piece]]
        return cheapest_on(indptr, self.target32[piece] - np.int32(low), cost, metres, rest, ends, longest_m)


@dataclass(frozen=True, eq=False)
class Piece:
    """The block of one run in one size, nodes counted from 0; arguments as in `Blocks`."""

    size: int
    start: int
    end: int
    nodes: int
    source: NDArray[np.int32]
    target: NDArray[np.int32]
    origin: NDArray[np.int32]
    arc: NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Pieces:
    """All blocks of one run.

    Args:
        pieces: one for each size that has arcs within the budget.
        beyond: least cost of a route that uses an arc left out for the budget.
        least: least cost of each size by distances alone; infinite where it does not go.
    """

    pieces: tuple[Piece, ...]
    beyond: float
    least: tuple[float, ...]


class Store:
    """Pieces of all runs; those of a run are made anew only when its budget or what is kept of it changes."""

    def __init__(self, instance: Instance, twin: Store | None = None) -> None:
        """Args: instance; ``twin``: another store of it, whose distances serve here too."""
        self.instance = instance
        self.reaches: Reaches = Reaches(instance) if twin is None else twin.reaches
        runs = range(len(instance.runs))
        self._made: list[Pieces | None] = [None for _ in runs]
        self.least_by_size: tuple[tuple[float, ...], ...] = (
            tuple(self._least(k) for k in runs) if twin is None else twin.least_by_size
        )
        self.least: Array = np.array([min(some, default=np.inf) for some in self.least_by_size])

    def widest(self, factors: Sequence[float], most: int) -> float:
        """The greatest of some factors (falling) whose budgets, times least costs, hold about so many arcs at most."""
        runs = len(self.instance.runs)
        sample = range(0, runs, max(1, runs // SAMPLE))
        count = np.zeros(len(factors))
        for k in sample:
            for cost in costs_of(self.instance, self.instance.runs[k], self.reaches.of(k)):
                count += [(cost <= factor * self.least[k]).sum() for factor in factors]
        fits = np.flatnonzero(count * runs / max(1, len(sample)) <= most)
        return factors[int(fits[0])] if len(fits) else factors[-1]

    def _least(self, k: int) -> tuple[float, ...]:
        costs = costs_of(self.instance, self.instance.runs[k], self.reaches.of(k))
        return tuple(float(np.min(cost, initial=np.inf)) for cost in costs)

    def forget(self, runs: Iterable[int]) -> None:
        """Budgets or what is kept of these runs have changed."""
        for run in runs:
            self._made[run] = None

    def pieces(self, k: int, budget: float, keep: Keep) -> Pieces:
        """Pieces of a run; what was made before is handed out until it is forgotten."""
        made = self._made[k]
        if made is None:
            made = self._made[k] = self._make(k, budget, keep)
        return made

    def _make(self, k: int, budget: float, keep: Keep) -> Pieces:
        reach, beyond, out = self.reaches.of(k), np.inf, []
        for o, cost in enumerate(costs_of(self.instance, self.instance.runs[k], reach)):
            if (k, o) in keep:
                chosen = keep[k, o]
            else:
                inside = cost <= budget
                chosen = np.flatnonzero(inside & (cost < np.inf))
                beyond = min(beyond, float(np.min(cost, where=~inside, initial=np.inf)))
            if len(chosen):
                out.append(_piece(o, reach, chosen))
        return Pieces(tuple(out), beyond, self.least_by_size[k])


def _piece(size: int, reach: Reach, chosen: Ints) -> Piece:
    a, b = reach.source[chosen], reach.target[chosen]
    met = np.zeros(max(reach.start, reach.end, int(a.max()), int(b.max())) + 1, dtype=bool)
    for ends in (a, b, [reach.start, reach.end]):
        met[ends] = True
    local = np.cumsum(met) - 1
    a, b = local[a], local[b]
    order = np.lexsort((b, a))
    short = (one.astype(np.int32) for one in (a[order], b[order], chosen[order], reach.arc[chosen][order]))
    return Piece(size, int(local[reach.start]), int(local[reach.end]), int(local[-1]) + 1, *short)


def build_blocks(store: Store, budgets: Array, keep: Keep) -> Blocks:
    """Blocks with the arcs of all routes within a budget.

    Args:
        store: pieces of the runs.
        budgets: ``(k,)`` costs.
        keep: by run and size, which of the run's own arcs are left after thinning; all if it is not there.
    """
    instance, net = store.instance, store.instance.network
    made = [store.pieces(k, float(budgets[k]), keep) for k in range(len(instance.runs))]
    pairs = [(k, piece) for k, one in enumerate(made) for piece in one.pieces]
    sizes = [instance.runs[k].sizes[piece.size] for k, piece in pairs]
    count = np.array([len(piece.arc) for _, piece in pairs], dtype=np.int64)
    nodes = np.array([piece.nodes for _, piece in pairs], dtype=np.int64)
    before = np.concatenate([[0], np.cumsum(nodes)])
    total, block = int(before[-1]), np.repeat(np.arange(len(pairs)), count)

    def joined(name: str) -> Ints:
        empty = np.empty(0, dtype=np.int64)
        return np.concatenate([empty, *(getattr(piece, name) for _, piece in pairs)]).astype(np.int64)

    source, target, arc = joined("source") + before[block], joined("target") + before[block], joined("arc")
    way, rate = net.way[arc], np.array([size.rate for size in sizes])
    return Blocks(
        run=np.array([k for k, _ in pairs], dtype=np.int64),
        size=np.array([piece.size for _, piece in pairs], dtype=np.int64),
        first=np.concatenate([[0], np.cumsum(count)]),
        sources=np.array([piece.start for _, piece in pairs], dtype=np.int64) + before[:-1],
        sinks=np.array([piece.end for _, piece in pairs], dtype=np.int64) + before[:-1],
        area=np.array([size.area_mm2 for size in sizes]),
        fixed=np.array([size.fixed for size in sizes]),
        nodes=total,
        source=source,
        target=target,
        target32=target.astype(np.int32),
        indptr=np.concatenate([[0], np.cumsum(np.bincount(source, minlength=total))]).astype(np.int32),
        block=block,
        origin=joined("origin"),
        arc=arc,
        way=np.where(way < 0, net.ways, way),
        base=rate[block] * (net.length_m + net.extra_m)[arc],
        beyond=np.array([one.beyond for one in made]),
        least=store.least,
        keys=source * total + target,
        first_node=before,
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
