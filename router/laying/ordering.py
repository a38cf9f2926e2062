"""The loads of chains put into the order that takes least cable, by lengths from the network.

A length is a bound from below of the cut length between two devices: the shortest path through any opening, stubs,
slack and both tails. All runs of a chain are of one size unless the user states otherwise, so least length is least
copper at that size; whether another order might do with a thinner cable is told once the size is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations

import numpy as np
from numpy.typing import NDArray

from ribway.models.circuits import Circuit
from ribway.models.project import Project
from ribway.router.circuits.drawn import at_other_volts, limit_percent, nominal_v, own_amps
from ribway.router.circuits.patterns import head_of, order_is_free, relay_of
from ribway.router.laying.chain_order import EXACT_UP_TO, Ints, Order, cheapest_order, least_moment
from ribway.router.laying.cutting import tail_m
from ribway.router.paths.search import distances
from ribway.router.space.network import Network

TENTHS_MM = 10_000
MILLIAMPS = 1_000
NO_WAY = 10**9  # dearer than any path there is: 100 km


@dataclass(frozen=True)
class ChainOrder:
    """How the order of a circuit's loads came about.

    Args:
        searched: whether it was searched; otherwise it is as listed.
        exact: whether no order is shorter.
        count: loads that may change places.
        least_moment_am: least sum of length times running current that any order has, both in m and A; None if unknown.
    """

    searched: bool
    exact: bool
    count: int
    least_moment_am: float | None


@dataclass(frozen=True, eq=False)
class _Lengths:
    """Lengths between the devices of one chain.

    Args:
        index: row of each device.
        table: ``(n, n)`` [0.1 mm].
    """

    index: Mapping[str, int]
    table: Ints

    def between(self, a: Sequence[str], b: Sequence[str]) -> Ints:
        """Lengths from some devices to others [0.1 mm]."""
        return self.table[np.ix_([self.index[name] for name in a], [self.index[name] for name in b])]


def order_chains(project: Project, network: Network) -> tuple[Project, Mapping[str, ChainOrder]]:
    """Put the loads of every chain whose order is free into the cheapest order.

    Args:
        project: with control circuits apart.
        network: the network.

    Returns:
        The project with those loads in order, and how each order came about, by circuit.
    """
    told: dict[str, ChainOrder] = {}
    circuits = []
    for circuit in project.circuits:
        found = _ordered(circuit, project, network) if order_is_free(circuit, project.runs) else None
        if found is not None:
            circuit, told[circuit.id] = found
        circuits.append(circuit)
    return project.model_copy(update={"circuits": tuple(circuits)}), told


def _ordered(circuit: Circuit, project: Project, network: Network) -> tuple[Circuit, ChainOrder] | None:
    kinds = {device.id: device.kind for device in project.devices}
    drop = circuit.pattern == "switch drop"
    switches = _switches(circuit, kinds)
    heads, free = _heads(circuit, kinds)
    if has_one_order(circuit, kinds):
        return None
    lengths = _lengths((circuit.source, *heads[0], *free), project, network)
    between = lengths.between(free, free)
    options = []
    for head in heads:
        start = lengths.between([circuit.source if drop else (circuit.source, *head)[-1]], free)[0]
        if drop:  # the leg to the switch starts at the first lamp
            start = start + lengths.between(free, switches)[:, 0]
        order = cheapest_order(start, between)
        way_in = 0 if drop else _along((circuit.source, *head), lengths, circuit.pattern == "two-way")
        options.append((order.cost + way_in, head, start, order))
    _, head, start, order = min(options, key=lambda option: option[:2])
    names = tuple(free[place] for place in order.places)
    loads = (*names, *head) if drop else (*head, *names)
    moment = _moment(circuit, project, (head, free), (start, between), lengths, order)
    return circuit.model_copy(update={"loads": loads}), ChainOrder(True, order.exact, len(free), moment)


def has_one_order(circuit: Circuit, kinds: Mapping[str, str]) -> bool:
    """Whether there is nothing to put into order: one load behind what keeps its place.

    Args:
        circuit: a chain.
        kinds: kind by device.
    """
    heads, free = _heads(circuit, kinds)
    return len(free) < 2 and len(heads) < 2


def _heads(circuit: Circuit, kinds: Mapping[str, str]) -> tuple[list[tuple[str, ...]], list[str]]:
    """What may stand before the loads that change places, and these loads."""
    switches = _switches(circuit, kinds)
    relay = relay_of(circuit, kinds) if circuit.pattern == "relay" else ""
    heads = [tuple(switches)] if circuit.pattern == "switch drop" else [head_of(circuit, kinds)]
    if circuit.pattern == "two-way":
        heads = [tuple(head) for head in permutations(sorted(switches))]
    elif relay:
        heads = [(relay,)]
    return heads, sorted(load for load in circuit.loads if load not in heads[0])


def _switches(circuit: Circuit, kinds: Mapping[str, str]) -> list[str]:
    return [load for load in circuit.loads if kinds[load] == "switch"]


def _along(way: Sequence[str], lengths: _Lengths, travellers: bool) -> int:
    """Length of the way in, in twin cable [0.1 mm]; three cores between two-way switches count as one and a half twin."""
    steps = [int(lengths.between([a], [b])[0, 0]) for a, b in pairwise(way)]
    if travellers:
        steps[1:] = [step * 3 // 2 for step in steps[1:]]
    return sum(steps)


def _moment(
    circuit: Circuit,
    project: Project,
    names: tuple[Sequence[str], Sequence[str]],
    costs: tuple[Ints, Ints],
    lengths: _Lengths,
    order: Order,
) -> float | None:
    """A bound from below of length times current to the far end of the chain, whatever its order [A m]."""
    head, free = names
    if circuit.kind == "data" or len(free) > EXACT_UP_TO or not order.exact:
        return None
    devices = {device.id: device for device in project.devices}
    volts = nominal_v(circuit, project)
    shop = at_other_volts(circuit, project.shop)
    drawn = [own_amps(devices[name], volts, limit_percent(circuit, project.shop), shop)[0] for name in free]
    milli = np.array([round(amps * MILLIAMPS) for amps in drawn], dtype=np.int64)
    way = (circuit.source, *head) if circuit.pattern != "switch drop" else ()
    way_in = _along(way, lengths, False) if way else 0
    least = least_moment(costs[0], costs[1], milli) + way_in * int(milli.sum())
    return least / (TENTHS_MM * MILLIAMPS)


def _lengths(names: Sequence[str], project: Project, network: Network) -> _Lengths:
    """Lengths between all pairs of some devices, from one search each."""
    portals = network.space.portals
    at = {portal.device: index for index, portal in enumerate(portals)}
    rows: NDArray[np.float64] = distances(network, [at[name] for name in names])
    shop, boards = project.shop, {device.id for device in project.devices if device.kind == "board"}
    stated = {device.id: device.tail for device in project.devices}
    tails = {name: min(tail_m(stated[name], area, name in boards, shop) for area in (1.0, 4.0, 16.0)) for name in names}
    hung = {board.device: board for board in network.space.boards}
    boards_of = {device.id: hung.get(device.at.on or "") for device in project.devices}
    table = np.full((len(names), len(names)), NO_WAY, dtype=np.int64)
    for i, a in enumerate(names):
        for j, b in enumerate(names):
            path = float(rows[i, network.reaching(at[b])])
            on = boards_of[a] if boards_of[a] == boards_of[b] else None
            if i != j and on is not None:  # it lies on the board that both are fixed on
                step = portals[at[b]].point - portals[at[a]].point
                laid = (abs(float(step @ on.across)) + abs(float(step @ on.up))) * (1.0 + shop.slack / 100.0)
                table[i, j] = int((laid + 2.0 * shop.tails.terminal) * TENTHS_MM)
            elif i != j and np.isfinite(path):
                laid = (path + portals[at[a]].stub_m + portals[at[b]].stub_m) * (1.0 + shop.slack / 100.0)
                table[i, j] = int((laid + tails[a] + tails[b]) * TENTHS_MM)
    return _Lengths({name: row for row, name in enumerate(names)}, table)
