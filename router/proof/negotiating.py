"""Negotiation: runs share ways at first, and crowded ways get dearer until each holds what fits.

Prices that rise with crowding, and more so where it lasts (McMurchie and Ebeling 1995, PathFinder: a negotiation-based
performance-driven router for FPGAs). Gone on with from where it settled, with most of what was learned forgotten, it settles
elsewhere and mostly better; ways that stay crowded are charged more each time, so that it settles at all.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from ribway.router.proof.instance import Array, Flags, Instance, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.prices import Prices
from ribway.router.proof.table import Table

DEAREST = 8.0

Seek = Callable[[int, Array, Array | None, Route | None], Route | None]


@dataclass(frozen=True)
class Pace:
    """How fast a negotiation makes crowded ways dear: runs settle better when prices rise slowly.

    Args:
        price: of crowding, at first.
        growth: of that price, a sweep.
        lasting: added for good to a way for each sweep that leaves it crowded.
        stubborn: by how much of itself that grows each time.
        kept: share of what lasted that is kept when it is gone on with.
    """

    price: float
    growth: float
    lasting: float = 0.5
    stubborn: float = 0.0
    kept: float = 0.5


class Negotiation:
    """A table of routes, and what crowding has taught; may be gone on with from where it settled."""

    def __init__(self, instance: Instance, groups: Groups, unit: float, guide: Prices | None, seek: Seek) -> None:
        """Args: what is solved; groups; unit of prices; prices to begin with: of area, and for being the first of one's
        group in a way; ``seek``: cheapest route of a run at tolls and prices of area, given the one it had."""
        self.table = Table(instance, groups)
        self._groups, self._unit, self._guide, self._seek = groups, unit, guide, seek
        self._area = np.maximum([min(size.area_mm2 for size in run.sizes) for run in instance.runs], 1e-9)
        self._history = np.zeros(instance.network.ways)

    def settle(self, sweeps: int, pace: Pace) -> Table:
        """All runs look for their cheapest routes; then those in crowded ways look again at rising prices.

        Args:
            sweeps: how often at most.
            pace: how fast ways that are crowded get dear.

        Returns:
            The table, crowded or not; a run without any route has none.
        """
        table, price = self.table, pace.price
        met = np.zeros(len(self._history))  # sweeps that left a way crowded
        lookers: Sequence[int] = range(len(self._area))
        for _ in range(sweeps):
            for run in lookers:
                self._look(run, price)
            bad: Flags = table.crowded()
            if not bad.any():
                break
            met += bad
            self._history += self._unit * pace.lasting * bad * (1.0 + pace.stubborn * met)
            price = min(price * pace.growth, DEAREST)
            lookers = table.taken_by(bad)
        return table

    def forget(self, kept: float) -> None:
        """Keep only a share of what lasted."""
        self._history *= kept

    def _look(self, run: int, price: float) -> None:
        table, area, guide = self.table, self._area[run], self._guide
        old = table.routes[run]
        table.put(run, None)
        over = np.clip((table.load + area - table.limit) / area, 0.0, 3.0)
        stir = table.strangers(run)
        toll = self._unit * price * (over * area / 30.0 + 3.0 * stir)
        toll += self._history * (area * (over > 0) / 30.0 + (stir > 0))
        per_mm2 = None
        if guide is not None:
            group = self._groups.of[run]
            per_mm2 = guide.per_mm2[group] + guide.per_mm2[-1]
            toll = toll + guide.toll[run] * (table.inside[group] == 0)
        table.put(run, self._seek(run, toll + table.unopened, per_mm2, old))
