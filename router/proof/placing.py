"""Plans by putting runs in one by one: negotiation for a start, then making room and polishing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np

from ribway.router.proof.blocks import Store
from ribway.router.proof.finder import Finder
from ribway.router.proof.instance import Array, Flags, Instance, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.negotiating import Negotiation, Pace
from ribway.router.proof.prices import Prices
from ribway.router.proof.table import Table

TRIES = 10  # times that others are asked to make room, for each run that waits
SHUN = 0.1  # of a run's least cost
DEEPEST = 3


AGAIN = 80  # sweeps at most, when a negotiation is gone on with
SLOW, FAST = Pace(0.1, 1.03, 0.5, 0.1), Pace(0.5, 1.3)


class Placer:
    """Searches for plans; remembers every route it met, for the linear programme to choose from."""

    def __init__(
        self,
        instance: Instance,
        groups: Groups,
        shunned: Iterable[tuple[int, int]] = (),
        twin: Store | None = None,
    ) -> None:
        """Args: instance; groups; ``shunned``: (run, way) to be passed only if nothing else is near; a store to share."""
        self._instance, self._groups = instance, groups
        self.finder = Finder(instance, twin)
        self._thin = np.array([min(size.area_mm2 for size in run.sizes) for run in instance.runs])
        self._free = np.zeros(instance.network.ways)
        self._tries = 0
        self.met: dict[object, Route] = {}
        self._shun: dict[int, Array] = {}
        for run, way in shunned:
            self._shun.setdefault(run, self._free.copy())[way] = SHUN * self.finder.least[run]

    def negotiation(self, guide: Prices | None = None) -> Negotiation:
        """A negotiation between all runs, with prices to begin with."""
        least = self.finder.least
        unit = float(np.median(least[np.isfinite(least)], axis=None)) * 0.1
        return Negotiation(self._instance, self._groups, unit, guide, self._seek)

    def repair(self, table: Table) -> bool:
        """Take runs out of crowded ways and put them back where they fit. Returns whether all got a route."""
        bad = table.crowded()
        out = sorted(table.taken_by(bad), key=lambda run: (-self._thin[run], run))
        for run in out:
            table.put(run, None)
        waiting = sorted(
            (k for k, route in enumerate(table.routes) if route is None), key=lambda run: (-self._thin[run], run)
        )
        self._tries = TRIES * len(waiting)
        for run in waiting:
            self._place(table, run, DEEPEST, frozenset())
        return table.full

    def settled(self, sweeps: int, guide: Prices | None, pace: Pace) -> Table | None:
        """A plan by negotiation (arguments as there), mended and polished; None if not every run got a route."""
        table = self.negotiation(guide).settle(sweeps, pace)
        return table if self._made_whole(table) else None

    def settled_often(
        self, sweeps: int, guide: Prices | None, pace: Pace, times: int, expired: Callable[[], bool] = bool
    ) -> Table | None:
        """The best plan of a negotiation that is gone on with from where it settled; None if there was none.

        Args:
            sweeps: of the first time.
            guide: prices to begin with.
            pace: how fast ways that are crowded get dear.
            times: how often it settles.
            expired: whether a user's cap on time is met.
        """
        going, best = self.negotiation(guide), None
        for number in range(times):
            table = going.settle(AGAIN if number else sweeps, pace).copy()
            if self._made_whole(table) and (best is None or table.cost < best.cost):
                best = table
            if expired():
                break
            going.forget(pace.kept)
        return best

    def _made_whole(self, table: Table) -> bool:
        """Mend and polish; whether every run has a route."""
        if not self.repair(table):
            return False
        self.polish(table, 3)
        return True

    def polish(self, table: Table, sweeps: int) -> None:
        """Look for a cheaper route for every run, the others held where they are, then by letting others move."""
        for _ in range(sweeps):
            before = table.cost
            for run in range(len(self._instance.runs)):
                self._shift(table, run)
            if table.cost > before * (1.0 - 1e-9):
                for run in range(len(self._instance.runs)):
                    self._swap(table, run)
            if table.cost > before * (1.0 - 1e-9):
                return

    def fill_up(self, routes: Sequence[Route]) -> Table:
        """A table with these routes where they fit, in this order, and all other runs put in beside them."""
        table = Table(self._instance, self._groups)
        for route in routes:
            size = self._instance.runs[route.run].sizes[route.size]
            if (
                table.routes[route.run] is None
                and not table.closed_to(route.run, size.area_mm2)[list(route.ways)].any()
            ):
                table.put(route.run, route)
        self.repair(table)
        return table

    def _seek(self, run: int, toll: Array, per_mm2: Array | None, old: Route | None) -> Route | None:
        return self._find(run, toll, per_mm2, self._worth(old, toll, per_mm2))

    def _worth(self, route: Route | None, toll: Array, per_mm2: Array | None) -> float:
        """Just above what a known route costs at these prices: a search need not look beyond; infinite without one."""
        if route is None:
            return np.inf
        ways = list(route.ways)
        cost = route.cost + float(toll[ways].sum())
        if route.run in self._shun:
            cost += float(self._shun[route.run][ways].sum())
        if per_mm2 is not None:
            cost += self._instance.runs[route.run].sizes[route.size].area_mm2 * float(per_mm2[ways].sum())
        return cost * (1.0 + 1e-9) + 1e-12

    def _find(self, run: int, toll: Array, per_mm2: Array | None = None, below: float = np.inf) -> Route | None:
        if run in self._shun:
            toll = toll + self._shun[run]
        route = self.finder.route(run, toll, self._free if per_mm2 is None else per_mm2, below)
        if route is not None:
            self.met.setdefault(route.key, route)
        return route

    def hard(self, table: Table, run: int, below: float = np.inf) -> Route | None:
        """Cheapest route that fits beside the others and costs less than ``below``, ways that it opens included.

        A thicker size is checked after it is found.
        """
        fresh = table.unopened
        toll = np.where(table.closed_to(run, float(self._thin[run])), np.inf, fresh)
        route = self._find(run, toll, below=below)
        if route is not None:
            area = self._instance.runs[run].sizes[route.size].area_mm2
            if table.closed_to(run, area)[list(route.ways)].any():
                return self._find(run, np.where(table.closed_to(run, area), np.inf, fresh), below=below)
        return route

    def _shift(self, table: Table, run: int) -> None:
        old = table.routes[run]
        table.put(run, None)
        worth = np.inf if old is None else old.cost + float(table.unopened[list(old.ways)].sum()) - 1e-12
        new = self.hard(table, run, worth)
        table.put(run, old if new is None else new)

    def _swap(self, table: Table, run: int) -> None:
        """Give a run its cheapest route of all, if those that make room lose less than it gains."""
        old = table.routes[run]
        if old is None or old.cost <= self.finder.least[run] * (1.0 + 1e-9):
            return
        before, cost = list(table.routes), table.cost
        self._tries = 1
        table.put(run, None)
        if not self._place(table, run, 1, frozenset(), dear=old.cost) or table.cost >= cost - 1e-12:
            for other, route in enumerate(before):
                if table.routes[other] is not route:
                    table.put(other, route)

    def _place(self, table: Table, run: int, depth: int, kept: frozenset[int], dear: float = np.inf) -> bool:
        """Put a run in; if it fits nowhere (or only dearly), where others can make room, to some depth."""
        route = self.hard(table, run) if dear == np.inf else None
        if route is not None:
            table.put(run, route)
            return True
        if depth == 0 or self._tries <= 0:
            return False
        self._tries -= 1
        before = list(table.routes)
        area = float(self._thin[run])
        held = np.zeros(len(self._free), dtype=bool)
        for other in kept:
            at = before[other]
            held[list(at.ways if at is not None else ())] = True
        closed = table.closed_to(run, area)
        unit = 0.05 * float(self.finder.least[run]) if dear < np.inf else 0.5 * float(self.finder.least[run])
        route = self._find(run, np.where(closed & held, np.inf, table.unopened + unit * closed))
        if route is None or route.cost >= dear:
            return False
        table.put(run, route)
        moved = [k for k in table.taken_by(self._mask(route) & table.crowded()) if k != run]
        if kept.intersection(moved):
            done = False
        else:
            for other in moved:
                table.put(other, None)
            order = sorted(moved, key=lambda one: (-self._thin[one], one))
            done = not table.crowded()[list(route.ways)].any() and all(
                self._place(table, other, depth - 1, kept | {run}) for other in order
            )
        if not done:
            for other, old in enumerate(before):
                if table.routes[other] is not old:
                    table.put(other, old)
        return done

    def _mask(self, route: Route) -> Flags:
        mask = np.zeros(len(self._free), dtype=bool)
        mask[list(route.ways)] = True
        return mask
