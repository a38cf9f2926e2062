"""What is to be solved: a network of arcs and ways, and the runs that are to be led through it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

NO_WAY = -1
FILL_EPS = 1e-9  # a way counts as full above its limit by this share


class InstanceFault(ValueError):
    """An instance contradicts itself; the message says where."""


@dataclass(frozen=True, eq=False)
class Network:
    """Directed arcs between nodes; an arc may lead through one way.

    Args:
        nodes: number of nodes.
        source: ``(e,)`` node an arc starts from.
        target: ``(e,)`` node it leads to; no two arcs have both ends in common.
        length_m: ``(e,)`` metres of cable along it.
        extra_m: ``(e,)`` metres charged beside these (bends, drilling), not part of any length.
        way: ``(e,)`` way that the arc passes, or -1.
        limit_mm2: ``(w,)`` area of cables that a way takes at most.
        bore_mm: ``(w,)`` widest cable that goes through a way by itself.
        opening: ``(w,)`` cost of a way if any run passes it at all (drilling, an edge to dress, a loom's metres); empty
            if none costs anything.
    """

    nodes: int
    source: Ints
    target: Ints
    length_m: Array
    extra_m: Array
    way: Ints
    limit_mm2: Array
    bore_mm: Array
    opening: Array = field(default_factory=lambda: np.zeros(0))

    @property
    def openings(self) -> Array:
        """``(w,)`` cost of each way if it is passed at all."""
        return self.opening if len(self.opening) else np.zeros(self.ways)

    @property
    def ways(self) -> int:
        """Number of ways."""
        return len(self.limit_mm2)


@dataclass(frozen=True)
class Size:
    """One cable that a run could be made of.

    Args:
        rate: cost of a metre, in whatever is counted (kg of copper, money).
        area_mm2: share of a way's limit that it takes [mm2].
        across_mm: smallest bore that it goes through [mm].
        longest_m: greatest length at which it may be used [m].
        fixed: cost that does not depend on the route (tails).
    """

    rate: float
    area_mm2: float
    across_mm: float = 0.0
    longest_m: float = math.inf
    fixed: float = 0.0


@dataclass(frozen=True)
class Run:
    """One run.

    Args:
        name: for people.
        start: node it leaves from.
        end: node it ends at.
        kind: runs of kinds that are to be kept apart share no way.
        sizes: cables it could be made of.
        via: ways to be passed, in this order.
        avoid: ways not to be passed.
    """

    name: str
    start: int
    end: int
    kind: str
    sizes: tuple[Size, ...]
    via: tuple[int, ...] = ()
    avoid: frozenset[int] = frozenset()


@dataclass(frozen=True, eq=False)
class Instance:
    """A network, the runs, and which kinds of run may not share a way.

    Args:
        network: where runs may lie.
        runs: all of them.
        apart: pairs of kinds that share no way.

    Raises:
        InstanceFault: something contradicts itself.
    """

    network: Network
    runs: tuple[Run, ...]
    apart: frozenset[tuple[str, str]] = field(default_factory=frozenset)

    def __post_init__(self) -> None:
        faults = [*_network_faults(self.network), *_run_faults(self)]
        if faults:
            raise InstanceFault("; ".join(faults))

    def keeps_apart(self, one: str, other: str) -> bool:
        """Whether two kinds may not share a way."""
        return (one, other) in self.apart or (other, one) in self.apart


@dataclass(frozen=True)
class Route:
    """A run with a size and a path.

    Args:
        run: index of the run.
        size: index into its sizes.
        arcs: of the network, in order.
        ways: passed, in order; none twice.
        length_m: metres along it [m].
        cost: fixed cost of the size, and rate times length and extra.
    """

    run: int
    size: int
    arcs: tuple[int, ...]
    ways: tuple[int, ...]
    length_m: float
    cost: float

    @property
    def key(self) -> tuple[int, int, frozenset[int]]:
        """What tells it from others of the same worth: run, size and the set of ways."""
        return (self.run, self.size, frozenset(self.ways))


def route_of(instance: Instance, run: int, size: int, arcs: Iterable[int]) -> Route:
    """A route with its length and cost worked out from the arcs, as a correctly rounded sum."""
    net, chosen = instance.network, instance.runs[run].sizes[size]
    own = tuple(int(arc) for arc in arcs)
    length = math.fsum(float(net.length_m[arc]) for arc in own)
    extra = math.fsum(float(net.extra_m[arc]) for arc in own)
    ways = tuple(int(net.way[arc]) for arc in own if net.way[arc] != NO_WAY)
    return Route(run, size, own, ways, length, chosen.fixed + chosen.rate * (length + extra))


def _network_faults(net: Network) -> list[str]:
    out = []
    arcs = len(net.source)
    for name, values in (
        ("target", net.target),
        ("way", net.way),
        ("length_m", net.length_m),
        ("extra_m", net.extra_m),
    ):
        if len(values) != arcs:
            out.append(f"network: {len(values)} values of {name} for {arcs} arcs")
    if len(net.bore_mm) != net.ways:
        out.append(f"network: {len(net.bore_mm)} bores for {net.ways} ways")
    if len(net.opening) not in (0, net.ways) or not (net.openings >= 0.0).all():
        out.append("network: opening costs must be none, or one a way and not negative")
    if out or not arcs:
        return out
    if min(net.source.min(), net.target.min()) < 0 or max(net.source.max(), net.target.max()) >= net.nodes:
        out.append(f"network: an arc's end is no node of 0 to {net.nodes - 1}")
    if net.way.min() < NO_WAY or net.way.max() >= net.ways:
        out.append(f"network: an arc's way is none of -1 to {net.ways - 1}")
    if not (np.isfinite(net.length_m).all() and (net.length_m >= 0).all() and (net.extra_m >= 0).all()):
        out.append("network: lengths and extra metres must be finite and not negative")
    if len(np.unique(net.source * net.nodes + net.target)) != arcs:
        out.append("network: two arcs have both ends in common")
    return out


def _run_faults(instance: Instance) -> list[str]:
    out = []
    for run in instance.runs:
        if not (0 <= run.start < instance.network.nodes and 0 <= run.end < instance.network.nodes):
            out.append(f"run {run.name}: start or end is no node")
        elif run.start == run.end:
            out.append(f"run {run.name}: starts where it ends")
        if not run.sizes:
            out.append(f"run {run.name}: no size to choose from")
        if any(size.rate < 0 or size.area_mm2 < 0 or size.fixed < 0 for size in run.sizes):
            out.append(f"run {run.name}: a size has a negative rate, area or fixed cost")
        if any(not 0 <= way < instance.network.ways for way in (*run.via, *run.avoid)):
            out.append(f"run {run.name}: via or avoid names no way")
    out += [f"kind {one}: can't be kept apart from itself" for one, other in sorted(instance.apart) if one == other]
    return out
