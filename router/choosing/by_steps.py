"""Changes found step by step: each run without a route takes the way that needs least changing, beside all others as they lie."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from ribway.router.choosing.changes import ELSEWHERE_PRICE, PLUG_PRICE, Change, changed, made, offers_at
from ribway.router.paths.admission import Item, Separation, admits
from ribway.router.paths.board import rooms_of
from ribway.router.paths.jobs import Job
from ribway.router.paths.search import Path, Searcher
from ribway.router.planning import Planning
from ribway.router.space.types import Way

METRE_PRICE = 1e-3  # of two ways that need as much changing, the shorter


@dataclass
class _Hole:
    """A way in the making: what was changed, and what lies in it and in the hole beside it."""

    index: int
    was: Way
    now: Way
    inside: list[Item] = field(default_factory=list)
    change: Change | None = None
    beside: Change | None = None
    inside_beside: list[Item] = field(default_factory=list)

    def offers(self, item: Item, apart: Separation) -> Iterator[tuple[float, Change | None, bool]]:
        """What lets a cable in: price, the change if one is needed, and whether it then lies in the hole beside."""
        if admits(self.now, [*self.inside, item], apart):
            yield 0.0, None, False
            return
        if self.beside is not None and admits(made(self.was, self.beside), [*self.inside_beside, item], apart):
            yield 0.0, None, True
            return
        for one in sorted(offers_at(self.index, self.was), key=lambda other: other.price):
            beside = one.what == "beside"
            before, held = (self.beside, self.inside_beside) if beside else (self.change, self.inside)
            price = one.price - (before.price if before is not None else 0.0)
            if price > 0.0 and admits(made(self.was, one), [*held, item], apart):
                yield price, one, beside

    def take(self, item: Item, change: Change | None, beside: bool) -> None:
        """Lead a cable through, with the change that it needs."""
        if change is not None and beside:
            self.beside = change
        elif change is not None:
            self.change, self.now = change, made(self.was, change)
        (self.inside_beside if beside else self.inside).append(item)


def by_steps(planning: Planning, jobs: Sequence[Job], paths: Sequence[Path | None]) -> tuple[Change, ...]:
    """Changes that let every run without a path through while all others stay where they are.

    Args:
        planning: what was planned.
        jobs: of its routed runs.
        paths: theirs; None for a run without one.
    """
    opening = [next(offers_at(index, way), None) for index, way in enumerate(planning.space.ways)]
    wide = changed(planning, [one for one in opening if one is not None and one.what in ("free", "drill")])
    searcher = Searcher(wide.network)
    holes = [_Hole(index, way, way) for index, way in enumerate(planning.space.ways)]
    for job, path in zip(jobs, paths, strict=True):
        for way in rooms_of(planning.network, path):
            holes[way].inside.append(job.item)
    runs: list[Change] = []
    dead = [number for number, path in enumerate(paths) if path is None]
    for number in sorted(dead, key=lambda one: (-jobs[one].item.area_m2 - jobs[one].item.plug_m, one)):
        job, run = jobs[number], planning.routed[number].id
        found = _led(planning, wide, searcher, holes, job)
        if job.item.plug_m > 0.0:
            bare = replace(job, item=replace(job.item, plug_m=0.0))
            other = _led(planning, wide, searcher, holes, bare)
            if other is not None and (found is None or other[0] + PLUG_PRICE < found[0]):
                job, found = bare, other
                runs.append(Change("plug", run=run, price=PLUG_PRICE))
        if found is None or found[0] > ELSEWHERE_PRICE:
            runs = [one for one in runs if one.run != run]
            runs.append(Change("elsewhere", run=run, price=ELSEWHERE_PRICE))
            continue
        for way in found[1]:
            best = next(holes[way].offers(job.item, planning.separation), None)
            if best is not None:
                holes[way].take(job.item, *best[1:])
    at_ways = [one for hole in holes for one in (hole.change, hole.beside) if one is not None]
    return tuple(sorted((*at_ways, *runs), key=lambda one: (one.price, one.way, one.run)))


def _led(
    planning: Planning, wide: Planning, searcher: Searcher, holes: Sequence[_Hole], job: Job
) -> tuple[float, tuple[int, ...]] | None:
    """The cheapest way for a run: its price, and the rooms it takes."""
    own = np.array(
        [min((price for price, _, _ in hole.offers(job.item, planning.separation)), default=np.inf) for hole in holes]
    )
    own[list(job.avoid)] = np.inf
    cost = own.copy()
    for index, shared in wide.space.sharers.items():
        cost[index] += own[list(shared)].sum()
    path = searcher.path(job.start, job.end, METRE_PRICE * wide.network.length, cost, job.via, job.exact)
    return None if path is None else (path.cost, rooms_of(wide.network, path))
