"""Other routes that are truly other: of one run, and of whole plans."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.proof.blocks import costs_of
from ribway.router.proof.instance import Array, Instance, Route, route_of
from ribway.router.proof.limited import EPS_M
from ribway.router.proof.reach import Reach, Reaches
from ribway.router.proof.result import Limits, Result
from ribway.router.proof.rules import Overlap
from ribway.router.proof.solve import Search

RAISE = 0.15  # by which the metres of a route are raised each time it is found
TRIALS = 40


def different_routes(
    instance: Instance, run: int, most: int, shared: float = 0.5, longer: float = 1.35
) -> tuple[Route, ...]:
    """Routes of a run, alone in the network, of which no two share much.

    The penalty method: what was found is made longer, and the search begins anew. A route is kept if it shares less than
    a part of its length with each that was kept. It may miss some, and never keeps one that breaks the rule.

    Args:
        instance: network and runs.
        run: index.
        most: how many at most.
        shared: greatest share of the shorter one's length that two may have in common.
        longer: no route costs more than this times the best.

    Returns:
        Routes by rising cost, the best first.
    """
    reach = Reaches(instance).of(run)
    costs = costs_of(instance, instance.runs[run], reach)
    kept: list[Route] = []
    raised = np.ones(len(reach.arc))
    place = {int(arc): i for i, arc in enumerate(reach.arc)}
    best = math.inf
    for _ in range(TRIALS):
        route = _cheapest(instance, run, reach, costs, raised)
        if route is None or len(kept) == most:
            break
        raised[[place[arc] for arc in route.arcs if arc in place]] += RAISE
        if route.length_m > instance.runs[run].sizes[route.size].longest_m + EPS_M or len(set(route.ways)) < len(
            route.ways
        ):
            continue
        best = min(best, route.cost)
        if route.cost <= longer * best and all(overlap(instance, route, one) <= shared for one in kept):
            kept.append(route)
    return tuple(sorted(kept, key=lambda one: one.cost))


def overlap(instance: Instance, one: Route, other: Route) -> float:
    """Metres that two routes have in common, as a share of the shorter one's; an arc and its way back count as one."""
    net = instance.network

    def pieces(route: Route) -> dict[tuple[int, int], float]:
        ends = ((int(net.source[arc]), int(net.target[arc]), float(net.length_m[arc])) for arc in route.arcs)
        return {(min(a, b), max(a, b)): metres for a, b, metres in ends}

    first, second = pieces(one), pieces(other)
    shorter = min(one.length_m, other.length_m)
    return math.fsum(first[piece] for piece in first.keys() & second.keys()) / shorter if shorter > 0.0 else 1.0


def _cheapest(instance: Instance, run: int, reach: Reach, costs: Sequence[Array], raised: Array) -> Route | None:
    """Cheapest by raised metres, in the thinnest size that the length allows."""
    net, best, chosen = instance.network, math.inf, None
    nodes = int(max(reach.source.max(initial=0), reach.target.max(initial=0), reach.start, reach.end)) + 1
    ends = {(a, b): int(arc) for a, b, arc in zip(reach.source.tolist(), reach.target.tolist(), reach.arc, strict=True)}
    for size, cost in enumerate(costs):
        use = np.isfinite(cost)
        rate = instance.runs[run].sizes[size].rate
        weight = (rate * (net.length_m[reach.arc] + net.extra_m[reach.arc]) * raised)[use]
        graph = csr_array((weight, (reach.source[use], reach.target[use])), shape=(nodes, nodes))
        away, before = dijkstra(graph, indices=reach.start, return_predecessors=True)  # type: ignore[call-overload]
        if not np.isfinite(away[reach.end]):
            continue
        arcs, node = [], reach.end
        while node != reach.start:
            last = int(before[node])
            arcs.append(ends[last, node])
            node = last
        route = route_of(instance, run, size, arcs[::-1])
        fits = route.length_m <= instance.runs[run].sizes[size].longest_m + EPS_M
        if fits and float(away[reach.end]) < best:
            best, chosen = float(away[reach.end]), route
    return chosen


def other_plans(
    instance: Instance, plan: Sequence[Route], differ: int, within: float, most: int = 1, limits: Limits | None = None
) -> tuple[Result, ...]:
    """Plans that differ from a plan, and from each other, each with a bound of its own.

    Two plans differ by the passages of a run through a way that the one has and the other has not. The bound of each is on
    the cost of all plans that differ that much; if it is above ``within``, there is proof that no more are to be had.

    Args:
        instance: what is solved.
        plan: to differ from.
        differ: passages of each earlier plan that are to be given up, at least.
        within: greatest cost.
        most: how many to find.
        limits: where each search stops.

    Returns:
        Plans in the order found.
    """
    known, out = [plan], []
    for _ in range(most):
        rules = []
        for one in known:
            passages = frozenset((route.run, way) for route in one for way in route.ways)
            rules.append(Overlap(passages, len(passages) - differ))
        found = Search(instance, limits or Limits(), time.perf_counter, rules).run()
        if not found.routes or found.cost > within:
            break
        out.append(found)
        known.append(found.routes)
    return tuple(out)
