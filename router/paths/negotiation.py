"""Routing all runs together: openings that are asked for too much get a price, and everyone looks again.

After L. McMurchie, C. Ebeling, PathFinder: a negotiation-based performance-driven router (1995); memory. It stops on
counts, never on the clock, so that the same project gives the same plan.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np
from numpy.typing import NDArray

from ribway.router.paths.admission import Separation
from ribway.router.paths.airs import barred_edges
from ribway.router.paths.board import Board, rooms_of, ways_of
from ribway.router.paths.jobs import Job, Outcome
from ribway.router.paths.room import Room, room_of
from ribway.router.paths.search import Path, Searcher
from ribway.router.space.network import Network

Array = NDArray[np.float64]

SWEEPS = 40
POLISH_SWEEPS = 2
FIRST_PRICE_M = 0.1
GROWTH = 1.2
RESCUE_DEPTH = 1
MOVING_COSTS_M = 20.0


class Negotiator:
    """Routes jobs under one set of rules.

    Args:
        network: what is searched.
        separation: which kinds may lie together.
        bend_m, drill_m, opening_m: metres that a bend, a hole to be drilled, and a way that nobody else uses count as.
        room: of the network's ways under the same rules, with what was found out about it; a new one if there is none.
    """

    def __init__(
        self,
        network: Network,
        separation: Separation,
        bend_m: float,
        drill_m: float,
        opening_m: float,
        room: Room | None = None,
    ) -> None:
        self._network = network
        self._ways = network.space.ways
        self.separation = separation
        self._opening_m = opening_m
        self._barred: dict[frozenset[str], Array] = {}
        self._searcher = Searcher(network)
        self._room = room_of(network.space, separation) if room is None else room
        drilled = np.array([way.state == "drill" for way in self._ways] + [False])
        for taker, rooms in network.space.sharers.items():
            drilled[taker] |= drilled[list(rooms)].any()
        way = np.where(network.target < 2 * network.ways, network.target // 2, network.ways)
        # Drilling is paid once a hole in truth; charging every user keeps the search simple and errs against drilling.
        self._metres = network.length + bend_m * network.turns + drill_m * drilled[way]

    def alone(self, job: Job) -> Array:
        """``(w,)`` 0 where a run may pass if it were alone, infinite where not even then."""
        return self._room.alone(job)

    def route(self, jobs: Sequence[Job], start: Sequence[Path | None] = ()) -> Outcome:
        """Paths for all jobs that respect every limit, each as short as the others let it be.

        Args:
            jobs: in a fixed order.
            start: earlier paths to begin from, if any.

        Returns:
            The outcome; a job without a path has None.
        """
        board = Board(self._network, jobs, self._room.shape_ids)
        alone = [self.alone(job) for job in jobs]
        paths: list[Path | None] = list(start) if start else [None] * len(jobs)
        for job, path in enumerate(paths):
            board.put(job, path)
        history = np.zeros(len(self._ways))
        price = FIRST_PRICE_M
        # With paths to begin from, only those that no longer fit look again at first; polishing gives all a look later.
        lookers = self._misfits(board, paths) if start else list(range(len(jobs)))
        sweeps = 0
        while sweeps < SWEEPS:
            sweeps += 1
            for job in lookers:
                board.put(job, None)
                paths[job] = self._look(board, jobs[job], alone[job], history, price)
                board.put(job, paths[job])
            crowded = self._room.crowded(board)
            if not crowded:
                break
            history[crowded] += price
            price *= GROWTH
            lookers = sorted({job for way in crowded for job in board.inside[way]})
        self._settle(board, alone, paths)
        for _ in range(POLISH_SWEEPS):
            if not self._polish(board, jobs, alone, paths, range(len(jobs))):
                break
        return Outcome(tuple(paths), sweeps)

    def amend(
        self, jobs: Sequence[Job], start: Sequence[Path | None], loose: Collection[int], yielding: Collection[int] = ()
    ) -> Outcome:
        """Paths for jobs of which most have one already and stay where they are.

        Jobs without a path are led where they fit beside the others. Where a way no longer admits all that pass it, loose
        jobs leave it first and the light before the heavy, as many as it takes. The rest only moves for a job that finds
        no path otherwise.

        Args:
            jobs: in a fixed order.
            start: earlier paths; None for a job that is to be led anew.
            loose: jobs that look again for something cheaper when all have a path.
            yielding: jobs that nobody goes round: they come back to their paths when the others are led, if these still
                have room for them.

        Returns:
            The outcome; a job without a path has None.
        """
        board = Board(self._network, jobs, self._room.shape_ids)
        alone = [self.alone(job) for job in jobs]
        paths = [None if job in yielding else path for job, path in enumerate(start)]
        for job, path in enumerate(paths):
            board.put(job, path)
        for way in range(len(self._ways)):
            for job in sorted(board.inside[way], key=lambda one: (one not in loose, jobs[one].weight, one)):
                if not board.inside[way] or self._room.admits(board, way):
                    break
                board.put(job, None)
                paths[job] = None
        first = [job for job, path in enumerate(paths) if path is None and job not in yielding]
        self._lead(board, alone, paths, first, sorted({*first, *loose} - set(yielding)))
        for job in sorted(yielding):
            board.put(job, start[job])
            fits = start[job] is not None and all(self._room.admits(board, way) for way in board.used[job])
            paths[job] = start[job] if fits else None
            board.put(job, paths[job])
        last = [job for job in sorted(yielding) if paths[job] is None]
        self._lead(board, alone, paths, last, last)
        return Outcome(tuple(paths), 1)

    def beside(self, jobs: Sequence[Job], paths: Sequence[Path | None], number: int) -> Path | None:
        """Cheapest path for one job beside all others as they lie; None if there is none.

        Args:
            jobs: in a fixed order.
            paths: of these jobs; its own is not in its way.
            number: the job that looks.
        """
        board = Board(self._network, jobs, self._room.shape_ids)
        for other, path in enumerate(paths):
            board.put(other, None if other == number else path)
        job, fresh = jobs[number], self._fresh(board) * jobs[number].weight
        return self._find(job, self._hard(board, job, self.alone(job)) + fresh)

    def _lead(
        self,
        board: Board,
        alone: Sequence[Array],
        paths: list[Path | None],
        out: Sequence[int],
        lookers: Sequence[int],
    ) -> None:
        """Put jobs back where they fit, then let some look for something cheaper."""
        self._put_back(board, alone, paths, out)
        for _ in range(POLISH_SWEEPS):
            if not self._polish(board, board.jobs, alone, paths, lookers):
                break

    def _misfits(self, board: Board, paths: Sequence[Path | None]) -> list[int]:
        """Jobs without a path, and all that share a way which no longer admits them."""
        crowded = self._room.crowded(board)
        return sorted(
            {job for way in crowded for job in board.inside[way]} | {j for j, p in enumerate(paths) if p is None}
        )

    def _look(self, board: Board, job: Job, alone: Array, history: Array, price: float) -> Path | None:
        """Cheapest path with prices where others already are: one price for all, so that the lighter run gives way."""
        crowd = (self._room.with_shared(history) + price * self._room.trouble(board, job)) * board.mean_weight
        return self._find(job, alone + self._fresh(board) * job.weight + crowd)

    def _find(self, job: Job, way_cost: Array) -> Path | None:
        edge_cost = self._metres * job.weight
        if job.keeps_out:
            if job.keeps_out not in self._barred:
                self._barred[job.keeps_out] = barred_edges(self._network, job.keeps_out)
            edge_cost = edge_cost + self._barred[job.keeps_out]
        return self._searcher.path(job.start, job.end, edge_cost, way_cost, job.via, job.exact)

    def _settle(self, board: Board, alone: Sequence[Array], paths: list[Path | None]) -> None:
        """Whatever is still crowded: take the runs out, put them back one by one where they really fit."""
        crowded = self._room.crowded(board)
        out = {job for way in crowded for job in board.inside[way]}
        for job in out:
            board.put(job, None)
            paths[job] = None
        self._put_back(board, alone, paths, sorted(out | {job for job, path in enumerate(paths) if path is None}))

    def _put_back(self, board: Board, alone: Sequence[Array], paths: list[Path | None], out: Sequence[int]) -> None:
        """Lead the runs that were taken out where they really fit, one by one; at last others make room for the rest."""
        jobs = board.jobs
        for job in sorted(out, key=lambda one: (-jobs[one].item.area_m2 - jobs[one].item.plug_m, one)):
            paths[job] = self._find(jobs[job], self._hard(board, jobs[job], alone[job]))
            board.put(job, paths[job])
        for job in [one for one in sorted(out) if paths[one] is None]:
            self._make_room(board, alone, paths, job, RESCUE_DEPTH, frozenset())

    def _make_room(
        self,
        board: Board,
        alone: Sequence[Array],
        paths: list[Path | None],
        job: int,
        depth: int,
        kept: frozenset[int],
    ) -> bool:
        """Give a run without a path the room of others, if all of them find another; else leave everything as it is."""
        jobs = board.jobs
        trouble = self._room.trouble(board, jobs[job])
        cost = alone[job] + MOVING_COSTS_M * jobs[job].weight * trouble
        held = [way for way, inside in enumerate(board.inside) if trouble[way] > 0.0 and kept.intersection(inside)]
        if held:
            barred = np.zeros(len(cost))
            barred[held] = np.inf
            cost = cost + self._room.with_shared(barred)
        path = self._find(jobs[job], cost)
        if path is None:
            return False
        before = list(paths)
        crowded = [way for way in rooms_of(self._network, path) if trouble[way] > 0.0]
        moved = {other for way in crowded for other in board.inside[way]}
        for other in moved:
            board.put(other, None)
            paths[other] = None
        board.put(job, path)
        paths[job] = path
        done = all(self._room.admits(board, way) for way in board.used[job])
        for other in sorted(moved, key=lambda one: (-jobs[one].item.area_m2 - jobs[one].item.plug_m, one)):
            if not done:
                break
            paths[other] = self._find(jobs[other], self._hard(board, jobs[other], alone[other]))
            board.put(other, paths[other])
            if paths[other] is None:
                done = depth > 0 and self._make_room(board, alone, paths, other, depth - 1, kept | {job})
        if not done:
            for other, old in enumerate(before):
                board.put(other, old)
                paths[other] = old
        return done

    def _polish(
        self,
        board: Board,
        jobs: Sequence[Job],
        alone: Sequence[Array],
        paths: list[Path | None],
        lookers: Sequence[int],
    ) -> bool:
        """One look for each of some runs at what is cheaper with all others where they are."""
        better = False
        for job in lookers:
            old = paths[job]
            board.put(job, None)
            fresh = self._fresh(board) * jobs[job].weight
            new = self._find(jobs[job], self._hard(board, jobs[job], alone[job]) + fresh)
            if new is not None and (old is None or new.cost < self.cost(old, jobs[job], fresh) - 1e-12):
                paths[job] = new
                better = True
            board.put(job, paths[job])
        return better

    def cost(self, path: Path, job: Job, fresh: Array) -> float:
        """Cost of a path without any price but that of openings nobody else uses."""
        return float(
            self._metres[list(path.edges)].sum() * job.weight + fresh[list(ways_of(self._network, path))].sum()
        )

    def _fresh(self, board: Board) -> Array:
        """``(w,)`` metres charged for a way that nobody else uses: one more edge to dress, one more loom to keep."""
        return self._room.with_shared(np.array([0.0 if inside else self._opening_m for inside in board.inside]))

    def _hard(self, board: Board, job: Job, alone: Array) -> Array:
        cost = alone.copy()
        cost[self._room.trouble(board, job) > 0.0] = np.inf
        return cost

    def all_admit(self, jobs: Sequence[Job], paths: Sequence[Path | None]) -> bool:
        """Whether every way admits the jobs that pass it."""
        board = Board(self._network, jobs, self._room.shape_ids)
        for job, path in enumerate(paths):
            board.put(job, path)
        return not self._room.crowded(board)
