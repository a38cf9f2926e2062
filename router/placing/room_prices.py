"""What room in openings is worth: prices from one plan's routes that bound the copper of every plan.

Shortest ways alone do not know that a hole is full, or taken by a kind that keeps apart. Prices on holes do: a plan that keeps
the rules pays for what it uses at most what the rules allow, so copper with these prices, less what is allowed, is no more than
the copper of any plan (see `ribway.router.proof.prices`). They hold wherever a device stands, and say most near the plan that
they come from.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2
from ribway.router.cooling import kept_cool
from ribway.router.planning import Planning, State
from ribway.router.proof.from_space import MM2, adapt
from ribway.router.proof.generation import Generator
from ribway.router.proof.instance import Instance
from ribway.router.proof.kinds import groups_of
from ribway.router.proof.master import Master
from ribway.router.proof.prices import UNIT, Prices, lower_bound, nothing_shut
from ribway.router.proof.pricing import Pricer

Array = NDArray[np.float64]

ROUNDS = 60
CUTS = 12
UNLED = 3.0


@dataclass(frozen=True, eq=False)
class RoomPrices:
    """Prices on ways, by run of a circuit.

    Args:
        ways: names of the ways, in order.
        per_mm2: ``(w,)`` for each mm2 of the run's cable [kg/mm2].
        toll: ``(w,)`` for the run in a cable of at least ``area_mm2`` [kg].
        area_mm2: of the cable that the run had. What is said of how many fit a way holds for cables no thinner than that.
        allowed: what all runs together pay at most [kg].
    """

    ways: tuple[str, ...]
    per_mm2: Mapping[str, Array]
    toll: Mapping[str, Array]
    area_mm2: Mapping[str, float]
    allowed: float

    def of(self, run: str, area_mm2: float) -> Array | None:
        """``(w,)`` what a run pays for each way in a cable of some area [kg]; None if it pays nothing."""
        if run not in self.toll:
            return None
        cost = area_mm2 * self.per_mm2[run]
        if area_mm2 >= self.area_mm2[run] * (1.0 - 1e-9):
            cost = cost + self.toll[run]
        return cost if cost.any() else None


def room_prices(planning: Planning, state: State) -> RoomPrices | None:
    """Prices at which the room in openings bounds a state's copper best; None if it has no runs, or nothing is scarce.

    Args:
        planning: what was planned.
        state: in which every run has a route.
    """
    runs = [
        (run, job)
        for run, job in zip(planning.routed, kept_cool(planning, state, state.index), strict=True)
        if run.circuit
    ]
    if not runs or not state.whole:
        return None
    slack = 1.0 + planning.project.shop.slack / 100.0
    jobs, shut, rates = [], [], []
    for run, job in runs:
        cables = planning.cables[run.id]
        # Kinds keep apart as the most lenient of its cables asks, so that the rule holds for whichever it takes.
        sheathed = any(cable.item(run).sheathed for cable in cables)
        jobs.append(replace(job, item=replace(job.item, sheathed=sheathed)))
        shut.append(planning.negotiator.alone(job))
        rates.append(cables[state.index[run.id]].copper_mm2 * COPPER_KG_PER_M_MM2 * slack)
    adapted = adapt(planning.network, jobs, planning.separation, shut, rates, [0.0] * len(jobs))
    found = _prices(adapted.instance)
    if found is None:
        return None
    of = groups_of(adapted.instance).of
    per_mm2 = {run.id: found.per_mm2[int(of[k])] + found.per_mm2[-1] for k, (run, _) in enumerate(runs)}
    toll = {run.id: found.toll[k] for k, (run, _) in enumerate(runs)}
    area = {run.id: job.item.area_m2 * MM2 for run, job in runs}
    ways = tuple(way.name for way in planning.space.ways)
    return RoomPrices(ways, per_mm2, toll, area, _allowed(adapted.instance, found))


def _prices(instance: Instance) -> Prices | None:
    """Prices of the linear programme over routes, with covers: runs of which not all fit a way."""
    groups = groups_of(instance)
    pricer = Pricer(instance, groups)
    if not np.isfinite(pricer.least).all():
        return None
    master = Master(instance, groups, UNLED * float(pricer.least.sum()))
    shut = nothing_shut(groups.count, instance.network.ways)
    found = Generator(instance, groups, master, pricer).run(shut, ROUNDS, cuts=CUTS)
    return found.prices


def _allowed(instance: Instance, prices: Prices) -> float:
    """What all runs together pay at most at some prices, rounded to the safe side."""
    groups = groups_of(instance)
    shut = nothing_shut(groups.count, instance.network.ways)
    back = -lower_bound(np.zeros(1), prices, groups, shut, instance.network.nodes)
    return back * (1.0 + 64.0 * UNIT) if math.isfinite(back) else math.inf
