"""Which routes lie in which ways at the moment, and where one more would be too much."""

from __future__ import annotations

import numpy as np

from ribway.router.proof.instance import FILL_EPS, Array, Flags, Instance, Route
from ribway.router.proof.kinds import Groups


class Table:
    """Routes laid so far."""

    def __init__(self, instance: Instance, groups: Groups) -> None:
        self._instance, self._groups = instance, groups
        self._opening = instance.network.openings
        self.routes: list[Route | None] = [None] * len(instance.runs)
        self.load = np.zeros(instance.network.ways)
        self.inside = np.zeros((groups.count, instance.network.ways), dtype=np.int64)
        self.limit = instance.network.limit_mm2 * (1.0 + FILL_EPS)

    def copy(self) -> Table:
        """Another with the same routes."""
        other = Table(self._instance, self._groups)
        for run, route in enumerate(self.routes):
            other.put(run, route)
        return other

    def put(self, run: int, route: Route | None) -> None:
        """Lay a run's route in place of what it had."""
        for one, sign in ((self.routes[run], -1), (route, 1)):
            if one is not None:
                ways = list(one.ways)
                self.load[ways] += sign * self._instance.runs[run].sizes[one.size].area_mm2
                self.inside[self._groups.of[run], ways] += sign
        self.routes[run] = route

    def strangers(self, run: int) -> Array:
        """``(w,)`` how many runs in each way a run must be apart from."""
        return np.asarray(self.inside[self._groups.apart[self._groups.of[run]]].sum(axis=0))

    def crowded(self) -> Flags:
        """``(w,)`` ways that are overfull, or hold runs that must be apart."""
        bad = self.load > self.limit * (1.0 + FILL_EPS)
        for one, other in zip(*np.nonzero(self._groups.apart), strict=True):
            bad |= (self.inside[one] > 0) & (self.inside[other] > 0)
        return bad

    def taken_by(self, ways: Flags) -> list[int]:
        """Runs with a route through any of these ways."""
        return [k for k, route in enumerate(self.routes) if route is not None and ways[list(route.ways)].any()]

    def closed_to(self, run: int, area_mm2: float) -> Flags:
        """``(w,)`` where a run does not fit beside the others."""
        return np.asarray((self.load + area_mm2 > self.limit) | (self.strangers(run) > 0))

    @property
    def full(self) -> bool:
        """Whether every run has a route."""
        return all(route is not None for route in self.routes)

    @property
    def cost(self) -> float:
        """Cost of the routes there are, and of the ways they pass."""
        opened = float(self._opening[self.inside.any(axis=0)].sum())
        return opened + sum(route.cost for route in self.routes if route is not None)

    @property
    def unopened(self) -> Array:
        """``(w,)`` what it costs to be the first in a way; 0 where others are already."""
        return np.where(self.inside.any(axis=0), 0.0, self._opening)
