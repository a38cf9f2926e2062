"""How much room every way has: what it admits alone, beside others, and how badly one more would crowd it.

All of it depends on the ways and the rules alone, so that what was found out serves as long as these stay: for another
routing, and for another project on the same ways.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ribway.router.paths.admission import Item, Separation, admits, body_passes, packs, plugs_pass
from ribway.router.paths.board import Board, Shape, shape_id
from ribway.router.paths.jobs import Job
from ribway.router.space.types import Space, Way

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Room:
    """The room of all ways under one set of rules; remembers what it was asked.

    Args:
        ways: all ways.
        sharers: ways that take room of others: which, and of which.
        separation: which kinds may lie together.
        shape_ids: a number for each shape of cable met.
    """

    ways: tuple[Way, ...]
    sharers: dict[int, tuple[int, ...]]
    separation: Separation
    shape_ids: dict[Shape, int] = field(default_factory=dict, repr=False)
    _known: dict[tuple[int, int, tuple[int, ...]], float] = field(default_factory=dict, repr=False)
    _alone: dict[tuple[int, frozenset[int]], Array] = field(default_factory=dict, repr=False)
    _held: dict[tuple[int, tuple[int, ...]], bool] = field(default_factory=dict, repr=False)

    @cached_property
    def _area(self) -> Array:
        return np.array([way.area_m2 for way in self.ways])

    @cached_property
    def _cap(self) -> Array:
        return np.array([way.limit * way.area_m2 - np.pi / 4.0 * way.taken_m**2 for way in self.ways])

    def alone(self, job: Job) -> Array:
        """``(w,)`` 0 where a run may pass if it were alone, infinite where not even then."""
        key = (shape_id(job.item, self.shape_ids), job.avoid)
        if key not in self._alone:
            self._alone[key] = self._shut(job)
        return self._alone[key]

    def _shut(self, job: Job) -> Array:
        shut = np.zeros(len(self.ways))
        for index, way in enumerate(self.ways):
            if way.closed or index in job.avoid or not body_passes(way, job.item) or not plugs_pass(way, [job.item]):
                shut[index] = np.inf
        shut[job.item.area_m2 > self._cap * (1.0 + 1e-9)] = np.inf
        return self.with_shared(shut)

    def with_shared(self, of_room: Array) -> Array:
        """What passing each way costs, given what each room costs: its own and those it shares."""
        if not self.sharers:
            return of_room
        cost = of_room.copy()
        for way, rooms in self.sharers.items():
            cost[way] += of_room[list(rooms)].sum()
        return cost

    def admits(self, board: Board, way: int) -> bool:
        """Whether a way admits all that pass it now."""
        key = (way, board.bundles[way])
        if key not in self._held:
            self._held[key] = admits(self.ways[way], board.items(way), self.separation)
        return self._held[key]

    def crowded(self, board: Board) -> list[int]:
        """Ways that do not admit all that pass them."""
        return [way for way, inside in enumerate(board.inside) if inside and not self.admits(board, way)]

    def trouble(self, board: Board, job: Job) -> Array:
        """``(w,)`` how badly a run would crowd each way: 0 where it fits beside those already there."""
        trouble = np.zeros(len(self.ways))
        wanted = shape_id(job.item, self.shape_ids)
        for way, bundle in board.bundles.items():
            found = self._known.get((way, wanted, bundle))
            if found is None:
                found = self._known[way, wanted, bundle] = self._trouble_at(way, board.items(way), job.item)
            trouble[way] = found
        return self.with_shared(trouble)

    def _trouble_at(self, way: int, items: Sequence[Item], item: Item) -> float:
        over = sum(one.area_m2 for one in items) + item.area_m2 - self._cap[way]
        trouble = 1.0 + over / self._area[way] if over > 1e-9 * self._area[way] else 0.0
        trouble += sum(1 for one in items if not self.separation.allows(item, one))
        if trouble == 0.0 and not self._lie_together(way, [*items, item]):
            trouble = 1.0
        return float(trouble)

    def _lie_together(self, way: int, items: Sequence[Item]) -> bool:
        return plugs_pass(self.ways[way], items) and packs(self.ways[way], items)


def room_of(space: Space, separation: Separation) -> Room:
    """The room of a space's ways.

    Args:
        space: its ways, and which share room.
        separation: which kinds may lie together.
    """
    return Room(space.ways, space.sharers, separation)
