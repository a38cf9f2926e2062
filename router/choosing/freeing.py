"""What would let every run through when some have no route: the cheapest changes, each checked by planning again with it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from ribway.models.printed import size_near, size_up
from ribway.models.told import FREEING, Told, untold
from ribway.router.choosing.instances import posed
from ribway.router.faults import RouterFaults
from ribway.router.paths.dead_ends import stops_at
from ribway.router.planning import Planning, State
from ribway.router.proof.certificate import Certificate, at_least, certify
from ribway.router.rising import planned
from ribway.router.space.types import NOWHERE, Way

STEPS_MM = (4, 8, 16)  # a step drill's usual steps; common practice, no source
BESIDE_PRICE, PLUG_PRICE, FREE_PRICE, ELSEWHERE_PRICE = 12.0, 6.0, 5.0, 100.0
TRIALS = 30
MOST = 3
TOGETHER = 2
NAMED = 3  # ways that a certificate names, at most


@dataclass(frozen=True)
class Change:
    """One thing to change.

    Args:
        what: bore a hole larger, drill another beside it, free a blocked one, refit a plug, lead a run outside the model.
        way: index of the way; -1 if it is about a run.
        run: id of the run; empty if it is about a way.
        more_mm: how much larger [mm].
        price: what ranks it: millimetres of boring and what is as much trouble.
    """

    what: Literal["bore", "beside", "free", "plug", "elsewhere"]
    way: int = -1
    run: str = ""
    more_mm: int = 0
    price: float = 0.0


@dataclass(frozen=True)
class Freed:
    """Changes after which every run was planned.

    Args:
        changes: all of them together.
        words: one for each.
        price: summed.
    """

    changes: tuple[Change, ...]
    words: tuple[str, ...]
    price: float


@dataclass(frozen=True)
class Relief:
    """What was found of runs without a route.

    Args:
        freed: the cheapest sets of changes, cheapest first.
        proof: why not all runs can be led, in words; empty if that was not shown.
        tried: sets that were looked at.
    """

    freed: tuple[Freed, ...]
    proof: str
    tried: int


def relief_of(planning: Planning, state: State, told: Told = untold) -> Relief:
    """What would free the runs of a state that have no route.

    Sets of up to two changes are tried by rising price: first whether all runs find a route in the cables they have, then
    whether all of them can be sized. It stops on counts.

    Args:
        planning: what was planned.
        state: in which some run has no route.
        told: how far it is.
    """
    why = certify(posed(planning, state).adapted.instance)
    offered = sorted(_offers(planning, state, why), key=lambda one: (one.price, one.way, one.run))
    sets = [some for size in range(1, TOGETHER + 1) for some in itertools.combinations(offered, size)]
    sets.sort(key=lambda some: (math.fsum(one.price for one in some), len(some)))
    found: list[Freed] = []
    tried = 0
    for some in sets:
        if tried >= TRIALS or len(found) >= MOST:
            break
        places = {(one.way, one.run) for one in some}
        if len(places) < len(some) or any(_covers(some, freed.changes) for freed in found):
            continue
        told(FREEING, tried, min(len(sets), TRIALS))
        tried += 1
        if _frees(planning, state, some):
            words = tuple(_words(planning, one) for one in some)
            found.append(Freed(some, words, math.fsum(one.price for one in some)))
    return Relief(tuple(found), _proof(planning, why), tried)


def _covers(some: Sequence[Change], smaller: Sequence[Change]) -> bool:
    """Whether a set does all that another does, and more: the same things, bored at least as far."""
    return all(
        any(
            (one.what, one.way, one.run) == (other.what, other.way, other.run) and one.more_mm >= other.more_mm
            for one in some
        )
        for other in smaller
    )


def _offers(planning: Planning, state: State, why: Certificate) -> Iterator[Change]:
    ways, jobs = planning.space.ways, planning.jobs(state.index)
    pairs = list(zip(jobs, state.paths, strict=True))
    dead = [number for number, path in enumerate(state.paths) if path is None]
    tight: dict[int, None] = {}
    lost = False
    for number in dead:
        others = [pair for other, pair in enumerate(pairs) if other != number]
        stops = stops_at(planning.network, jobs[number], others, planning.separation)
        tight.update(dict.fromkeys(stops))
        lost = lost or not stops
        run = planning.routed[number].id
        if jobs[number].item.plug_m > 0.0:
            yield Change("plug", run=run, price=PLUG_PRICE)
        yield Change("elsewhere", run=run, price=ELSEWHERE_PRICE)
    tight.update(dict.fromkeys(why.ways[:NAMED]))
    for way in tight:
        if ways[way].kind == "opening" and ways[way].shape == "round":
            for step in STEPS_MM:
                yield Change("bore", way, more_mm=step, price=float(step))
            yield Change("beside", way, price=BESIDE_PRICE)
    for run_index in why.runs[:NAMED]:
        if run_index not in dead:
            yield Change("elsewhere", run=planning.routed[run_index].id, price=ELSEWHERE_PRICE)
    for index, shut in enumerate(ways):
        if lost and shut.closed == "blocked" and all(mouth.bay != NOWHERE for mouth in shut.mouths):
            yield Change("free", index, price=FREE_PRICE)


def _frees(planning: Planning, state: State, changes: Sequence[Change]) -> bool:
    other = changed(planning, changes)
    if any(path is None for path in other.negotiator.route(other.jobs(state.index)).paths):
        return False
    try:
        found = planned(other)
    except RouterFaults:
        return False
    return found.whole and all(one.verdict is None or one.verdict.ok for one in found.sized.values())


def changed(planning: Planning, changes: Sequence[Change]) -> Planning:
    """The project on a shell with these changes made.

    Args:
        planning: what was planned.
        changes: what to change.
    """
    ways = list(planning.space.ways)
    for one in changes:
        if one.what == "bore":
            ways[one.way] = _bored(ways[one.way], one.more_mm / 1000.0)
        elif one.what == "free":
            ways[one.way] = replace(ways[one.way], closed="", state="measured")
        elif one.what == "beside":
            ways.append(replace(ways[one.way], name=f"beside {ways[one.way].name}", state="drill", taken_m=0.0))
    gone = frozenset(one.run for one in changes if one.what == "elsewhere")
    other = planning.with_ways(tuple(ways), gone)
    bare = {one.run for one in changes if one.what == "plug"}
    if bare:
        other.cables = {
            run: tuple(replace(one, stock=replace(one.stock, plug_mm=0.0)) for one in own) if run in bare else own
            for run, own in planning.cables.items()
        }
    return other


def _bored(way: Way, more_m: float) -> Way:
    clear = way.bore_m + more_m
    return replace(
        way,
        raw_bore_m=way.raw_bore_m + more_m,
        drawn_bore_m=way.drawn_bore_m + more_m,
        bore_m=clear,
        room_m=clear,
        area_m2=float(np.pi / 4.0 * clear * clear),
    )


def _words(planning: Planning, change: Change) -> str:
    way = planning.space.ways[change.way] if change.way >= 0 else None
    if way is None:
        if change.what == "plug":
            return f"take the plug of {change.run} off and refit it"
        return f"lead {change.run} some other way, outside of what is modelled"
    raw_mm, units = 1000.0 * way.raw_bore_m, planning.project.shop.units
    if change.what == "bore":
        return f"bore {way.name} to {size_up(raw_mm + change.more_mm, units)} ({size_near(raw_mm, units)} now)"
    if change.what == "beside":
        return f"drill another hole of {size_near(raw_mm, units)} beside {way.name}"
    return f"free {way.name}, which is blocked"


def _proof(planning: Planning, why: Certificate) -> str:
    if not why.proved or not why.ways:
        return ""
    least, runs = at_least(why), ", ".join(planning.routed[run].id for run in why.runs)
    names = ", ".join(planning.space.ways[way].name for way in why.ways[: 2 * NAMED])
    return (
        f"whatever the routes, at least {least} of the runs {runs} find no room: for what they need, or must be kept apart "
        f"from, {names} are too few and too small together"
    )
