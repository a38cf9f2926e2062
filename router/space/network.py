"""The routing space as a small graph of arrays.

A node is a way passed in one direction, so that a path never enters and leaves a bay by the same mouth and bends are known
when an edge is taken. Beside these stand one node for leaving and one for reaching each device. An edge is a stretch of
one bay from the mouth where one way ends to the mouth where the next begins; its length includes the next way's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ribway.router.memory import Memory
from ribway.router.space.tables import BayTable, table_of
from ribway.router.space.types import NOWHERE, Mouth, Space

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


class Spot(NamedTuple):
    """What meets a bay at a point: an end of a way, or a device (``way`` is -1)."""

    way: int
    end: int
    portal: int
    mouth: Mouth


@dataclass(frozen=True, eq=False)
class Network:
    """Arrays in compressed row form.

    Args:
        space: what it was made from.
        tables: one a bay.
        indptr: ``(n + 1,)`` row starts.
        target: ``(e,)`` node an edge leads to.
        source: ``(e,)`` node it starts from.
        length: ``(e,)`` metres of cable: in-bay stretch and the way it leads into.
        turns: ``(e,)`` bends on the same.
        bay: ``(e,)`` bay it crosses; ``NOWHERE`` if it leads from a way right to a device.
        first: ``(e,)`` spot of that bay's table where it starts.
        last: ``(e,)`` spot where it ends.
        ways: number of ways; node ``2 w + d`` is way ``w`` entered at its mouth ``d``.
        spots: what meets each bay, as its table counts it.
    """

    space: Space
    tables: tuple[BayTable, ...]
    indptr: Ints
    target: Ints
    source: Ints
    length: Array
    turns: Array
    bay: Ints
    first: Ints
    last: Ints
    ways: int
    spots: tuple[tuple[Spot, ...], ...]

    @property
    def nodes(self) -> int:
        """Number of nodes."""
        return len(self.indptr) - 1

    def leaving(self, portal: int) -> int:
        """Node of leaving a device."""
        return 2 * self.ways + portal

    def reaching(self, portal: int) -> int:
        """Node of reaching a device."""
        return 2 * self.ways + len(self.space.portals) + portal

    def way_of(self, node: int) -> int:
        """Way that a node passes, or -1 for a device."""
        return node // 2 if node < 2 * self.ways else -1


def build_network(space: Space, memory: Memory | None = None) -> Network:
    """The graph of a routing space.

    Args:
        space: bays, ways, portals; ways that are closed get no edges.
        memory: what was made before; distances of bays that are met as they were then are taken from it.

    Returns:
        The network with all in-bay distances.
    """
    memory = Memory() if memory is None else memory
    spots: list[list[Spot]] = [[] for _ in space.bays]
    for index, way in enumerate(space.ways):
        if way.closed or way.room_only:
            continue
        for end in (0, 1):
            if way.ends_at[end]:
                continue
            spots[way.mouths[end].bay].append(Spot(index, end, -1, way.mouths[end]))
    for index, portal in enumerate(space.portals):
        if portal.mouth.bay != NOWHERE:
            spots[portal.mouth.bay].append(Spot(-1, 0, index, portal.mouth))
    tables = tuple(
        table_of(
            bay,
            space.skins[bay.skin],
            tuple(spot.mouth for spot in own),
            tuple(spot.portal >= 0 for spot in own),
            memory,
        )
        for bay, own in zip(space.bays, spots, strict=True)
    )
    columns = [
        memory.of(
            "edges",
            (table, index, tuple(spot[:3] for spot in own), space.ways, len(space.portals)),
            partial(_edges_of, space, index, table, own),
        )
        for index, (table, own) in enumerate(zip(tables, spots, strict=True))
        if len(own) > 1
    ]
    ways, portals = len(space.ways), len(space.portals)
    count = 2 * ways + 2 * portals
    rows = np.concatenate([np.empty((0, 7)), *columns, *_edges_at_devices(space)])
    order = np.lexsort((rows[:, 1], rows[:, 0]))
    rows = rows[order]
    indptr = np.searchsorted(rows[:, 0], np.arange(count + 1))
    whole = rows[:, (0, 1, 4, 5, 6)].astype(np.int64)
    return Network(
        space,
        tables,
        indptr.astype(np.int64),
        whole[:, 1],
        whole[:, 0],
        rows[:, 2].copy(),
        rows[:, 3].copy(),
        whole[:, 2],
        whole[:, 3],
        whole[:, 4],
        ways,
        tuple(map(tuple, spots)),
    )


def _edges_at_devices(space: Space) -> list[Array]:
    """Rows of ways that end at a device: out of it into the way, and out of the way to it. No bay is crossed."""
    ends = [way.ends_at for way in space.ways if way.ends_at != ("", "")]
    if not ends:
        return []
    ways, portals = len(space.ways), len(space.portals)
    number = {portal.device: index for index, portal in enumerate(space.portals)}
    rows = []
    for index, way in enumerate(space.ways):
        for end in (0, 1) if not way.closed else ():
            if way.ends_at[end] in number:
                portal = number[way.ends_at[end]]
                rows.append([2 * ways + portal, 2 * index + end, way.length_m, way.turns, NOWHERE, NOWHERE, NOWHERE])
                rows.append([2 * index + 1 - end, 2 * ways + portals + portal, 0, 0, NOWHERE, NOWHERE, NOWHERE])
    return [np.array(rows, dtype=np.float64).reshape(-1, 7)]


def _edges_of(space: Space, bay: int, table: BayTable, spots: Sequence[Spot]) -> Array:
    """Rows (source, target, length, turns, bay, first, last) of one bay."""
    ways, portals = len(space.ways), len(space.portals)
    way = np.array([spot.way for spot in spots])
    end = np.array([spot.end for spot in spots])
    portal = np.array([spot.portal for spot in spots])
    own = np.array([space.ways[spot.way].length_m if spot.way >= 0 else 0.0 for spot in spots])
    bends = np.array([space.ways[spot.way].turns if spot.way >= 0 else 0 for spot in spots])
    # Leaving the bay at spot j enters way j at that mouth; being in the bay at spot i means having come out there.
    come = np.where(way >= 0, 2 * way + (1 - end), 2 * ways + portal)
    go = np.where(way >= 0, 2 * way + end, 2 * ways + portals + portal)
    i, j = np.nonzero(np.isfinite(table.length) & (way[:, None] != way[None]) | ((way[:, None] < 0) & (way[None] < 0)))
    keep = (i != j) & np.isfinite(table.length[i, j])
    if space.sharers:
        # Ways that share a hole meet the bay at one point: nobody turns round in a hole.
        points = np.array([spot.mouth.point for spot in spots])
        keep &= (way[i] < 0) | (way[j] < 0) | (np.linalg.norm(points[i] - points[j], axis=1) > 1e-6)
    i, j = i[keep], j[keep]
    return np.stack(
        [come[i], go[j], table.length[i, j] + own[j], table.turns[i, j] + bends[j], np.full(len(i), bay), i, j], axis=1
    ).astype(np.float64)
