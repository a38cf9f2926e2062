"""Thinner cables led round air that is too hot for them.

A size may be asked for by the air on the way alone: what carries enough along the wall does not in a hot roof. Such a cable is
tried thinner, kept out of that air. It is taken where all limits hold, every opening admits all that passes it, and both
copper and what the search counts beside it (bends, holes) are less than before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from ribway.models.told import COOLER, Told, each_told, untold
from ribway.router.circuits.runs import Feed
from ribway.router.copper import cut_kg, unrounded_kg
from ribway.router.laying.cutting import tails_m
from ribway.router.paths.airs import airs_of
from ribway.router.paths.board import rooms_of
from ribway.router.paths.jobs import Job
from ribway.router.paths.search import Path
from ribway.router.planning import Planning, State
from ribway.router.sizes.airs import alone, too_hot
from ribway.router.sizes.growing import alike
from ribway.router.state import LedRound
from ribway.sizing.demand import Demand
from ribway.sizing.verdict import passes

WORTH_KG = 1e-6

Airs = Mapping[str, frozenset[str]]
Paths = Sequence[Path | None]


def cooled(
    planning: Planning, state: State, feeds: Sequence[Feed], others_move: bool = True, told: Told = untold
) -> State:
    """One pass: each circuit's cables tried thinner, led round the air that asks for their present size.

    Args:
        planning: what is planned.
        state: in which all limits hold.
        feeds: the circuits that are tried, in this order.
        others_move: whether other runs may make room for one that goes another way.
        told: how far it is.
    """
    if not state.whole:
        return state
    for feed in each_told(told, COOLER, feeds):
        for group in alike(feed, planning.by_id):
            own = [run for run in group if run in state.cuts]
            for index in _thinner(planning, feed, own, state):
                trial = _led(planning, state, {**state.index, **index}, own, others_move)
                if trial is not None:
                    state = trial
                    break
    return state


def still_round(planning: Planning, state: State, said: Mapping[str, LedRound]) -> State:
    """A state with what was said before of runs led round hot air, as far as it is true of it.

    Args:
        planning: what is planned.
        state: the state.
        said: of a state before, whose runs were asked the same.
    """
    found = dict(state.led_round)
    for run, one in said.items():
        demand = state.sized[run].demand if run in state.sized else None
        if run not in found and demand is not None and run in state.layout.laid:
            airs = one.airs & hot_airs(planning, run, state.index[run], demand)
            if airs and not airs & _met(state, run) and one.through in planning.cables[run][state.index[run] + 1 :]:
                found[run] = LedRound(airs, one.through)
    return replace(state, led_round=found) if found != state.led_round else state


def kept_cool(planning: Planning, state: State, index: Mapping[str, int]) -> list[Job]:
    """The runs to be led, each kept out of air in which its cable would not do.

    Args:
        planning: what is planned.
        state: what is asked of the runs.
        index: which candidate each run takes.
    """
    out = []
    for run, job in zip(planning.routed, planning.jobs(index), strict=True):
        sized = state.sized.get(run.id)
        demand = None if sized is None else sized.demand
        out.append(job if demand is None else replace(job, keeps_out=hot_airs(planning, run.id, index[run.id], demand)))
    return out


def hot_airs(planning: Planning, run: str, at: int, demand: Demand) -> frozenset[str]:
    """Airs of the van in which a run would not do in one of its cables, even alone.

    Args:
        planning: what is planned.
        run: its id.
        at: which candidate.
        demand: what is asked of the run.
    """
    conductor = planning.cables[run][at].conductor
    if conductor is None:
        return frozenset()
    rules, ambient_c = planning.sizer.rules_of(run), planning.sizer.ambient_c
    airs = sorted(airs_of(planning.network))
    return too_hot(conductor, _unfused(planning, run, demand), rules, ambient_c, airs)


def _unfused(planning: Planning, run: str, demand: Demand) -> Demand:
    """A demand with the fuse that stands fast whatever the cable; any other is chosen anew."""
    return replace(demand, fuse_a=planning.sizer.standing_fuse_a(run, demand))


def _thinner(planning: Planning, feed: Feed, own: Sequence[str], state: State) -> Iterator[dict[str, int]]:
    """Sizes below the present ones that only the air on the way speaks against, thin to thick."""
    fine: list[dict[str, int]] = []
    for steps in range(1, 1 + max((state.index[run] for run in own), default=0)):
        index = {run: max(0, state.index[run] - steps) for run in own}
        met = [_would_do(planning, state, run, at) for run, at in index.items()]
        if None in met or not any(met):
            break
        fine.append(index)
    yield from reversed(fine)


def _would_do(planning: Planning, state: State, run: str, at: int) -> frozenset[str] | None:
    """Airs on a run's way that speak against a thinner cable; None if it would not do over this length in any air.

    A thinner cable may be cut shorter: its tails can be of the next class, and the last step may fall away.
    """
    sized, conductor = state.sized.get(run), planning.cables[run][at].conductor
    demand = None if sized is None else sized.demand  # of a circuit that lacks a run nothing is asked
    if demand is None or conductor is None:
        return None
    hot = hot_airs(planning, run, at, demand)
    cooler_c = [planning.sizer.ambient_c(air) for air in airs_of(planning.network) - hot]
    if not cooler_c:
        return None
    one, shop = planning.by_id[run], planning.project.shop
    areas = [planning.cables[run][size].stock.area_mm2 for size in (state.index[run], at)]
    now_m, then_m = (sum(tails_m(one, area, planning.boards, shop)) for area in areas)
    shorter_m = max(0.0, now_m - then_m) + shop.cut_step
    legs = tuple(replace(leg, cut_m=max(0.0, leg.cut_m - shorter_m)) for leg in demand.legs)
    asked = alone(replace(_unfused(planning, run, demand), legs=legs), "in cooler air", min(cooler_c))
    if not passes(conductor, asked, planning.sizer.rules_of(run)).ok:
        return None
    return hot & _met(state, run)


def _met(state: State, run: str) -> frozenset[str]:
    """Airs that a run lies in."""
    return frozenset(leg.zone for leg in state.layout.laid[run].legs)


def _led(
    planning: Planning, state: State, index: Mapping[str, int], own: Sequence[str], others_move: bool
) -> State | None:
    """A state with thinner cables kept out of air too hot for them that is less than the present one; None without."""
    jobs = kept_cool(planning, state, index)
    numbers = [number for number, run in enumerate(planning.routed) if run.id in own]
    moving = [number for number in numbers if jobs[number].keeps_out & _met(state, planning.routed[number].id)]
    start = list(state.paths)
    for number in moving:
        start[number] = planning.negotiator.beside(jobs, [None] * len(jobs), number)
        if start[number] is None:
            return None
    if not _is_less(planning, jobs, start, index, state):
        return None  # not even with no others in the way
    still = list(state.paths)
    for number in moving:
        still[number] = planning.negotiator.beside(jobs, still, number)
    ways: list[Paths] = [still]
    if others_move and still != start:
        ways.append(planning.negotiator.route(jobs, start).paths)
    best: State | None = None
    for paths in ways:
        if None not in paths and _is_less(planning, jobs, paths, index, best or state):
            trial = planning.hold(index, tuple(paths), planning.layout(paths))
            if _holds(planning, trial) and _takes_less(planning, trial, best or state):
                best = trial
    if best is None:
        return None
    ids = [planning.routed[number].id for number in moving]
    before = {run: planning.cables[run][state.index[run]] for run in ids}
    airs = {run: jobs[number].keeps_out for run, number in zip(ids, moving, strict=True)}
    return replace(best, led_round={**state.led_round, **{run: LedRound(airs[run], before[run]) for run in ids}})


def _holds(planning: Planning, trial: State) -> bool:
    fine = all(one.verdict is None or one.verdict.ok for one in trial.sized.values())
    return fine and planning.fits(trial.index, trial.paths)


def _takes_less(planning: Planning, trial: State, state: State) -> bool:
    """Whether copper is less, as cut and before rounding."""
    return all(kg(planning, trial) < kg(planning, state) - WORTH_KG for kg in (cut_kg, unrounded_kg))


def _is_less(planning: Planning, jobs: Sequence[Job], paths: Paths, index: Mapping[str, int], state: State) -> bool:
    """Whether paths and tails cost less than those of a state by the search's own measure, each used opening charged once."""
    before = planning.jobs(state.index)
    opening = planning.project.shop.opening_costs * sum(job.weight for job in before) / len(before)
    none = np.zeros(planning.network.ways)

    def cost(jobs: Sequence[Job], paths: Paths, index: Mapping[str, int]) -> float:
        used = {way for path in paths for way in rooms_of(planning.network, path)}
        total = opening * len(used)
        for run, job, path in zip(planning.routed, jobs, paths, strict=True):
            if path is not None:
                area = planning.cables[run.id][index[run.id]].stock.area_mm2
                tails = job.weight * sum(tails_m(run, area, planning.boards, planning.project.shop))
                total += tails + planning.negotiator.cost(path, job, none)
        return total

    return cost(jobs, paths, index) < cost(before, state.paths, state.index) - WORTH_KG
