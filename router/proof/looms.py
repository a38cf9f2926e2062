"""Sharing a loom: metres that any run lies along are paid once, beside the copper of every run."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ribway.router.proof.instance import NO_WAY, Array, Instance, Ints, Network, Route, route_of
from ribway.router.proof.result import Limits, Result
from ribway.router.proof.solve import solve

WIDE_MM, ROOM_MM2 = 1e9, 1e12  # a stretch in the open takes everything


@dataclass(frozen=True, eq=False)
class Loomed:
    """An instance in which each stretch of loom is a way that costs its metres once.

    Args:
        instance: to be solved; ways from ``ways`` on are stretches.
        ways: ways of the instance it was made from.
        arc: ``(e,)`` arc it was made from, -1 for the first half of a halved one.
    """

    instance: Instance
    ways: int
    arc: Ints


def stretches_of(network: Network) -> Ints:
    """``(e,)`` stretch of each arc: an arc and the arc back are one."""
    ends = np.sort(np.stack([network.source, network.target], axis=1), axis=1)
    return np.asarray(np.unique(ends, axis=0, return_inverse=True)[1], dtype=np.int64).ravel()


def loomed(instance: Instance, price_per_m: float, stretch: Ints | None = None) -> Loomed:
    """The instance with a price on distinct metres of loom.

    Every arc becomes two: the first passes its stretch, the second the way that the arc passed.

    Args:
        instance: without it.
        price_per_m: cost of a metre along which at least one run lies.
        stretch: ``(e,)`` which arcs lie along one another; the arc and the arc back if None.
    """
    net = instance.network
    piece = stretches_of(net) if stretch is None else stretch
    arcs, pieces = len(net.source), int(piece.max(initial=-1)) + 1
    metres: Array = np.zeros(pieces)
    np.maximum.at(metres, piece, net.length_m)
    middle = net.nodes + np.arange(arcs)
    zero = np.zeros(arcs)
    doubled = Network(
        net.nodes + arcs,
        np.concatenate([net.source, middle]),
        np.concatenate([middle, net.target]),
        np.concatenate([zero, net.length_m]),
        np.concatenate([zero, net.extra_m]),
        np.concatenate([net.ways + piece, net.way]),
        np.concatenate([net.limit_mm2, np.full(pieces, ROOM_MM2)]),
        np.concatenate([net.bore_mm, np.full(pieces, WIDE_MM)]),
        np.concatenate([net.openings, price_per_m * metres]),
    )
    arc = np.concatenate([np.full(arcs, NO_WAY), np.arange(arcs)])
    return Loomed(replace(instance, network=doubled), net.ways, arc)


@dataclass(frozen=True)
class LoomResult:
    """A plan that shares looms.

    Args:
        routes: in the instance as it was.
        copper: cost of the routes.
        loom_m: distinct metres that any run lies along [m].
        result: cost, bound and gap with the price of looms.
    """

    routes: tuple[Route, ...]
    copper: float
    loom_m: float
    result: Result


def solve_with_looms(
    instance: Instance,
    price_per_m: float,
    limits: Limits | None = None,
    search: Callable[[Instance, Limits | None], Result] = solve,
) -> LoomResult:
    """All runs at once, with a price on distinct metres of loom beside copper.

    Kinds that must be apart share no stretch either, even where it leads through no way: they do not lie in one loom.

    Args:
        instance: network, runs and rules.
        price_per_m: cost of a metre of loom; 0 gives the plain plan.
        limits: where to stop.
        search: that solves.
    """
    made = loomed(instance, price_per_m)
    found = search(made.instance, limits)
    routes = tuple(_back(instance, made, route) for route in found.routes)
    return LoomResult(routes, math.fsum(route.cost for route in routes), loom_metres(instance, routes), found)


def _back(instance: Instance, made: Loomed, route: Route) -> Route:
    return route_of(instance, route.run, route.size, [int(made.arc[a]) for a in route.arcs if made.arc[a] != NO_WAY])


def loom_metres(instance: Instance, routes: Sequence[Route]) -> float:
    """Distinct metres along which at least one route lies [m]."""
    net = instance.network
    lain: dict[tuple[int, int], float] = {}
    for route in routes:
        for arc in route.arcs:
            a, b = int(net.source[arc]), int(net.target[arc])
            lain[min(a, b), max(a, b)] = float(net.length_m[arc])
    return math.fsum(lain.values())
