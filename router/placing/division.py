"""Copper of circuits divided between a board and one fed by it: every division, at every place, by the volts lost before them."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2
from ribway.router.laying.cutting import tails_m
from ribway.router.placing.dividing import Asked
from ribway.router.sizes.airs import AIRS
from ribway.sizing.ampacity import derated_ampacity
from ribway.sizing.demand import Stretch
from ribway.sizing.resistance import hot_ohm_per_m

Array = NDArray[np.float64]

LEVELS = 12
WORTH_KG = 1e-9


class Division:
    """Copper of the divided circuits from both boards, by volts lost before the first.

    Attributes:
        which: ``(n,)`` set of the circuits that are fed from the second board where copper was least, a bit for each.
    """

    def __init__(self, ask: Asked) -> None:
        """Nothing is counted yet."""
        self._ask, self._places = ask, len(ask.spots.found)
        self._best = np.full(self._places, np.inf)
        self.which = np.zeros(self._places, dtype=np.int64)
        feeder = ask.new[0][1]
        self._run: Run = next(run for run in ask.there.runs if run.circuit == feeder)
        feeds = {feed.circuit.id: feed for feed in ask.there.feeds}
        self._amps = [feeds[name].amps for name in ask.circuits]
        self._volts = feeds[feeder].volts
        self._cables = self._feeder_cables()

    def named(self, mask: int) -> tuple[str, ...]:
        """The circuits of a set."""
        return tuple(name for bit, name in enumerate(self._ask.circuits) if mask >> bit & 1)

    def _feeder_cables(self) -> list[tuple[float, float, float, float]]:
        """Of each cable the feeder could have: copper a metre, tails, ohm a metre there and back, amps it carries."""
        there, out = self._ask.there, []
        here = Stretch("alone, in the coolest air", min(there.sizer.ambient_c(air) for air in AIRS), 2)
        for cable in there.cables[self._run.id]:
            if cable.conductor is not None:
                carries = derated_ampacity(cable.conductor, (here,), there.sizer.rules).derated_a
                ohm = self._run.cores_in_line * hot_ohm_per_m(cable.conductor, cable.conductor.insulation_c)
                tails = sum(tails_m(self._run, cable.stock.area_mm2, there.boards, there.project.shop))
                out.append((cable.copper_mm2 * COPPER_KG_PER_M_MM2, tails, ohm, carries))
        return out

    def sets_kg(self, lost: Array, lost_start: Array) -> tuple[Array, Array]:
        """Copper of every set of circuits, ``(sets, n)`` each: from the first board; from one at each place, with its feeder.

        Args:
            lost: volts lost before the first board, running [V].
            lost_start: and while loads start [V].
        """
        ask = self._ask
        main = [ask.base.circuit(name, lost, lost_start) for name in ask.circuits]
        step_v = 0.1 * self._volts / LEVELS
        # A circuit's copper rises with the volts lost before it: the level below bounds it from below.
        levels = [
            [ask.moved.circuit(name, lost + k * step_v, lost_start + k * step_v) for k in range(LEVELS + 1)]
            for name in ask.circuits
        ]
        table = np.array([[np.broadcast_to(one, self._places) for one in row] for row in levels])
        alone = np.array([np.broadcast_to(one, self._places) for one in main])
        slack = 1.0 + ask.there.project.shop.slack / 100.0
        metres = np.broadcast_to(ask.moved.metres(self._run.id), self._places) * slack
        at, sets = np.arange(self._places), 1 << len(ask.circuits)
        stays, goes = np.zeros((sets, self._places)), np.full((sets, self._places), np.inf)
        for mask in range(1, sets):
            inside = [bit for bit in range(len(ask.circuits)) if mask >> bit & 1]
            amps = sum(self._amps[bit] for bit in inside)
            stays[mask] = alone[inside].sum(axis=0)
            for kg_per_m, tails, ohm, carries in self._cables:
                if carries < amps:
                    continue
                cut = metres + tails
                level = np.floor(cut * ohm * amps / step_v)
                known = np.where(np.isfinite(level), np.minimum(level, LEVELS), LEVELS).astype(np.int64)
                goes[mask] = np.minimum(goes[mask], kg_per_m * cut + table[inside][:, known, at].sum(axis=0))
        return stays, goes

    def kg(self, lost: Array, lost_start: Array) -> Array:
        """``(n,)`` least copper of all divisions that feed something from the second board."""
        stays, goes = self.sets_kg(lost, lost_start)
        best = np.full(self._places, np.inf)
        which = np.zeros(self._places, dtype=np.int64)
        for mask in range(1, len(goes)):
            total = stays[len(goes) - 1 - mask] + goes[mask]
            better = total < best - WORTH_KG
            best, which = np.where(better, total, best), np.where(better, mask, which)
        fresh = best < self._best
        self._best, self.which = np.where(fresh, best, self._best), np.where(fresh, which, self.which)
        return best


def least_of(ask: Asked, kg: Callable[[Array, Array], Array], count: int) -> Array:
    """``(count,)`` copper of a project, that of the divided circuits found by a function of the volts lost before them [kg]."""
    first, *rest = ask.circuits
    return np.broadcast_to(ask.base.with_instead({first: kg} | dict.fromkeys(rest, _nothing)).kg(), count).copy()


def _nothing(lost: Array, _: Array) -> Array:
    return np.zeros_like(lost)
