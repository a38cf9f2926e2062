"""All runs at once: a plan, and a lower bound on the cost of every plan."""

from __future__ import annotations

import heapq
import math
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from ribway.models.told import Told, untold
from ribway.router.proof.branching import Fork, Part, forks, steepest
from ribway.router.proof.certificate import certify
from ribway.router.proof.generation import Generated, whole
from ribway.router.proof.instance import Instance
from ribway.router.proof.many import MANY_RUNS, ManyRuns
from ribway.router.proof.restricted import best_of
from ribway.router.proof.result import Limits, Result
from ribway.router.proof.rules import Shares

NODE_ROUNDS = 25
ROUND_EVERY = 3  # parts of the tree between plans made from a solution's shares
NEAR = 3.0  # room, in tolerances, within which the tree is done sooner than a choice among routes
CHOICE = 4  # routes a run to choose from, on average
DIVE_ROUNDS = 3
TRIED = 12  # forks of a part that are tried out
STEPS = 30  # of the simplex method, for each half of a fork that is tried
SURE = 0.9  # a share above this counts as whole in a dive
DIVE_EVERY = 12
THIN_AGAIN = 1.15  # when the room above the bound has shrunk by this


def solve(
    instance: Instance,
    limits: Limits | None = None,
    clock: Callable[[], float] = time.perf_counter,
    told: Told = untold,
) -> Result:
    """Routes for all runs, and what the best routes could cost at least.

    Args:
        instance: network, runs and rules.
        limits: where to stop.
        clock: read only if the limits have a cap on time.
        told: after each stage, how many parts of the tree were looked at, of how many at most.

    Returns:
        The result; it holds at any count at which the search was stopped.
    """
    found = Search(instance, limits or Limits(), clock, told=told).run()
    if not found.routes and not found.proven and certify(instance).proved:
        return replace(found, bound=math.inf, proven=True)
    return found


class Search(ManyRuns):
    """One search: start, column generation, choice among routes, tree."""

    _root: Generated | None = None

    def run(self) -> Result:
        """Search until the plan is proved or a limit is met."""
        if not self._prepare():
            return self._result(math.inf)
        ascent = self._first_steps()
        if len(self._instance.runs) > MANY_RUNS and not self._overlaps:
            self._without_programme(ascent)
            return self._result(self._bound)
        self._first_plans(ascent.found(), enough=len(self._instance.runs) > MANY_RUNS)
        self._master.add_routes(self._placer.met.values())
        for rule in self._overlaps:
            self._master.add_overlap(rule)
        self._note("start")
        part = Part()
        found = self._look(part, self._limits.rounds, cuts=12)
        self._bound = max(self._bound, found.bound)
        self._note("prices")
        for _ in range(3):
            if self._done() or found.shares is None or found.prices is None or found.priced is None:
                break
            self._root = found
            before = self._cost - self._bound
            self._round(found)
            if self._cost - self._bound > NEAR * self._limits.tolerance * self._cost:
                self._choose()
            self._dive(found, part)
            self._note("choice")
            if self._done() or self._cost - self._bound > 0.7 * before:
                break
            self._thin()
            found = self._look(part, self._limits.rounds, cuts=12)
            self._bound = max(self._bound, min(found.bound, self._thinned_at))
        self._note("root")
        return self._result(self._tree(part, found))

    def _tree(self, root: Part, found: Generated) -> float:
        """Best first; returns the bound over all parts."""
        heap: list[tuple[float, int, Part, Generated | None]] = [(self._bound, 0, root, found)]
        closed, count = math.inf, 0
        while heap and not self._done() and self._nodes < self._limits.nodes:
            bound, _, part, known = heapq.heappop(heap)
            if bound >= self._cutoff:
                closed = min(closed, bound)
                break
            if known is None:
                known = self._look(part, NODE_ROUNDS, cuts=1)
                self._nodes += 1
                bound = max(bound, min(known.bound, self._thinned_at))
            else:  # the programme may stand elsewhere, after a dive
                self._master.restrict(part.shut(self._groups.count, self._instance.network.ways))
                known = replace(known, shares=self._master.solve())
            if bound >= self._cutoff:
                closed = min(closed, bound)
                continue
            shares = known.shares
            if shares is None:
                closed = min(closed, bound)
                continue
            fork = self._fork(part, shares)
            if whole(shares):
                self._offer([route for route, _ in shares.routes])
            elif self._nodes % ROUND_EVERY == 0:
                self._round(known)
            if self._nodes % DIVE_EVERY == DIVE_EVERY - 1:
                self._dive(known, part)
            if fork is None:
                closed = min(closed, bound)
                continue
            for one in fork.parts:
                count += 1
                heapq.heappush(heap, (bound, count, one, None))
            self._note("tree")
            self._thin()
        return min([closed, *(one[0] for one in heap)])

    def _fork(self, part: Part, shares: Shares) -> Fork | None:
        """Where to split a part; the programme must be that of the part."""
        use = self._master.usage(shares.shares)
        found = forks(self._instance, self._groups, part, use, shares.routes, shares.worth, TRIED)
        if not found:
            return None
        room = max(self._cutoff - shares.value, 1e-9 * abs(shares.value)) if self._plan else abs(shares.value)
        return steepest(found, shares.value, room, lambda shut: self._master.value_if_shut(shut, STEPS))

    def _look(self, part: Part, most: int, cuts: int) -> Generated:
        shut = part.shut(self._groups.count, self._instance.network.ways)
        self._master.restrict(shut)
        return self._generator.run(shut, most, close=2e-5, enough=self._cutoff, cuts=cuts)

    def _thin(self) -> None:
        """Drop arcs that only plans dearer than needed could use, if the plan got cheaper since this was last done."""
        root = self._root
        if not self._plan or root is None or root.prices is None or root.priced is None:
            return
        if self._thinned_at - root.bound < THIN_AGAIN * (self._cutoff - root.bound):
            return
        part = Part().shut(self._groups.count, self._instance.network.ways)
        self._pricer.thin(root.prices, part, root.priced, self._cutoff - root.bound)
        self._thinned_at = min(self._thinned_at, self._cutoff)

    def _round(self, found: Generated) -> None:
        """A plan from a solution's shares: whole routes first, the rest put in where they fit."""
        if found.shares is None:
            return
        ranked = sorted(found.shares.routes, key=lambda one: (-one[1], one[0].run, one[0].arcs))
        table = self._placer.fill_up([route for route, _ in ranked])
        if table.full:
            self._placer.polish(table, 2)
            self._offer([route for route in table.routes if route is not None])

    def _dive(self, found: Generated, part: Part) -> None:
        """Fix the routes of the smallest group that must keep apart, the surest first, and price the others anew.

        With these settled, what is left couples by fill alone, and its solution is nearly whole.
        """
        picky = [g for g in range(self._groups.count) if self._groups.picky(g) and (self._groups.of == g).any()]
        if not picky:
            return
        group = min(picky, key=lambda g: (int((self._groups.of == g).sum()), g))
        rivals = np.flatnonzero(self._groups.apart[group])
        left = set(np.flatnonzero(self._groups.of == group).tolist())
        every = frozenset(range(len(self._instance.network.source)))
        while left and found.shares is not None and found.bound < self._cutoff:
            ranked = sorted(
                (one for one in found.shares.routes if one[0].run in left),
                key=lambda one: (-one[1], one[0].run, one[0].arcs),
            )
            if not ranked:
                return
            sure = [route for share, route in ((b, a) for a, b in ranked) if share > SURE] or [ranked[0][0]]
            for route in sure:
                part = Part(
                    part.ways | {(int(b), way) for b in rivals for way in route.ways},
                    {**part.arcs, route.run: every.difference(route.arcs)},
                    part.depth + 1,
                )
                left.discard(route.run)
            found = self._look(part, DIVE_ROUNDS if left else NODE_ROUNDS, cuts=0 if left else 2)
        if found.bound < self._cutoff:
            self._round(found)

    def _choose(self) -> None:
        """The best plan among routes that a better plan could hold."""
        if self._root is None or self._root.prices is None or self._root.priced is None:
            return
        prices, values = self._root.prices, self._root.priced.values
        self._master.add_routes(self._placer.met.values())
        room = self._cost - self._root.bound
        area = prices.per_mm2[:-1] + prices.per_mm2[-1]
        ranked = []
        for route in self._master.routes:
            ways = list(route.ways)
            size = self._instance.runs[route.run].sizes[route.size]
            priced = route.cost + prices.toll[route.run, ways].sum()
            priced += size.area_mm2 * area[self._groups.of[route.run], ways].sum()
            if priced - values[route.run] <= room:
                ranked.append((priced - values[route.run], route.run, route.arcs, route))
        ranked.sort()
        some = [route for _, _, _, route in ranked[: CHOICE * len(self._instance.runs)]]
        some += [route for route in self._plan if route not in some]
        chosen = best_of(
            self._instance,
            self._groups,
            some,
            self._master.covers,
            self._cost * (1.0 - 1e-6),
            self._limits.choice_nodes,
            self._limits.tolerance / 10.0,
            [({i: float(rule.of(route)) for i, route in enumerate(some)}, float(rule.most)) for rule in self._overlaps],
        )
        if chosen is not None:
            self._offer(chosen)

    def _result(self, bound: float) -> Result:
        bound = max(self._bound, min(bound, self._cost, self._thinned_at))
        if not self._plan and bound == math.inf:
            return Result((), math.inf, math.inf, True, 0, 0, False)
        proven = bool(self._plan) and bound >= self._cost * (1.0 - self._limits.tolerance)
        rounds = self._generator.rounds
        return Result(
            tuple(self._plan),
            self._cost,
            bound,
            proven,
            rounds,
            self._nodes,
            self._capped and not proven,
            tuple(self._story),
        )
