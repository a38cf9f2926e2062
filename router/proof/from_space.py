"""From the planner's network and jobs to an instance, and from a plan back to the planner's paths.

What an instance leaves out only makes its bound lower: plugs beside other cables, packing, the charge for a way that nobody
else uses, and what couples sizes across runs. So the bound holds for the planner's rules too, while a plan from here has to
be admitted by them: `admitted` says whether it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ribway.models.told import Told, untold
from ribway.router.paths.admission import EPS, Item, Separation, admits
from ribway.router.paths.airs import barred_ways
from ribway.router.paths.board import rooms_of
from ribway.router.paths.jobs import Job
from ribway.router.paths.search import Path
from ribway.router.proof.instance import NO_WAY, Array, Instance, Ints, Route, Run, Size
from ribway.router.proof.instance import Network as Arcs
from ribway.router.proof.result import Limits, Result
from ribway.router.proof.solve import solve
from ribway.router.space.network import Network

TRIES = 12
MM2 = 1e6


@dataclass(frozen=True, eq=False)
class Adapted:
    """An instance, and which of the planner's edges its arcs are.

    Args:
        instance: to be solved.
        edges: ``(e,)`` edge of each arc.
    """

    instance: Instance
    edges: Ints


def adapt(
    network: Network,
    jobs: Sequence[Job],
    separation: Separation,
    shut: Sequence[Array],
    rates: Sequence[float],
    fixed: Sequence[float],
    bend_m: float = 0.0,
    drill_m: float = 0.0,
) -> Adapted:
    """The instance of jobs in a network, each in the cable it has.

    Args:
        network: the planner's.
        jobs: runs, all of them.
        separation: which kinds may share a way.
        shut: for each job, ``(w,)`` infinite where it does not pass even alone (`Negotiator.alone`).
        rates: for each job, cost of a metre: the job's weight, or kilograms of copper a metre.
        fixed: for each job, cost whatever the route: copper of tails, slack and stubs.
        bend_m: metres charged for a bend; 0 if only copper counts.
        drill_m: metres charged for a hole to drill; 0 if only copper counts.
    """
    ways = network.space.ways
    way = np.where(network.target < 2 * network.ways, network.target // 2, NO_WAY)
    drilled = np.array([one.state == "drill" for one in ways] + [False])
    extra = bend_m * network.turns + drill_m * drilled[way]
    # Of edges with both ends in common the cheapest is all that a best route needs.
    order = np.lexsort((np.arange(len(way)), network.length + extra, network.target, network.source))
    first = np.ones(len(order), dtype=bool)
    a, b = network.source[order], network.target[order]
    first[1:] = (a[1:] != a[:-1]) | (b[1:] != b[:-1])
    edges = np.sort(order[first])
    free = [
        0.0 if one.closed else max(0.0, (one.limit + EPS) * one.area_m2 - np.pi / 4.0 * one.taken_m**2) * MM2
        for one in ways
    ]
    arcs = Arcs(
        network.nodes,
        network.source[edges],
        network.target[edges],
        network.length[edges],
        extra[edges],
        way[edges],
        np.array(free, dtype=np.float64),
        np.full(len(ways), np.inf),  # widths are in what is shut
    )
    runs = tuple(
        Run(
            job.item.run,
            network.leaving(job.start),
            network.reaching(job.end),
            _kind(job.item),
            (Size(rate, job.item.area_m2 * MM2, fixed=least),),
            job.via,
            _barred(job, len(ways))
            | barred_ways(network, job.keeps_out)
            | frozenset(np.flatnonzero(np.isinf(closed)).tolist()),
        )
        for job, closed, rate, least in zip(jobs, shut, rates, fixed, strict=True)
    )
    items = {_kind(job.item): job.item for job in jobs}
    apart = frozenset(
        (one, other)
        for one in sorted(items)
        for other in sorted(items)
        if one < other and not separation.allows(items[one], items[other])
    )
    return Adapted(Instance(arcs, runs, apart), edges)


def _barred(job: Job, ways: int) -> frozenset[int]:
    """Ways a job must not pass; all but those that are named where a person gave its way by hand."""
    return job.avoid if not job.exact else frozenset(range(ways)) - frozenset(job.via)


def _kind(item: Item) -> str:
    """All that the rule of keeping apart sees of a cable."""
    return f"{item.kind} {'sheathed' if item.sheathed else 'bare'}"


def paths_of(adapted: Adapted, routes: Sequence[Route]) -> tuple[Path, ...]:
    """The planner's paths of a plan; their cost is that of the instance."""
    ordered = sorted(routes, key=lambda route: route.run)
    return tuple(Path(tuple(int(edge) for edge in adapted.edges[list(route.arcs)]), route.cost) for route in ordered)


def admitted(network: Network, jobs: Sequence[Job], paths: Sequence[Path | None], separation: Separation) -> list[int]:
    """Ways that do not admit the jobs whose paths pass them, by the planner's own rules; none if all is well."""
    inside: dict[int, list[Item]] = {}
    for job, path in zip(jobs, paths, strict=True):
        for way in rooms_of(network, path):
            inside.setdefault(way, []).append(job.item)
    return [way for way, items in sorted(inside.items()) if not admits(network.space.ways[way], items, separation)]


@dataclass(frozen=True, eq=False)
class Proved:
    """What `best_admitted` found.

    Args:
        paths: one a job, admitted by the planner's rules; empty if none were found.
        cost: of these; infinite without any.
        result: of the instance as it is: its bound holds for every set of paths that the planner may choose.
    """

    paths: tuple[Path, ...]
    cost: float
    result: Result


def best_admitted(
    network: Network,
    jobs: Sequence[Job],
    adapted: Adapted,
    separation: Separation,
    limits: Limits | None = None,
    told: Told = untold,
) -> Proved:
    """Paths that the planner's own rules admit, and a bound that holds for all such paths.

    Where a plan meets a way that does not take its cables after all (plugs, packing), that way's limit is lowered to just
    under what the plan put there, and all is solved again. The bound stays that of the instance before.

    Args:
        network: the planner's.
        jobs: runs, as they were adapted.
        adapted: their instance.
        separation: which kinds may share a way.
        limits: where each search stops.
        told: as `solve`.
    """
    first = solve(adapted.instance, limits, told=told)
    found, trial = first, adapted
    for _ in range(TRIES):
        if not found.routes:
            break
        paths = paths_of(trial, found.routes)
        refused = admitted(network, jobs, paths, separation)
        if not refused:
            return Proved(paths, found.cost, first)
        limit = trial.instance.network.limit_mm2.copy()
        for way in refused:
            load = sum(jobs[route.run].item.area_m2 * MM2 for route in found.routes if way in route.ways)
            limit[way] = min(limit[way], load * (1.0 - 1e-6))
        tighter = replace(trial.instance, network=replace(trial.instance.network, limit_mm2=limit))
        trial = replace(trial, instance=tighter)
        found = solve(tighter, limits, told=told)
    return Proved((), float("inf"), first)
