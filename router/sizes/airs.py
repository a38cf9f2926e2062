"""Airs in which a cable carries less than it must, even by itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Final

from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand, Stretch
from ribway.sizing.rules import SizingRules
from ribway.sizing.verdict import Limit, Verdict, passes

AIRS: Final = ("wall", "roof", "floor", "engine space", "under floor", "on roof", "cab")
"""All that a cable may lie in, as bays, ways and taped runs name it."""
VOLTS: Final = frozenset({"drop", "start drop", "maker's drop"})


def too_hot(
    conductor: Conductor,
    demand: Demand,
    rules: SizingRules,
    ambient_c: Callable[[str], float],
    airs: Iterable[str] = AIRS,
) -> frozenset[str]:
    """Airs in which a conductor does not do, even alone.

    Args:
        conductor: of the cable.
        demand: what is asked of it; with the fuse that is stated, if one is.
        rules: rule set.
        ambient_c: hottest air by name [deg C].
        airs: those that are looked at.
    """
    warmth = {air: ambient_c(air) for air in airs}
    for celsius in sorted(set(warmth.values()), reverse=True):
        there = alone(demand, f"alone in air of {celsius:g} °C", celsius)
        if carries(passes(conductor, there, rules)):  # and so it does in all that is cooler
            return frozenset(air for air, c in warmth.items() if c > celsius)
    return frozenset(warmth)


def alone(demand: Demand, where: str, ambient_c: float) -> Demand:
    """A demand as it is where nothing lies beside the run.

    Args:
        demand: with the surroundings that it has.
        where: for the papers.
        ambient_c: hottest air there [deg C].
    """
    own = min(stretch.loaded_conductors for stretch in demand.stretches)
    return replace(demand, stretches=(Stretch(where, ambient_c, min(own, 2)),))


def carries(verdict: Verdict) -> bool:
    """Whether all limits but those on volts are kept."""
    return all(_is_met(limit) for limit in verdict.limits if limit.name not in VOLTS)


def _is_met(limit: Limit) -> bool:
    """A limit that is kept, or that no size of this cable would mend: then nothing is said against the size."""
    return limit.strain <= 1.0 + 1e-9 or not limit.size_helps
