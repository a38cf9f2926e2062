"""Chains whose loads change places with the device: whatever their order, their cables span them all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.models.circuits import Circuit
from ribway.router.circuits.patterns import head_of, relay_of
from ribway.router.placing.picks import Pick

Array = NDArray[np.float64]

EXACT_UP_TO = 7
"""Loads whose orders are all looked at; beyond that a tree stands for the chain."""
MOMENTS = frozenset({"chain", "switched chain", "dimmer"})
"""Patterns whose loads lie one behind the other, so that volts go by the sum of metres times amps."""


@dataclass(frozen=True, eq=False)
class Loose:
    """A chain in any order.

    Args:
        spans_m: ``(n,)`` least metres to cut through all its devices in any order, tails included [m].
        picks: cables that all its runs could be made of, each with its copper a metre.
        moment_am: ``(n,)`` least sum over its cables of metres times the current in them, of any order [A m]; 0 where
            that is not known.
        most_v: volts that may be lost to its end [V].
    """

    spans_m: Array
    picks: tuple[Pick, ...]
    moment_am: Array
    most_v: float

    def kg(self, lost: Array) -> Array:
        """``(n,)`` least copper if so many volts are lost before it [kg]; infinite where no size holds the volts."""
        best = np.full(1, np.inf)
        for pick in self.picks:
            held = np.isfinite(self.spans_m) & (lost + pick.ohm_per_m * self.moment_am <= self.most_v)
            best = np.minimum(best, np.where(held, pick.kg_per_m * self.spans_m, np.inf))
        return best


def least_tree_m(table: Sequence[Sequence[Array]]) -> Array:
    """Length of the shortest tree through all points, for many places at once.

    Args:
        table: for each pair of points, ``(n,)`` or ``(1,)`` metres, the same both ways; infinite where there is no path.

    Returns:
        ``(n,)`` metres.

    Source: R. C. Prim, Shortest connection networks and some generalizations, Bell System Technical Journal 36 (1957).
    """
    count = len(table)
    places = max((len(one) for row in table for one in row), default=1)
    lengths = np.array([[np.broadcast_to(one, places) for one in row] for row in table]).reshape(count, count, places)
    rest = lengths[0].copy() if count else np.zeros((0, places))
    inside = np.zeros((count, places), dtype=bool)
    inside[:1] = True
    total = np.zeros(places)
    for _ in range(count - 1):
        open_ = np.where(inside, np.inf, rest)
        nearest = open_.argmin(axis=0)
        total = total + open_[nearest, np.arange(places)]
        inside[nearest, np.arange(places)] = True
        rest = np.minimum(rest, lengths[nearest, :, np.arange(places)].T)
    return np.asarray(total)


def least_path(start: Sequence[Array], between: Sequence[Sequence[Array]], loads: Sequence[float]) -> Array:
    """Least sum, over the steps of a path through all points, of length times what is still to be fed, at many places.

    Args:
        start: ``(n,)`` or ``(1,)`` metres from the path's fixed start to each point.
        between: the same from each point to each other one.
        loads: what each point takes; 0 everywhere for the sum of lengths alone.

    Returns:
        ``(n,)`` least sum.

    Source: M. Held, R. M. Karp, A dynamic programming approach to sequencing problems, J. SIAM 10 (1962).
    """
    count, plain = len(start), not any(loads)
    places = max(len(one) for row in (start, *between) for one in row) if count else 1
    table = np.array([[np.broadcast_to(one, places) for one in row] for row in between]).reshape(count, count, places)
    full = (1 << count) - 1
    left = [1.0 if plain else sum(loads[k] for k in range(count) if not mask >> k & 1) for mask in range(full + 1)]
    rest: dict[int, Array] = {full: np.zeros((count, places))}
    for mask in range(full - 1, 0, -1):
        following = [k for k in range(count) if not mask >> k & 1]
        after = np.array([rest[mask | 1 << k][k] for k in following])
        rest[mask] = (table[:, following] * left[mask] + after[None]).min(axis=1)
    return np.asarray(
        np.min([np.broadcast_to(start[k], places) * left[0] + rest[1 << k][k] for k in range(count)], axis=0)
        if count
        else np.zeros(places)
    )


def headed(circuit: Circuit, kinds: Mapping[str, str]) -> bool:
    """Whether one device stands fast between the source and the loads that may change places.

    Args:
        circuit: the circuit.
        kinds: of devices, by id.
    """
    if circuit.pattern == "relay":
        return bool(relay_of(circuit, kinds))
    return circuit.pattern in MOMENTS and bool(head_of(circuit, kinds))
