"""A finished state as an instance of all runs at once, each in the cable it has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ribway.router.cooling import kept_cool
from ribway.router.paths.jobs import Job
from ribway.router.paths.search import Path
from ribway.router.planning import Planning, State
from ribway.router.proof.from_space import Adapted, adapt
from ribway.router.proof.instance import Route, route_of

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Posed:
    """An instance with what it was made from.

    Args:
        adapted: the instance; a metre costs what it weighs against others, bends are charged in metres, and holes that
            are drilled or dressed once each.
        jobs: of the routed runs, in order, each kept out of air that its cable is too thin for.
    """

    adapted: Adapted
    jobs: tuple[Job, ...]


def posed(planning: Planning, state: State) -> Posed:
    """The instance of a state.

    Args:
        planning: what was planned.
        state: the sizes.
    """
    shop, jobs = planning.project.shop, tuple(kept_cool(planning, state, state.index))
    stub_of = {portal.device: portal.stub_m for portal in planning.space.portals}
    slack = 1.0 + shop.slack / 100.0
    fixed = []
    for run, job in zip(planning.routed, jobs, strict=True):
        cut = state.cuts.get(run.id)
        tails = 0.0 if cut is None else cut.tail_a_m + cut.tail_b_m
        fixed.append(job.weight * (slack * (stub_of[run.a] + stub_of[run.b]) + tails))
    shut = [planning.negotiator.alone(job) for job in jobs]
    rates = [job.weight * slack for job in jobs]
    adapted = adapt(planning.network, jobs, planning.separation, shut, rates, fixed, bend_m=shop.bend_costs)
    mean = float(np.mean(rates)) if rates else 0.0
    drilled = np.array([way.state == "drill" for way in planning.space.ways], dtype=bool)
    opening: Array = mean * (shop.opening_costs + shop.drill_costs * drilled)
    network = replace(adapted.instance.network, opening=opening)
    return Posed(replace(adapted, instance=replace(adapted.instance, network=network)), jobs)


def routes_of(adapted: Adapted, paths: Sequence[Path | None], planning: Planning) -> tuple[Route, ...]:
    """Paths of the planner as routes of the instance; those of runs without a path are left out.

    Args:
        adapted: the instance.
        paths: one a run.
        planning: whose network the paths lie in.
    """
    arcs, network = adapted.instance.network, planning.network
    arc_of = {(int(a), int(b)): k for k, (a, b) in enumerate(zip(arcs.source, arcs.target, strict=True))}
    out = []
    for number, path in enumerate(paths):
        if path is not None:
            ends = ((int(network.source[edge]), int(network.target[edge])) for edge in path.edges)
            out.append(route_of(adapted.instance, number, 0, [arc_of[one] for one in ends]))
    return tuple(out)
