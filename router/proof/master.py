"""The linear programme over routes: which share of each route to take so that all rules hold on average."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from ribway.router.proof.instance import FILL_EPS, Array, Instance, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.linear import linear
from ribway.router.proof.prices import UNIT, Prices, Shut
from ribway.router.proof.rules import ALL, Cover, Overlap, Shares

TINY = 1e-7
MANY_RUNS = 100
NONE: frozenset[int] = frozenset()


class Master:
    """Grows by routes and by the rules that a solution breaks."""

    def __init__(self, instance: Instance, groups: Groups, unled_cost: float, free: bool = False) -> None:
        """Args: instance; groups; cost of leaving a run out; ``free``: routes cost nothing."""
        self._free = free
        self._instance, self._groups = instance, groups
        self._lp = linear()
        self.routes: list[Route] = []
        self._known: dict[object, int] = {}
        self._column: list[int] = []
        self._at: list[list[int]] = [[] for _ in range(instance.network.ways)]  # routes by way
        self._passages: list[tuple[int, int, int, float]] = []  # route, run, way, share of the limit
        self._table = np.empty((0, 4))
        self._fill: dict[tuple[int, int], int] = {}
        self._link: dict[tuple[int, int], int] = {}
        self._member: dict[tuple[int, int], int] = {}  # column: a group is let into a way
        self._rival: list[int] = []
        self._covers: list[tuple[Cover, int]] = []
        self._covers_of: dict[tuple[int, int], list[int]] = {}
        self._opening = instance.network.openings
        self._opened: dict[int, int] = {}  # column: a way is passed at all
        self._open_link: dict[tuple[int, int], int] = {}
        self._overlaps: list[tuple[Overlap, int]] = []
        self._split: set[int] = set()
        self._limit = instance.network.limit_mm2 * (1.0 + FILL_EPS)
        self._mates = [frozenset(np.flatnonzero(groups.of == g).tolist()) for g in range(groups.count)]
        for k in range(len(instance.runs)):
            self._lp.add_row(1.0, 1.0, {})
            self._lp.add_column(unled_cost, 1.0, {k: 1.0})

    @property
    def covers(self) -> tuple[Cover, ...]:
        """All covers so far."""
        return tuple(cover for cover, _ in self._covers)

    def add_routes(self, routes: Iterable[Route]) -> int:
        """Take routes in; those of known ways are left out. Returns how many were new."""
        new = 0
        for route in routes:
            known = self._known.get(route.key)
            if known is not None and self.routes[known].cost <= route.cost:
                continue
            new += 1
            self._known[route.key] = len(self.routes)
            area = self._area(route)
            entries = {route.run: 1.0}
            group = int(self._groups.of[route.run])
            for way in route.ways:
                for one in (group, ALL):
                    if (one, way) in self._fill:
                        entries[self._fill[one, way]] = area / self._limit[way]
                if (route.run, way) in self._link:
                    entries[self._link[route.run, way]] = 1.0
                if (route.run, way) in self._open_link:
                    entries[self._open_link[route.run, way]] = 1.0
                for row in self._covers_of.get((route.run, way), ()):
                    entries[row] = 1.0
                self._at[way].append(len(self.routes))
                self._passages.append((len(self.routes), route.run, way, area / max(float(self._limit[way]), 1e-12)))
            for rule, row in self._overlaps:
                if shared := rule.of(route):
                    entries[row] = float(shared)
            self._column.append(self._lp.add_column(0.0 if self._free else route.cost, 1.0, entries))
            self.routes.append(route)
        return new

    def restrict(self, shut: Shut) -> None:
        """Bounds of all columns for one part of the tree."""
        most = np.ones(len(self.routes))
        table = self._passage_table()
        index, run, way = (table[:, i].astype(np.int64) for i in range(3))
        most[index[shut.ways[self._groups.of[run], way]]] = 0.0
        for i, route in enumerate(self.routes if shut.arcs else ()):
            if shut.arcs.get(route.run, NONE).intersection(route.arcs):
                most[i] = 0.0
        columns = np.array([*self._column, *self._member.values()], dtype=np.int64)
        inside = [0.0 if shut.ways[g, way] else 1.0 for g, way in self._member]
        if len(columns):
            self._lp.set_most(columns, np.concatenate([most, inside]))

    def solve(self) -> Shares | None:
        """Optimum over the routes there are, after all rules that it breaks have been taken in."""
        while True:
            answer = self._lp.solve()
            if answer is None:
                return None
            shares = answer.columns[self._column] if self._column else np.empty(0)
            if not self._take_in_rules(shares, answer.columns):
                break
        used = [(self.routes[i], float(shares[i])) for i in np.flatnonzero(shares > 1e-9)]
        count = len(self._instance.runs)
        return Shares(
            answer.value, answer.duals[:count], tuple(used), answer.columns[:count], shares, self._prices(answer.duals)
        )

    def value_if_shut(self, pairs: Iterable[tuple[int, int]], steps: int) -> float:
        """About the value among the routes there are if pairs (group, way) were shut too; see `Linear.value_without`."""
        columns = []
        for group, way in pairs:
            columns += [self._column[i] for i in self._at[way] if self._groups.of[self.routes[i].run] == group]
            columns += [self._member[group, way]] if (group, way) in self._member else []
        return self._lp.value_without(np.array(columns, dtype=np.int64), steps)

    def usage(self, shares: Array) -> Array:
        """``(k, w)`` share with which each run passes each way, for ``(r,)`` shares of the routes."""
        table, ways = self._passage_table(), self._instance.network.ways
        shares = np.append(shares, np.zeros(len(self.routes) - len(shares)))  # routes newer than the solution
        place = table[:, 1].astype(np.int64) * ways + table[:, 2].astype(np.int64)
        weight = shares[table[:, 0].astype(np.int64)]
        return np.asarray(
            np.bincount(place, weight, len(self._instance.runs) * ways).reshape(len(self._instance.runs), ways),
            dtype=np.float64,
        )

    def add_cover(self, cover: Cover) -> None:
        """Take a cover in."""
        picky = cover.group != ALL and cover.way in self._split
        entries = {self._column[i]: 1.0 for i in self._at[cover.way] if self.routes[i].run in cover.runs}
        if picky:
            entries[self._member[cover.group, cover.way]] = -float(cover.most)
        row = self._lp.add_row(-np.inf, 0.0 if picky else float(cover.most), entries)
        self._covers.append((Cover(cover.way, cover.group if picky else ALL, cover.runs, cover.most), row))
        for run in cover.runs:
            self._covers_of.setdefault((run, cover.way), []).append(row)

    def add_overlap(self, rule: Overlap) -> None:
        """Take in that a plan may share only so many passages with another."""
        entries = {}
        for i, route in enumerate(self.routes):
            if shared := rule.of(route):
                entries[self._column[i]] = float(shared)
        self._overlaps.append((rule, self._lp.add_row(-np.inf, float(rule.most), entries)))

    def _area(self, route: Route) -> float:
        return self._instance.runs[route.run].sizes[route.size].area_mm2

    def _passage_table(self) -> Array:
        if len(self._passages) > len(self._table):
            self._table = np.vstack([self._table, self._passages[len(self._table) :]])
        return self._table

    def _take_in_rules(self, shares: Array, columns: Array) -> int:
        new, of = 0, self._groups.of
        use = self.usage(shares)
        table, ways = self._passage_table(), self._instance.network.ways
        group = of[table[:, 1].astype(np.int64)]
        weight = shares[table[:, 0].astype(np.int64)] * table[:, 3]
        load = np.bincount(group * ways + table[:, 2].astype(np.int64), weight, self._groups.count * ways).reshape(
            self._groups.count, ways
        )
        for way in np.flatnonzero(load.sum(axis=0) > 1.0 + TINY).tolist():
            if (ALL, way) not in self._fill:
                self._add_fill(ALL, way)
                new += 1
        inside = np.zeros((self._groups.count, ways))
        for (one, way), column in self._member.items():
            inside[one, way] = columns[column]
        split = np.zeros(ways, dtype=bool)
        split[list(self._split)] = True
        # In large instances the rules of fill and the plainest of these links must do: more would slow every solution.
        few = 1e-9 if len(of) <= MANY_RUNS else 0.5
        picky = np.asarray(self._groups.apart.any(axis=1))[of]
        for run, way in zip(
            *np.nonzero((use > inside[of] + (TINY if len(of) <= MANY_RUNS else 0.2)) & split & picky[:, None]),
            strict=True,
        ):
            if (int(run), int(way)) not in self._link:
                self._add_link(int(run), int(way))
                new += 1
        most = np.maximum(load, [use[list(mates)].max(axis=0, initial=0.0) for mates in self._mates])
        crowd = (
            np.max([most[list(some)].sum(axis=0) for some in self._groups.rivals], axis=0)
            if self._groups.rivals
            else load[0] * 0
        )
        for way in np.flatnonzero((crowd > 1.0 + TINY) & ~split).tolist():
            self._add_split(way)
            for run in np.flatnonzero((use[:, way] > few) & picky).tolist():
                self._add_link(run, way)
            new += 1
        return new + self._take_in_openings(use, columns)

    def _take_in_openings(self, use: Array, columns: Array) -> int:
        """Who passes a way that costs something pays for its opening."""
        if not self._opening.any():
            return 0
        opened = np.zeros(len(self._opening))
        for way, column in self._opened.items():
            opened[way] = columns[column]
        new = 0
        for run, way in np.argwhere((use > opened + TINY) & (self._opening > 0.0)).tolist():
            if way not in self._opened:
                self._opened[way] = self._lp.add_column(float(self._opening[way]), 1.0, {})
            if (run, way) not in self._open_link:
                entries = {self._column[i]: 1.0 for i in self._at[way] if self.routes[i].run == run}
                entries[self._opened[way]] = -1.0
                self._open_link[run, way] = self._lp.add_row(-np.inf, 0.0, entries)
                new += 1
        return new

    def _add_fill(self, group: int, way: int) -> None:
        entries = {
            self._column[i]: self._area(self.routes[i]) / float(self._limit[way])
            for i in self._at[way]
            if group in (ALL, int(self._groups.of[self.routes[i].run]))
        }
        if group != ALL:
            entries[self._member[group, way]] = -1.0
        self._fill[group, way] = self._lp.add_row(-np.inf, 1.0 if group == ALL else 0.0, entries)

    def _add_split(self, way: int) -> None:
        self._split.add(way)
        for group in range(self._groups.count):
            if self._groups.picky(group):
                self._member[group, way] = self._lp.add_column(0.0, 1.0, {})
                if self._limit[way] > 0.0:
                    self._add_fill(group, way)
        for some in self._groups.rivals:
            self._rival.append(self._lp.add_row(-np.inf, 1.0, {self._member[g, way]: 1.0 for g in some}))

    def _add_link(self, run: int, way: int) -> None:
        entries = {self._column[i]: 1.0 for i in self._at[way] if self.routes[i].run == run}
        entries[self._member[int(self._groups.of[run]), way]] = -1.0
        self._link[run, way] = self._lp.add_row(-np.inf, 0.0, entries)

    def _prices(self, duals: Array) -> Prices:
        """Prices from duals; a dual of the wrong sign, which only rounding gives, counts as 0."""
        price = np.maximum(0.0, -duals)
        ways, groups = self._instance.network.ways, self._groups.count
        per_mm2 = np.zeros((groups + 1, ways))
        toll, reward = np.zeros((len(self._instance.runs), ways)), np.zeros((groups, ways))
        allowed = 0.0
        for (group, way), row in self._fill.items():
            per_mm2[group, way] = price[row] / self._limit[way]
            # Rounded back from the price really charged, so that the two belong together.
            if group == ALL:
                allowed += per_mm2[group, way] * self._limit[way]
            else:
                reward[group, way] += per_mm2[group, way] * self._limit[way]
        for (run, way), row in self._link.items():
            toll[run, way] += price[row]
            reward[self._groups.of[run], way] += price[row]
        for cover, row in self._covers:
            if price[row] > 0.0:
                toll[list(cover.runs), cover.way] += price[row]
                if cover.group == ALL:
                    allowed += cover.most * price[row]
                else:
                    reward[cover.group, cover.way] += cover.most * price[row]
        paid = np.zeros(ways)
        for (run, way), row in self._open_link.items():
            toll[run, way] += price[row]
            paid[way] += price[row]
        # Opening a way that runs pay more for than it costs gives the difference back; raised by more than rounding could be.
        over = np.maximum(0.0, paid - self._opening) + (8.0 + len(toll)) * UNIT * paid
        allowed += float(over.sum()) * (1.0 + ways * UNIT)
        for rule, row in self._overlaps:
            if price[row] > 0.0:
                for run, way in rule.passages:
                    toll[run, way] += price[row]
                allowed += rule.most * price[row]
        return Prices(per_mm2, toll, reward, allowed)
