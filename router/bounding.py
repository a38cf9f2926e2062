"""How little copper any plan of a project could do with, and how far its own plan is above that.

The bound speaks of the copper of routes and tails before anything is rounded to the cutting step: length by the lay rule with
its slack, and tails by the class of the cable. It holds for every choice of routes and sizes that this programme could make:
each run may take any cable in stock that would do for it alone, in the coolest air, with nothing dropped before it and none of
its circuit beyond it. What couples runs in truth (loaded neighbours, volts dropped upstream, one size along a circuit) and what
openings ask beyond area and kind (plugs, packing) is left out, which only lowers the bound.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from ribway.models.shop import Shop
from ribway.models.told import LEAST, Told, untold
from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2, Cable
from ribway.router.laying.cutting import Cut, tail_m
from ribway.router.paths.jobs import Job
from ribway.router.paths.negotiation import Negotiator
from ribway.router.proof.from_space import Adapted, adapt
from ribway.router.proof.instance import Array, Size
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve
from ribway.router.sizes.airs import too_hot
from ribway.router.sizes.held import Sized
from ribway.router.sizes.sizer import Sizer
from ribway.router.space.network import Network
from ribway.sizing.demand import Demand, Stretch
from ribway.sizing.verdict import passes

LENGTH_LIMITS = ("drop", "start drop", "maker's drop")
LIMITS = Limits(rounds=60, nodes=0, sweeps=2, steps=0, choice_nodes=1)  # the bound is wanted, not a better plan
MM2 = 1e6
PARTS = 4
"""What a bound is put together from: these cables, any sizes, room in openings, whole circuits."""


@dataclass(frozen=True)
class Bounds:
    """Copper before rounding, and what no plan goes below [kg].

    Args:
        planned_kg: of the plan.
        any_sizes_kg: no routes and no sizes in stock do with less.
        same_cables_kg: no other routes for the cables of this plan do with less; infinite if that was not found out.
        proven: the plan is at the bound of any sizes, to a tenth of a per cent.
        looms: with a price on looms beside copper; None without one.
    """

    planned_kg: float
    any_sizes_kg: float
    same_cables_kg: float
    proven: bool
    looms: LoomBounds | None = None


@dataclass(frozen=True)
class LoomBounds:
    """Copper before rounding and looms, and what no other routes for the same cables go below.

    Args:
        price_kg_per_m: copper that a metre of loom is worth [kg/m].
        loom_m: distinct stretches of the plan along which some run lies [m].
        planned_kg: copper and looms of the plan [kg].
        least_kg: of any routes [kg].
    """

    price_kg_per_m: float
    loom_m: float
    planned_kg: float
    least_kg: float


@dataclass(frozen=True, eq=False)
class Question:
    """What the bound is asked about: all routed runs in order, with what they have and what they could have."""

    network: Network
    negotiator: Negotiator
    sizer: Sizer
    shop: Shop
    boards: frozenset[str]
    runs: Sequence[Run]
    jobs: Sequence[Job]
    cables: Mapping[str, Sequence[Cable]]
    index: Mapping[str, int]
    sized: Mapping[str, Sized]
    cuts: Mapping[str, Cut]
    stubs_m: Mapping[str, float]
    longest: dict[tuple[str, int], float] = field(default_factory=dict, repr=False)


def copper_bound(question: Question, told: Told = untold) -> Bounds:
    """Bound the copper of all plans from below.

    Args:
        question: a finished state in which every run has a route.
        told: how far it is.

    Returns:
        The bound. It rests on duals evaluated by exact shortest paths, never on a solver's word; see
        `ribway.router.proof.prices`.
    """
    planned = sum(_planned_kg(question, run) for run in question.runs)
    same = _solved(question, {run.id: [question.index[run.id]] for run in question.runs}, lambda: told(LEAST, 0, PARTS))
    told(LEAST, 1, PARTS)
    any_sizes = _solved(
        question, {run.id: _range(question, run) for run in question.runs}, lambda: told(LEAST, 1, PARTS)
    )
    any_sizes = min(any_sizes, same)
    return Bounds(planned, any_sizes, same, planned <= any_sizes * 1.001 + 1e-9)


def sharpened(found: Bounds, least_kg: float) -> Bounds:
    """Bounds with another bound for any sizes beside them; the greater one holds.

    Args:
        found: from routes and sizes together, run by run.
        least_kg: from the volts of whole circuits, see `ribway.router.placing.least` [kg].
    """
    any_sizes = max(found.any_sizes_kg, min(least_kg, found.planned_kg))
    same = max(found.same_cables_kg, any_sizes)
    proven = found.planned_kg <= any_sizes * 1.001 + 1e-9
    return replace(found, any_sizes_kg=any_sizes, same_cables_kg=same, proven=proven)


def same_cables(question: Question) -> Adapted:
    """The instance of copper alone, each run in the cable that it has."""
    return _adapted(question, {run.id: [question.index[run.id]] for run in question.runs})


def _solved(question: Question, choices: Mapping[str, Sequence[int]], beat: Callable[[], None]) -> float:
    """Least copper when each run takes one of the given candidates [kg], bounded from below."""
    adapted = _adapted(question, choices)
    if not any(size.rate > 0.0 for run in adapted.instance.runs for size in run.sizes):
        return 0.0
    beat()
    return solve(adapted.instance, LIMITS, told=lambda *_: beat()).bound


def _adapted(question: Question, choices: Mapping[str, Sequence[int]]) -> Adapted:
    jobs, shut = [], []
    for run, job in zip(question.runs, question.jobs, strict=True):
        items = [replace(job, item=question.cables[run.id][k].item(run)) for k in choices[run.id]]
        alone: list[Array] = [question.negotiator.alone(one) for one in items]
        # Open for one of its cables is open: that lowers the bound at most.
        shut.append(np.min(np.array(alone), axis=0))
        sheathed = any(one.item.sheathed for one in items)
        hot = _too_hot_for_all(question, run, choices[run.id])
        jobs.append(replace(job, item=replace(job.item, sheathed=sheathed), keeps_out=hot))
    flat = [0.0] * len(jobs)
    adapted = adapt(question.network, jobs, question.negotiator.separation, shut, flat, flat)
    runs = tuple(
        replace(one, sizes=_undominated([_size(question, run, k) for k in choices[run.id]]))
        for one, run in zip(adapted.instance.runs, question.runs, strict=True)
    )
    return replace(adapted, instance=replace(adapted.instance, runs=runs))


def _range(question: Question, run: Run) -> list[int]:
    """Candidates that would do at some length; the one that the plan took is always among them."""
    found = [k for k in range(len(question.cables[run.id])) if _longest_m(question, run, k) > 0.0]
    return found or [question.index[run.id]]


def _size(question: Question, run: Run, k: int) -> Size:
    """A candidate as the instance counts it: kilograms a metre of route and for what is cut beside the route."""
    cable, slack = question.cables[run.id][k], 1.0 + question.shop.slack / 100.0
    kg_per_m = cable.copper_mm2 * COPPER_KG_PER_M_MM2
    beside = slack * question.stubs_m[run.id] + _tails_m(question, run, cable)
    longest = math.inf if k == question.index[run.id] else (_longest_m(question, run, k) - beside) / slack
    return Size(
        rate=kg_per_m * slack,
        area_mm2=cable.item(run).area_m2 * MM2,
        longest_m=max(longest, 0.0),
        fixed=kg_per_m * beside,
    )


def _tails_m(question: Question, run: Run, cable: Cable) -> float:
    area, shop, boards = cable.stock.area_mm2, question.shop, question.boards
    return tail_m(run.tail_a_m, area, run.a in boards, shop) + tail_m(run.tail_b_m, area, run.b in boards, shop)


def _undominated(sizes: list[Size]) -> tuple[Size, ...]:
    """Without those that another one beats or equals in everything."""
    kept: list[Size] = []
    for size in sorted(sizes, key=lambda one: (one.rate, one.fixed, one.area_mm2, -one.longest_m)):
        beaten = any(
            other.fixed <= size.fixed and other.area_mm2 <= size.area_mm2 and other.longest_m >= size.longest_m
            for other in kept
        )
        if not beaten:
            kept.append(size)
    return tuple(kept)


def _longest_m(question: Question, run: Run, k: int) -> float:
    """Greatest cut length at which a candidate would do for the run alone [m]; 0 if it never does."""
    if (run.id, k) not in question.longest:
        question.longest[run.id, k] = _reach_m(question, run, k)
    return question.longest[run.id, k]


def _reach_m(question: Question, run: Run, k: int) -> float:
    sized, conductor = question.sized.get(run.id), question.cables[run.id][k].conductor
    if sized is None or sized.demand is None or conductor is None:
        return math.inf
    verdict = passes(conductor, _at_best(question, run, sized.demand), question.sizer.rules_of(run.id))
    longest = math.inf
    for limit in verdict.limits:
        if limit.name in LENGTH_LIMITS:
            longest = min(longest, 1.0 / limit.strain if limit.strain > 0.0 else math.inf)
        elif limit.strain > 1.0 + 1e-9 and limit.size_helps:
            return 0.0
    return longest


def _too_hot_for_all(question: Question, run: Run, choices: Sequence[int]) -> frozenset[str]:
    """Airs in which none of some candidates would do even alone; asked from the thickest on, which mostly leaves none."""
    hot: frozenset[str] | None = None
    for k in reversed(choices):
        hot = _too_hot(question, run, k) if hot is None else hot & _too_hot(question, run, k)
        if not hot:
            break
    return hot or frozenset()


def _too_hot(question: Question, run: Run, k: int) -> frozenset[str]:
    """Airs in which a candidate would not do even alone."""
    sized, conductor = question.sized.get(run.id), question.cables[run.id][k].conductor
    if sized is None or sized.demand is None or conductor is None:
        return frozenset()
    sizer = question.sizer
    return too_hot(conductor, _at_best(question, run, sized.demand), sizer.rules_of(run.id), sizer.ambient_c)


def _at_best(question: Question, run: Run, demand: Demand) -> Demand:
    """A metre of the run under the kindest conditions that any plan could offer it."""
    coolest = min(question.sizer.ambient_c(zone) for zone in ("wall", "roof", "floor"))
    own = min(stretch.loaded_conductors for stretch in demand.stretches)
    leg = replace(demand.legs[0], cut_m=1.0, beyond_v=0.0, beyond_start_v=0.0, extra_ohm=0.0)
    here = Stretch("alone, in the coolest air", coolest, min(own, 2))
    return replace(
        demand,
        legs=(leg,),
        stretches=(here,),
        upstream_v=0.0,
        upstream_start_v=0.0,
        fixed_loss_v=0.0,
        fuse_a=question.sizer.standing_fuse_a(run.id, demand),
    )


def _planned_kg(question: Question, run: Run) -> float:
    cable, cut = question.cables[run.id][question.index[run.id]], question.cuts[run.id]
    metres = cut.sharp_m * (1.0 + question.shop.slack / 100.0) + cut.tail_a_m + cut.tail_b_m
    return cable.copper_mm2 * COPPER_KG_PER_M_MM2 * metres
