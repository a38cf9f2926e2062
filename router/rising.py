"""From thin cables to a state that holds: route, measure, size up until nothing grows, then try each circuit one size down."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from ribway.models.told import ROUTES, THINNER, Told, each_told, untold
from ribway.router.circuits.runs import Feed
from ribway.router.cooling import cooled, still_round
from ribway.router.errors import AuditError
from ribway.router.faults import RouterFaults
from ribway.router.laying.cutting import tails_m
from ribway.router.looms.crowd import Neighbourhood
from ribway.router.paths.search import Path
from ribway.router.planning import Planning, State
from ribway.router.rounds import Layout
from ribway.router.shell.parts import SkinZone
from ribway.router.sizes.growing import alike
from ribway.sizing.verdict import passes

ROUNDS = 20
STEPS = 100

Paths = Sequence[Path | None]


def planned(planning: Planning, told: Told = untold) -> State:
    """A finished state, found from nothing.

    Args:
        planning: what is to be planned.
        told: how far it is.

    Raises:
        RouterFaults: circuits for which no stocked size is good enough.
    """
    state = _led_at_last(planning, lowered(planning, risen(planning, told), planning.feeds, told), told)
    state = _led_cooler(planning, state, told)
    price_kg_per_m = planning.project.shop.loom_costs
    if price_kg_per_m:
        from ribway.router.choosing.sharing import shared

        return still_round(planning, shared(planning, state, price_kg_per_m), state.led_round)
    if planning.project.shop.search == "thorough":
        from ribway.router.choosing.lightest import lightest

        return still_round(planning, lightest(planning, state, told), state.led_round)
    return state


def _led_at_last(planning: Planning, state: State, told: Told) -> State:
    """Runs that found no route beside thicker cables are led where the thinner ones left room, as long as that helps."""

    def route(index: Mapping[str, int], paths: Paths) -> Paths:
        return planning.negotiator.amend(planning.jobs(index), paths, ()).paths

    while None in state.paths:
        try:
            more = lowered(planning, grown(planning, state.index, state.paths, route, told), planning.feeds, told)
        except RouterFaults:  # over the way that is left no size in stock will do
            break
        if more.paths.count(None) >= state.paths.count(None):
            break
        state = more
    return state


def _led_cooler(planning: Planning, state: State, told: Told) -> State:
    """A state with thinner cables led round hot air; where runs lie otherwise for it, sizes are tried lower once more."""
    cooler = cooled(planning, state, planning.feeds, told=told)
    if cooler is state:
        return state
    return still_round(planning, lowered(planning, cooler, planning.feeds, told), cooler.led_round)


def risen(planning: Planning, told: Told = untold) -> State:
    """A state in which nothing grows any more, found from nothing."""

    def route(index: Mapping[str, int], paths: Paths) -> Paths:
        return planning.negotiator.route(planning.jobs(index), paths).paths

    return grown(planning, first_sizes(planning), (), route, told)


def grown(
    planning: Planning,
    index: Mapping[str, int],
    paths: Paths,
    route: Callable[[Mapping[str, int], Paths], Paths],
    told: Told = untold,
) -> State:
    """Route, measure, size up, until nothing grows.

    Args:
        planning: what is to be planned.
        index: sizes to begin with.
        paths: routes to begin from, of the routed runs alone; none at all if empty.
        route: routes for given sizes, from earlier routes.
        told: how many runs have a route for the size that they keep.
    """
    settled = 0
    for _ in range(ROUNDS):
        told(ROUTES, settled, len(planning.runs))
        paths = tuple(route(index, paths))
        state = _sized_up(planning, index, tuple(paths), planning.layout(paths))
        if state.index == index:
            return state
        settled = sum(1 for run, size in state.index.items() if index[run] == size)
        index = dict(state.index)
    raise AuditError(f"sizes still grow after {ROUNDS} rounds")


def first_sizes(planning: Planning) -> dict[str, int]:
    """Sizes that a straight cable in the coolest air, alone, would need: no route asks for less."""
    sizer = planning.sizer
    index = dict.fromkeys(planning.cables, 0)
    zones: tuple[SkinZone, ...] = ("wall", "roof", "floor")
    coolest = min(zones, key=sizer.ambient_c)
    near = {run.id: (Neighbourhood(coolest, (run.id,)),) for run in planning.runs}
    ends = {portal.device: portal.point for portal in planning.space.portals}
    straight = {run.id: float(np.linalg.norm(ends[run.a] - ends[run.b])) for run in planning.runs}
    for _ in range(STEPS):
        stretches = sizer.counts(near, index)
        sized, _ = sizer.hold(straight, stretches, index)
        try:
            bigger = planning.grower.wanted(sized, straight, stretches, index)
        except RouterFaults:
            # Nothing in stock will do. Thin cables find a route, and with its length it is said what would be needed.
            return dict.fromkeys(planning.cables, 0)
        if not bigger:
            break
        for run in bigger:
            index[run] += 1
    return index


def _sized_up(planning: Planning, index: Mapping[str, int], paths: tuple[Path | None, ...], layout: Layout) -> State:
    index = dict(index)
    for _ in range(STEPS):
        state = planning.hold(index, paths, layout)
        bigger = planning.grower.wanted(
            state.sized, {run: cut.cut_m for run, cut in state.cuts.items()}, state.stretches, index
        )
        if not bigger:
            return state
        for run in bigger:
            index[run] += 1
    raise AuditError(f"sizes still grow after {STEPS} steps")


def lowered(planning: Planning, state: State, feeds: Sequence[Feed], told: Told = untold) -> State:
    """One pass: try to take each circuit one size down, with everything held against its limits again.

    Args:
        planning: what is planned.
        state: in which nothing grows any more.
        feeds: the circuits that are tried.
        told: how far it is.
    """
    order = sorted(
        (feed for feed in feeds if feed.circuit.kind != "data"),
        key=lambda feed: (-sum(_kg(planning, run, state) for run in feed.runs if run in state.cuts), feed.circuit.id),
    )
    for feed in each_told(told, THINNER, order):
        for group in alike(feed, planning.by_id):
            own = [run for run in group if run in state.sized and state.index[run] > 0]
            while own and all(_may_shrink(planning, feed, run, state) for run in own):
                lower = {**state.index, **{run: state.index[run] - 1 for run in own}}
                trial = planning.hold(lower, state.paths, state.layout)
                fine = all(one.verdict is None or one.verdict.ok for one in trial.sized.values())
                if not fine or not planning.fits(lower, state.paths):
                    break
                state = trial
                own = [run for run in own if state.index[run] > 0]
    return state


def _may_shrink(planning: Planning, feed: Feed, run: str, state: State) -> bool:
    """Whether one size less might keep this run's own limits, all else as it is; it seldom does.

    A thinner cable may be cut shorter: its tails can be of the next class, and the last step may fall away.
    """
    demand, thinner = state.sized[run].demand, planning.cables[run][state.index[run] - 1].conductor
    if demand is None or thinner is None:
        return False
    one, shop = planning.by_id[run], planning.project.shop
    areas = [planning.cables[run][index].stock.area_mm2 for index in (state.index[run], state.index[run] - 1)]
    tails = [sum(tails_m(one, area, planning.boards, shop)) for area in areas]
    shorter_m = max(0.0, tails[0] - tails[1]) + shop.cut_step
    legs = tuple(replace(leg, cut_m=max(0.0, leg.cut_m - shorter_m)) for leg in demand.legs)
    return passes(thinner, replace(demand, legs=legs, fuse_a=feed.circuit.fuse), planning.sizer.rules_of(run)).ok


def _kg(planning: Planning, run: str, state: State) -> float:
    return planning.cables[run][state.index[run]].copper_mm2 * state.cuts[run].cut_m
