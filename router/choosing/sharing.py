"""Looms shared where that is worth it: a price on distinct metres of loom beside copper, with a bound of its own.

A loom's stretch is a stretch of a bay between two mouths, or the inside of a way; it is paid once, however many runs lie along
it. Stretches between two devices in one bay, which pass no way, are left out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ribway.router.choosing.instances import posed, routes_of
from ribway.router.faults import RouterFaults
from ribway.router.paths.board import ways_of
from ribway.router.paths.search import Path
from ribway.router.planning import Planning, State
from ribway.router.proof.from_space import MM2, Adapted, admitted, paths_of
from ribway.router.proof.instance import NO_WAY, Instance, Ints, Network, Route, route_of
from ribway.router.proof.looms import ROOM_MM2, WIDE_MM
from ribway.router.proof.plans import cost_of
from ribway.router.proof.result import Limits, Result
from ribway.router.proof.solve import solve
from ribway.router.rising import grown, lowered
from ribway.router.space.network import Network as Space
from ribway.router.space.types import NOWHERE

Array = NDArray[np.float64]

LIMITS = Limits(rounds=80, nodes=20, sweeps=10, choice_nodes=10)
TRIES = 6


@dataclass(frozen=True, eq=False)
class Loomed:
    """An instance with a price on looms.

    Args:
        instance: to be solved; ways from the space's number on are stretches of bays.
        arc: ``(e,)`` arc of the instance it was made from, -1 for what enters a stretch.
    """

    instance: Instance
    arc: Ints


@dataclass(frozen=True, eq=False)
class Stretches:
    """What lies along what.

    Args:
        piece: ``(e,)`` stretch of a bay that each of the planner's edges lies along; -1 if it is left out.
        metres: ``(p,)`` length of each stretch [m].
        way_m: ``(w,)`` length of each way [m].
    """

    piece: Ints
    metres: Array
    way_m: Array

    def loom_m(self, network: Space, paths: Sequence[Path | None]) -> float:
        """Distinct metres along which at least one path lies [m]."""
        pieces = {int(self.piece[edge]) for path in paths if path is not None for edge in path.edges} - {-1}
        ways = {way for path in paths for way in ways_of(network, path)}
        return math.fsum([*(float(self.metres[one]) for one in pieces), *(float(self.way_m[one]) for one in ways)])


def stretches_of(network: Space) -> Stretches:
    """The stretches of a network: there and back are one.

    Args:
        network: the planner's.
    """
    way_m = np.array([way.length_m for way in network.space.ways])
    into = np.where(network.target < 2 * network.ways, network.target // 2, -1)
    from_way = network.source < 2 * network.ways
    counted = (network.bay != NOWHERE) & (from_way | (into >= 0))
    low, high = np.minimum(network.first, network.last), np.maximum(network.first, network.last)
    rows = np.stack([network.bay, low, high], axis=1)[counted]
    unique, place = np.unique(rows, axis=0, return_inverse=True)
    piece = np.full(len(network.target), -1, dtype=np.int64)
    piece[counted] = place.ravel()
    metres = np.zeros(len(unique))
    own = network.length - np.where(into >= 0, np.append(way_m, 0.0)[into], 0.0)
    np.maximum.at(metres, piece[counted], np.maximum(own, 0.0)[counted])
    return Stretches(piece, metres, way_m)


def loomed(adapted: Adapted, stretches: Stretches, price_per_m: float) -> Loomed:
    """The instance with each stretch and each way paid once.

    Args:
        adapted: the instance, and which of the planner's edges its arcs are.
        stretches: of the planner's network.
        price_per_m: of a metre of loom.
    """
    net, piece = adapted.instance.network, stretches.piece[adapted.edges]
    arcs = len(net.source)
    middle, zero = net.nodes + np.arange(arcs), np.zeros(arcs)
    pieces = len(stretches.metres)
    doubled = Network(
        net.nodes + arcs,
        np.concatenate([net.source, middle]),
        np.concatenate([middle, net.target]),
        np.concatenate([zero, net.length_m]),
        np.concatenate([zero, net.extra_m]),
        np.concatenate([np.where(piece >= 0, net.ways + piece, NO_WAY), net.way]),
        np.concatenate([net.limit_mm2, np.full(pieces, ROOM_MM2)]),
        np.concatenate([net.bore_mm, np.full(pieces, WIDE_MM)]),
        np.concatenate([net.openings + price_per_m * stretches.way_m, price_per_m * stretches.metres]),
    )
    arc = np.concatenate([np.full(arcs, NO_WAY), np.arange(arcs)])
    return Loomed(replace(adapted.instance, network=doubled), arc)


def least_with_looms(adapted: Adapted, network: Space, price_per_m: float) -> float:
    """Copper and looms that no routes for these cables do with less, from our own duals.

    Args:
        adapted: the instance of copper alone.
        network: the planner's.
        price_per_m: of a metre of loom, in the instance's own measure.
    """
    made = loomed(adapted, stretches_of(network), price_per_m)
    return solve(made.instance, replace(LIMITS, nodes=0)).bound


def shared(planning: Planning, state: State, price_per_m: float) -> State:
    """A state whose runs share looms where copper and looms together cost less; the same state if none was found.

    Args:
        planning: what is planned.
        state: as it was found without a price on looms.
        price_per_m: kilograms of copper that a metre of loom is worth.
    """
    if not state.whole:
        return state
    asked, stretches = posed(planning, state), stretches_of(planning.network)
    made = loomed(asked.adapted, stretches, price_per_m)
    best, least = state, _worth(planning, state, stretches, price_per_m)
    instance = made.instance
    for _ in range(TRIES):
        found: Result = solve(instance, LIMITS)
        if not found.routes:
            break
        routes = _back(asked.adapted.instance, made, found.routes)
        paths = paths_of(asked.adapted, routes)
        refused = admitted(planning.network, asked.jobs, paths, planning.separation)
        if not refused:
            other = resized(planning, state, paths)
            if other is not None and _worth(planning, other, stretches, price_per_m) < least - 1e-9:
                best = other
            break
        limit = instance.network.limit_mm2.copy()
        for way in refused:
            load = math.fsum(asked.jobs[route.run].item.area_m2 * MM2 for route in routes if way in route.ways)
            limit[way] = min(limit[way], load * (1.0 - 1e-6))
        instance = replace(instance, network=replace(instance.network, limit_mm2=limit))
    return best


def _back(instance: Instance, made: Loomed, routes: Sequence[Route]) -> tuple[Route, ...]:
    return tuple(
        route_of(instance, route.run, route.size, [int(made.arc[a]) for a in route.arcs if made.arc[a] != NO_WAY])
        for route in routes
    )


def _worth(planning: Planning, state: State, stretches: Stretches, price_per_m: float) -> float:
    """What a state costs by the search's own measure, looms included."""
    asked = posed(planning, state)
    routes = routes_of(asked.adapted, state.paths, planning)
    return cost_of(asked.adapted.instance, routes) + price_per_m * stretches.loom_m(planning.network, state.paths)


def resized(planning: Planning, state: State, paths: Sequence[Path | None]) -> State | None:
    """Other routes with cables that hold over them; None if some run ends without a route, or no size in stock will do.

    Args:
        planning: what is planned.
        state: whose sizes to begin with.
        paths: the routes; led anew only where thicker cables no longer fit.
    """

    def route(index: Mapping[str, int], known: Sequence[Path | None]) -> Sequence[Path | None]:
        return known if planning.fits(index, known) else planning.negotiator.route(planning.jobs(index), known).paths

    try:
        found = grown(planning, state.index, paths, route)
    except RouterFaults:
        return None
    return lowered(planning, found, planning.feeds) if found.whole else None
