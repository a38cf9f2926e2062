"""A better plan from a plan of many runs: some tens of them at a time are searched anew, all others held where they are."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import numpy as np

from ribway.router.proof.instance import Array, Instance, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.table import Table

WANTED = 12  # cheaper routes of a run that are looked at for who is in their way
IN_VAIN = 2  # regions in a row without gain, after which no more are searched
LEAST_GAIN = 1e-4
NEAR = 0.1  # weight of lying beside one that is in the way, against being in the way

Searcher = Callable[[Instance, Sequence[Route]], Sequence[Route]]  # a plan to begin with; the plan found, or none


def part_of(instance: Instance, table: Table, groups: Groups, runs: Sequence[int]) -> Instance:
    """The instance of some runs alone, with the room that all others leave them.

    Args:
        instance: of all runs.
        table: a plan of the others; these runs have no route in it.
        groups: of all runs.
        runs: which are to be searched; they are numbered anew, in this order.
    """
    net = instance.network
    room = np.maximum(net.limit_mm2 - table.load, 0.0)
    taken = [frozenset(np.flatnonzero(table.inside[groups.apart[g]].any(axis=0)).tolist()) for g in range(groups.count)]
    some = (instance.runs[k] for k in runs)
    freed = tuple(replace(run, avoid=run.avoid | taken[groups.of[k]]) for k, run in zip(runs, some, strict=True))
    opening = table.unopened if len(net.opening) else net.opening
    return Instance(replace(net, limit_mm2=room, opening=opening), freed, instance.apart)


class Regions:
    """Takes runs out around one that lies far from where it would be cheapest."""

    def __init__(self, instance: Instance, groups: Groups, least: Array, routes: Iterable[Route], search: Searcher):
        """Args: what is solved; groups; ``(k,)`` least costs; known routes; what searches a region."""
        self._instance, self._groups, self._least, self._search = instance, groups, least, search
        best: dict[object, Route] = {}
        for route in routes:
            if route.key not in best or route.cost < best[route.key].cost:
                best[route.key] = route
        self._known: list[list[Route]] = [[] for _ in instance.runs]
        for route in sorted(best.values(), key=lambda one: (one.run, one.cost, one.arcs)):
            self._known[route.run].append(route)

    def improve(self, table: Table, most: int, together: int, expired: Callable[[], bool] = bool) -> None:
        """Search region after region, beginning with the run that loses most.

        Args:
            table: a full plan; changed in place.
            most: regions at most.
            together: runs in each.
            expired: whether a user's cap on time is met.
        """
        seen = np.zeros(len(self._instance.runs))  # how often a run was searched anew
        vain = 0
        for _ in range(most):
            cost = np.array([np.inf if route is None else route.cost for route in table.routes])
            loss = (cost - self._least) / (1.0 + seen) ** 2
            run = int(np.argmax(loss))
            if loss[run] <= 1e-9 or vain == IN_VAIN or expired():
                return
            runs = self._around(table, run, together)
            seen[runs] += 0.5
            seen[run] += 0.5
            before = table.cost
            self._once(table, runs)
            vain = 0 if table.cost < before * (1.0 - LEAST_GAIN) else vain + 1

    def _around(self, table: Table, run: int, together: int) -> list[int]:
        """A run, and those that lie where it would rather be, the most often met first."""
        here, ways = table.routes[run], len(table.load)
        passes = np.zeros((len(table.routes), ways))
        for other, route in enumerate(table.routes):
            if route is not None and other != run:
                passes[other, list(route.ways)] = 1.0
        table.put(run, None)
        closed = table.closed_to(run, min(size.area_mm2 for size in self._instance.runs[run].sizes))
        table.put(run, here)
        wanted = np.zeros(ways)
        cheaper = [one for one in self._known[run] if here is None or one.cost < here.cost]
        for route in cheaper[:WANTED]:
            wanted[list(route.ways)] = 1.0
        met = passes @ (wanted * closed)
        score = met + NEAR * (passes @ (passes.T @ (met > 0.0))) + NEAR * (passes @ wanted)
        order = np.lexsort((np.arange(len(score)), -score))
        return [run, *(int(k) for k in order[: together - 1] if score[k] > 0.0)]

    def _once(self, table: Table, runs: Sequence[int]) -> None:
        before = [table.routes[k] for k in runs]
        cost = table.cost
        for k in runs:
            table.put(k, None)
        part = part_of(self._instance, table, self._groups, runs)
        start = [replace(route, run=i) for i, route in enumerate(before) if route is not None]
        found = self._search(part, start)
        for route in found:
            table.put(runs[route.run], replace(route, run=runs[route.run]))
        if not found or table.crowded().any() or table.cost >= cost:
            for k, old in zip(runs, before, strict=True):
                table.put(k, old)
