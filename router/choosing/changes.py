"""What may be changed on a van so that more passes: holes bored, drilled, freed, plugs refitted, runs led outside the model."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from ribway.models.printed import size_near, size_up
from ribway.router.planning import Planning
from ribway.router.space.types import NOWHERE, Way

What = Literal["bore", "beside", "free", "drill", "plug", "elsewhere"]

STEPS_MM = (4, 8, 16, 24)  # a step drill's usual steps; common practice, no source
LARGEST_MM = 50.0  # no hole is bored or drilled larger: a rib is about as deep; common practice, no source
FREE_PRICE, PLUG_PRICE, BESIDE_PRICE, DRILL_PRICE, ELSEWHERE_PRICE = 5.0, 6.0, 12.0, 12.0, 100.0
BLOCKED, NO_HOLE = "blocked", "there is no hole in the metal"


@dataclass(frozen=True)
class Change:
    """One thing to change.

    Args:
        what: bore a hole larger, drill another beside it, free a blocked one, drill one that is listed and not there, refit
            a plug, lead a run outside the model.
        way: index of the way; -1 if it is about a run.
        run: id of the run; empty if it is about a way.
        more_mm: how much larger than the hole is, or is said to be [mm].
        price: what ranks it: millimetres of boring and what is as much trouble.
    """

    what: What
    way: int = -1
    run: str = ""
    more_mm: int = 0
    price: float = 0.0

    @property
    def place(self) -> tuple[str, int, str]:
        """What it does, and to what: of the same, one with more millimetres does all that one with fewer does."""
        return self.what, self.way, self.run


def covers(some: Sequence[Change], smaller: Sequence[Change]) -> bool:
    """Whether changes do all that others do: the same things, bored at least as far."""
    return all(any(one.place == other.place and one.more_mm >= other.more_mm for one in some) for other in smaller)


def price_of(changes: Sequence[Change]) -> float:
    """What ranks a set: the sum of its prices."""
    return math.fsum(one.price for one in changes)


def offers_at(index: int, way: Way) -> Iterator[Change]:
    """Changes to one way, of which one at a time is made; none to what is no opening or leads nowhere.

    Args:
        index: of the way.
        way: as it is.
    """
    if way.kind != "opening" or any(mouth.bay == NOWHERE for mouth in way.mouths):
        return
    if way.closed in (BLOCKED, NO_HOLE):
        what, price = ("free", FREE_PRICE) if way.closed == BLOCKED else ("drill", DRILL_PRICE)
        for step in (0, *steps(way)) if way.shape == "round" else (0,):
            yield Change("free" if what == "free" else "drill", index, more_mm=step, price=price + step)
    elif not way.closed:
        if way.shape == "round":
            for step in steps(way):
                yield Change("bore", index, more_mm=step, price=float(step))
        for step in (0, *steps(way)):
            yield Change("beside", index, more_mm=step, price=BESIDE_PRICE + step)


def steps(way: Way) -> tuple[int, ...]:
    """How much larger a hole may be bored [mm]."""
    return tuple(step for step in STEPS_MM if 1000.0 * way.raw_bore_m + step <= LARGEST_MM)


def made(way: Way, change: Change) -> Way:
    """A way with a change made to it; of a hole drilled beside it, that hole.

    Args:
        way: as it is.
        change: about this way.
    """
    if change.what == "beside":
        round_one = replace(
            way, name=f"beside {way.name}", shape="round", state="drill", taken_m=0.0, grommet_m=None, closed="",
            room_m=way.bore_m,
        )  # fmt: skip
        return _bored(round_one, change.more_mm / 1000.0)
    if change.what == "free" and not change.more_mm:
        return replace(way, closed="", state="measured")
    opened = replace(way, closed="", state="drill")
    if change.what == "drill":
        opened = replace(opened, drawn_bore_m=way.raw_bore_m)
    return _bored(opened, change.more_mm / 1000.0) if way.shape == "round" else opened


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


def changed(planning: Planning, changes: Sequence[Change]) -> Planning:
    """The project on a shell with these changes made.

    Args:
        planning: what was planned.
        changes: what to change.
    """
    ways = list(planning.space.ways)
    for one in changes:
        if one.what == "beside":
            ways.append(made(ways[one.way], one))
        elif one.way >= 0:
            ways[one.way] = made(ways[one.way], one)
    gone = frozenset(one.run for one in changes if one.what == "elsewhere")
    other = planning.with_ways(tuple(ways), gone)
    bare = {one.run for one in changes if one.what == "plug"}
    if bare:
        other.cables = {
            run: tuple(replace(one, stock=replace(one.stock, plug_mm=0.0)) for one in own) if run in bare else own
            for run, own in planning.cables.items()
        }
    return other


def merged(planning: Planning, changes: Sequence[Change], more: Sequence[Change]) -> tuple[Change, ...]:
    """Changes, and others made to what came of them, as one set.

    Args:
        planning: before all of them.
        changes: the first.
        more: the others, about `changed(planning, changes)`.
    """
    out, count = list(changes), len(planning.space.ways)
    beside = [at for at, one in enumerate(out) if one.what == "beside"]
    for one in more:
        if one.way >= count:
            at = beside[one.way - count]
        else:
            own = (at for at, other in enumerate(out) if other.way == one.way >= 0 and other.what != "beside")
            at = next(own, -1)
        if at >= 0 and one.what == "bore":
            more_mm = out[at].more_mm + one.more_mm
            out[at] = replace(out[at], more_mm=more_mm, price=out[at].price + one.price)
        else:  # a hole beside one that is drilled anew is drilled beside the same old one
            out.append(replace(one, way=out[at].way) if one.way >= count else one)
    return tuple(out)


def words_of(planning: Planning, change: Change) -> str:
    """A change as a fitter is told it.

    Args:
        planning: before it.
        change: one.
    """
    if change.what == "plug":
        return f"take the plug of {change.run} off and refit it"
    if change.what == "elsewhere":
        return f"lead {change.run} some other way, outside of what is modelled"
    way = planning.space.ways[change.way]
    raw_mm, units = 1000.0 * way.raw_bore_m, planning.project.shop.units
    size = size_up(raw_mm + change.more_mm, units)
    if change.what == "bore":
        return f"bore {way.name} to {size} ({size_near(raw_mm, units)} now)"
    if change.what == "beside":
        return f"drill another hole of {size} beside {way.name}"
    if change.what == "drill":
        return f"drill {way.name}, {size}: the metal has no hole there yet"
    return f"free {way.name}, which is blocked" + (f", and bore it to {size}" if change.more_mm else "")
