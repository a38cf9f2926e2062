"""Prices without a linear programme: steps along what is overdrawn, and the average of the routes met on the way.

The volume algorithm (Barahona and Anbil 2000, The volume algorithm: producing primal solutions with a subgradient method,
Math. Programming 87): each round prices all runs once, costs no more than that, and gives a bound by any prices it tries.
The average of the routes comes close to a best solution of the linear programme, and so tells which routes matter.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from ribway.router.proof.instance import FILL_EPS, Array, Flags, Instance, Ints, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.prices import Prices, Shut, lower_bound
from ribway.router.proof.pricing import Priced, Pricer
from ribway.router.proof.sacks import UNITS, fullest, in_units, unit_of

FIRST_STEP, LEAST_STEP = 0.3, 0.0005
FIRST_WEIGHT, LEAST_WEIGHT = 0.1, 0.02
FAILS = 5  # rounds without a better bound before steps get shorter
MET = 0.02  # average use from which a run counts among those that crowd a way
TIE = 1e-5
GIVEN = ("_instance", "_groups", "_pricer", "_shut")
OVER = 1.03  # target above the best bound while no plan is known


@dataclass(frozen=True, eq=False)
class Ascended:
    """What came of it.

    Args:
        bound: the best met.
        prices: those that gave it.
        priced: routes at them.
        routes: all that were met, with their weight in the average.
        use: ``(k, w)`` average use of ways by runs.
        owner: ``(g, w)`` average of which groups are let into ways.
        rounds: pricing rounds.
    """

    bound: float
    prices: Prices
    priced: Priced
    routes: tuple[tuple[Route, float], ...]
    use: Array
    owner: Array
    rounds: int


class Ascent:
    """Multipliers and averages of one ascent, which may be gone on with."""

    def __init__(self, instance: Instance, groups: Groups, pricer: Pricer, shut: Shut) -> None:
        """Args: instance; groups of its runs; what prices it; what is not to be used."""
        self._instance, self._groups, self._pricer, self._shut = instance, groups, pricer, shut
        runs, ways, count = len(instance.runs), instance.network.ways, groups.count
        self._limit = np.maximum(instance.network.limit_mm2 * (1.0 + FILL_EPS), 1e-12)
        self._mixed = any(len(some) > 1 for some in groups.together)
        self._hot: Ints = np.empty(0, dtype=np.int64)  # ways that kinds which keep apart have met in
        self._fill = np.zeros((count + 1, ways))  # price of a whole way, for each group and for all
        self._toll = np.zeros((runs, 0))
        self._thin = np.array([min(size.area_mm2 for size in run.sizes) for run in instance.runs])
        areas = [np.unique(self._thin[groups.of == group]) for group in range(count)]
        self._unit = np.array([unit_of(some, self._limit) for some in areas])
        self._use, self._let = np.zeros((runs, ways)), np.zeros((runs, ways))
        self._load, self._owner = np.zeros((count, ways)), np.zeros((count, ways))
        self._weight: dict[Route, float] = {}
        self._scale = 1.0  # weights are kept undiminished, times this
        self._step, self._alpha = FIRST_STEP, FIRST_WEIGHT
        self._best: tuple[float, Prices, Priced] | None = None
        self._rounds = 0

    def run(self, rounds: int, target: float, close: float, expired: Callable[[], bool] = bool) -> None:
        """Go on for some rounds.

        Args:
            rounds: at most.
            target: cost of the best plan known; infinite without one.
            close: relative gap to it at which there is no need to go on.
            expired: whether a user's cap on time is met.
        """
        center = self._at_center()
        fails = 0
        for number in range(rounds):
            if self._best is not None and (self._best[0] >= target * (1.0 - close) or expired()):
                break
            first = self._best is None
            trial = (self._fill, self._toll) if first else self._trial(center, target)
            prices, inside = self._prices(*trial)
            priced = self._pricer.price(prices, self._shut, widen=number % 5 == 0, every=False)
            bound = lower_bound(priced.values, prices, self._groups, self._shut, self._instance.network.nodes)
            self._rounds += 1
            lookahead = self._average(priced, prices, inside)
            before = -math.inf if self._best is None else self._best[0]
            if bound > before:
                self._best = (bound, prices, priced)
                self._fill, self._toll = trial
                center = bound
                fails = 0
                if lookahead > 0.0 and not first:
                    self._step = min(self._step * 1.1, 2.0)
            else:
                fails += 1
                if fails >= FAILS:
                    self._step = max(self._step * 0.66, LEAST_STEP)
                    self._alpha = max(self._alpha * 0.8, LEAST_WEIGHT)
                    fails = 0
            self._heat()

    def standing(self) -> dict[str, Any]:
        """All that steps change, so that another process may have taken them."""
        return {name: value for name, value in vars(self).items() if name not in GIVEN}

    def go_on_from(self, standing: dict[str, Any]) -> None:
        """Stand where steps taken elsewhere ended."""
        vars(self).update(standing)

    def _at_center(self) -> float:
        return -math.inf if self._best is None else self._best[0]

    def _over(self, use: Array, load: Array, owner: Array, let: Array) -> tuple[Array, Array]:
        """By how much rules are broken: fill of each group and of all, and passing by runs that are not let in."""
        share = load / self._limit
        every = share.sum(axis=0) - 1.0 if self._mixed else np.full(len(self._limit), -1.0)
        fill = np.vstack([share - owner, every])
        return fill, use[:, self._hot] - let[:, self._hot]

    def _trial(self, center: float, target: float) -> tuple[Array, Array]:
        fill, toll = self._over(self._use, self._load, self._owner, self._let)
        fill = np.where((self._fill > 0.0) | (fill > 0.0), fill, 0.0)
        toll = np.where((self._toll > 0.0) | (toll > 0.0), toll, 0.0)
        norm = float((fill * fill).sum() + (toll * toll).sum())
        goal = min(target, center * OVER) if center > 0.0 else target
        if norm <= 0.0:
            return self._fill, self._toll
        step = self._step * max(goal - center, 1e-6 * abs(center)) / norm
        return np.maximum(0.0, self._fill + step * fill), np.maximum(0.0, self._toll + step * toll)

    def _prices(self, fill: Array, toll: Array) -> tuple[Prices, Flags]:
        """Prices of multipliers, and ``(k, h)`` which runs would be let into hot ways if their group were.

        What a group gives back for a way is what the runs that fit it together pay at most, not what all would pay: that
        is worth more than any rule on area alone.
        """
        full = np.zeros((len(self._instance.runs), self._instance.network.ways))
        full[:, self._hot] = toll
        per_mm2 = fill / self._limit
        # Rounded back from the price really charged, so that the two belong together.
        reward = per_mm2[:-1] * self._limit
        inside = np.ones(toll.shape, dtype=bool)
        for group in range(self._groups.count):
            mates = np.flatnonzero(self._groups.of == group)
            paid, chosen = self._packed(mates, toll[mates])
            reward[group, self._hot] += paid
            inside[mates] = chosen
        return Prices(per_mm2, full, reward, math.fsum(per_mm2[-1] * self._limit)), inside

    def _packed(self, mates: Ints, toll: Array) -> tuple[Array, Flags]:
        """``(h,)`` the most that runs which fit a way together pay for it, and ``(m, h)`` which runs these are."""
        use = self._use[np.ix_(mates, self._hot)]
        area, limit = self._thin[mates], self._limit[self._hot]
        counts = (toll > 0.0) | (use > MET)
        crowded = np.flatnonzero(area @ counts > limit)
        paid, chosen = toll.sum(axis=0), np.ones(toll.shape, dtype=bool)
        if not len(crowded):
            return paid, chosen
        some = counts[:, crowded]
        most = int(some.sum(axis=0).max())
        rank = np.argsort(~some, axis=0, kind="stable")[:most].T  # those that count come first
        within = np.take_along_axis(some.T, rank, axis=1)
        # Where nothing is paid, those that pass are let in; what that adds to the price lowers the bound at most.
        tie = TIE * float(toll.max(initial=0.0)) * use[:, crowded].T
        worth = np.where(within, np.take_along_axis(toll[:, crowded].T + tie, rank, axis=1), 0.0)
        unit = self._unit[self._groups.of[mates[0]], self._hot[crowded]]
        size, room = in_units(area[rank], limit[crowded, None], unit[:, None])
        paid[crowded], taken = fullest(worth, np.where(within, size, UNITS + 1), room[:, 0])
        let = np.zeros((len(crowded), len(mates)), dtype=bool)
        np.put_along_axis(let, rank, taken & within, axis=1)
        chosen[:, crowded] = let.T
        return paid, chosen

    def _average(self, priced: Priced, prices: Prices, inside: Flags) -> float:
        """Take the newest routes into the average; returns how far the old direction still points up."""
        runs, of = self._instance.runs, self._groups.of
        chosen = [some[0][1] for some in priced.offers if some]
        run = np.array([route.run for route in chosen for _ in route.ways], dtype=np.int64)
        way = np.array([way for route in chosen for way in route.ways], dtype=np.int64)
        area = np.array([runs[route.run].sizes[route.size].area_mm2 for route in chosen for _ in route.ways])
        load = np.zeros_like(self._load)
        np.add.at(load, (of[run], way), area)
        owner = self._let_in(prices, load)
        use = np.zeros_like(self._use)
        use[run, way] = 1.0
        let = owner[of]
        let[:, self._hot] *= inside
        old_fill, old_toll = self._over(self._use, self._load, self._owner, self._let)
        fill, toll = self._over(use, load, owner, let)
        ahead = float((old_fill * fill).sum() + (old_toll * toll).sum())
        alpha = self._newest(old_fill, old_toll, fill, toll) if self._weight else 1.0
        self._use *= 1.0 - alpha
        self._use[run, way] += alpha
        self._load += alpha * (load - self._load)
        self._owner += alpha * (owner - self._owner)
        self._let += alpha * (let - self._let)
        self._scale *= 1.0 - alpha
        if self._scale < 1e-9:
            self._weight = {route: weight * self._scale for route, weight in self._weight.items()}
            self._scale = 1.0
        for route in chosen:
            self._weight[route] = self._weight.get(route, 0.0) + alpha / self._scale
        return ahead

    def _newest(self, old_fill: Array, old_toll: Array, fill: Array, toll: Array) -> float:
        """Weight of the newest routes: that which breaks rules least together with the average, within limits."""
        far_fill, far_toll = fill - old_fill, toll - old_toll
        idle_fill = (self._fill <= 0.0) & (old_fill <= 0.0) & (fill <= 0.0)
        idle_toll = (self._toll <= 0.0) & (old_toll <= 0.0) & (toll <= 0.0)
        far_fill[idle_fill], far_toll[idle_toll] = 0.0, 0.0
        far = float((far_fill * far_fill).sum() + (far_toll * far_toll).sum())
        best = -float((old_fill * far_fill).sum() + (old_toll * far_toll).sum()) / far if far > 0.0 else 1.0
        return min(max(best, self._alpha / 10.0), self._alpha)

    def _let_in(self, prices: Prices, load: Array) -> Array:
        """``(g, w)`` groups let into each way: those that give most back; among equals those that are there."""
        given = np.where(self._shut.ways, 0.0, prices.reward)
        tie = 1e-9 * (load > 0.0) + 1e-9 * load / self._limit
        sums = np.array([(given + tie)[list(some)].sum(axis=0) for some in self._groups.together])
        best = np.argmax(sums, axis=0)
        owner = np.zeros_like(load)
        for number, some in enumerate(self._groups.together):
            for group in some:
                owner[group, best == number] = 1.0
        return owner

    def _heat(self) -> None:
        """Ways that kinds which keep apart meet in, or that are overfull, get prices of passing."""
        present = np.zeros((self._groups.count, len(self._limit)), dtype=bool)
        np.maximum.at(present, self._groups.of, self._use > 1e-6)
        meet = (self._load > self._limit).any(axis=0)
        for one, other in zip(*np.nonzero(self._groups.apart), strict=True):
            meet |= present[one] & present[other]
        new = np.setdiff1d(np.flatnonzero(meet), self._hot)
        if len(new):
            self._hot = np.concatenate([self._hot, new])
            self._toll = np.hstack([self._toll, np.zeros((len(self._toll), len(new)))])

    def found(self) -> Ascended | None:
        """What came of it so far; None before the first round."""
        if self._best is None:
            return None
        bound, prices, priced = self._best
        routes = tuple((route, weight * self._scale) for route, weight in self._weight.items())
        return Ascended(bound, prices, priced, routes, self._use.copy(), self._owner.copy(), self._rounds)


def promising(instance: Instance, groups: Groups, found: Ascended, most: int) -> list[Route]:
    """The routes that were met with the least priced cost above the least of their run, so many a run on average."""
    area = found.prices.per_mm2[:-1] + found.prices.per_mm2[-1]
    ranked = []
    for route, _ in found.routes:
        ways, size = list(route.ways), instance.runs[route.run].sizes[route.size]
        priced = route.cost + float(found.prices.toll[route.run, ways].sum())
        priced += size.area_mm2 * float(area[groups.of[route.run], ways].sum())
        ranked.append((priced - float(found.priced.values[route.run]), route.run, route.arcs, route))
    ranked.sort(key=lambda one: one[:3])
    return [route for _, _, _, route in ranked[: most * len(instance.runs)]]
