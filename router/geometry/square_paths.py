"""Square paths: shortest rectilinear distances among points of a plane domain, and staircases with the fewest turns.

The axes are x and y of the coordinates given; the caller turns the domain into the bay's frame first (see `frames`).
The L1 distance is exact for obstacles with edges of any direction. Turns are the fewest possible among shortest paths
wherever a staircase of three legs or less is shortest, and where all obstacle edges run along the axes; past slanted
obstacles they are the fewest over the corners, which may be more than the fewest possible.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ribway.router.geometry.frames import quarter
from ribway.router.geometry.plane_domain import Array, IntArray, PlaneDomain
from ribway.router.geometry.stair_pieces import StairPieces, join, settle, stair_pieces, stairs_along
from ribway.router.geometry.staircases import BENDS, FIRST_IS_Y, LAST_IS_Y, heading_turns, headings
from ribway.router.geometry.turn_search import TurnSearch, turn_search
from ribway.router.geometry.visibility_graph import VisibilityGraph, chain, visibility_graph

__all__ = ["SquareTable", "square_table"]

_SAME_LENGTH = 1e-11
"""Lengths that differ by no more than this are equal [m]."""

_NO_SHAPE = 1_000_000


@dataclass(frozen=True)
class SquareTable:
    """Shortest rectilinear paths among points of a domain.

    Args:
        graph: the visibility graph they were read from.
        length: `(n, n)` symmetric L1 distances [m]; inf where there is no way.
        turns: `(n, n)` symmetric quarter turns of the path, those at both ends included; -1 where there is no way.
        leave: `(n,)` axis code (0 +x, 1 +y, 2 -x, 3 -y) in which a path leaves each point, -1 for any.
        straight_tolerance: greatest offset across a leg that still counts as straight [m].
    """

    graph: VisibilityGraph
    length: Array
    turns: IntArray
    leave: IntArray
    straight_tolerance: float
    _pieces: StairPieces
    _search: TurnSearch | None
    _narrow: Mapping[tuple[int, int], Array]
    _traced: dict[tuple[int, int], tuple[Array, ...]] = field(default_factory=dict, compare=False)

    def path(self, i: int, j: int) -> Array:
        """The shortest staircase with the fewest turns from point `i` to point `j`.

        Among equals, fewer turns at the ends come first, then fewer legs, then more room at the nearest corner.

        Args:
            i: number of the first point.
            j: number of the last point.

        Returns:
            `(k, 2)` vertices [m], `(1, 2)` when i equals j; `path(j, i)` is its exact reverse.

        Raises:
            ValueError: there is no way between the two.
        """
        return self.ties(i, j)[0]

    def ties(self, i: int, j: int) -> tuple[Array, ...]:
        """The staircases of at most three legs that are equally short and have equally few turns, best first.

        Args:
            i: number of the first point.
            j: number of the last point.

        Returns:
            Polylines `(k, 2)` [m]: at least one, which is `path(i, j)`; just that one where more legs are needed.

        Raises:
            ValueError: there is no way between the two.
        """
        if not np.isfinite(self.length[i, j]):
            a, b = self.graph.nodes[i].tolist(), self.graph.nodes[j].tolist()
            raise ValueError(f"square path: no way from point {i} at {a} to point {j} at {b}")
        if i > j:
            return tuple(path[::-1] for path in self.ties(j, i))
        if (i, j) not in self._traced:
            self._traced[i, j] = self._trace(i, j)
        return self._traced[i, j]

    def _trace(self, i: int, j: int) -> tuple[Array, ...]:
        """All the best staircases from the lower point i to the higher point j."""
        nodes, domain = self.graph.nodes, self.graph.domain
        if i == j:
            return (nodes[[i]],)
        if self.length[i, j] == 0.0:
            return (nodes[[i, j]],)
        row = self._pieces.row[i, j]
        if row >= 0 and self._pieces.fit.fits[row].any():
            at_ends = _end_turns(nodes[[i]], nodes[[j]], self.leave[[i]], self.leave[[j]])[0]
            least = self._pieces.fit.fits[row] & (at_ends + BENDS == self.turns[i, j])
            paths = [(shape, self._pieces.points(i, j, shape)) for shape in np.flatnonzero(least).tolist()]
            if len(paths) > 1:
                paths.sort(key=lambda p: (at_ends[p[0]], BENDS[p[0]], -_room(domain, p[1]), p[0]))
            return tuple(path for _, path in paths)
        if (i, j) in self._narrow and (self._search is None or self._search.turns[i, j] < 0):
            return (self._narrow[i, j],)
        if self._search is None:
            raise ValueError(f"square path: points {i} and {j} have a length but no path; the table was altered")
        path = join([self._piece(*piece) for piece in self._search.pieces(i, j)])
        return (settle(domain, path, self.straight_tolerance),)

    def _piece(self, u: int, v: int, first_is_y: int, last_is_y: int) -> Array:
        """Vertices `(k, 2)` of one piece of a searched path."""
        if (u, v) in self._narrow:
            return self._narrow[u, v]
        if (v, u) in self._narrow:
            return self._narrow[v, u][::-1]
        return self._pieces.piece(u, v, first_is_y, last_is_y)


def square_table(
    domain: PlaneDomain,
    points: Array,
    leave: Array | None = None,
    graph: VisibilityGraph | None = None,
    straight_tolerance: float = 1e-9,
) -> SquareTable:
    """Exact shortest rectilinear distances inside a plane domain, with the fewest turns.

    Args:
        domain: the domain, turned so that the lay runs along x and y.
        points: `(n, 2)` points [m].
        leave: `(n, 2)` direction in which a cable leaves each point into the domain, nan for any; it arrives at a point
            against that point's direction. The nearest axis counts. A right angle is one turn, a start backwards two.
        graph: visibility graph of the same domain and points if it is at hand already.
        straight_tolerance: greatest offset across a leg that still counts as straight [m]; the length keeps the offset.

    Returns:
        The table; paths are traced on demand.

    Raises:
        ValueError: `leave` has another shape than the points.
    """
    seen = visibility_graph(domain, points) if graph is None else graph
    nodes, n, size = seen.nodes, seen.count, len(seen.nodes)
    if leave is not None and np.shape(leave) != (n, 2):
        raise ValueError(f"square table: {n} points but directions of shape {np.shape(leave)}; give one (x, y) a point")
    codes = np.full(n, -1, dtype=np.int64) if leave is None else quarter(leave)
    plain = np.abs(nodes[:, None, :] - nodes[None, :, :]).sum(axis=2)
    distance, before = np.where(seen.sees, plain, np.inf), None
    if not domain.free and not (seen.sees | np.eye(size, dtype=np.bool_)).all():
        found, before = seen.shortest(plain, size)
        distance = np.where(seen.sees, plain, np.minimum(found, found.T))
    np.fill_diagonal(distance, 0.0)
    pieces = stair_pieces(domain, nodes, distance - plain <= _SAME_LENGTH, seen.sees, straight_tolerance)
    turns = _direct_turns(pieces, codes, distance[:n, :n])
    missing = (turns < 0) & np.isfinite(distance[:n, :n])
    search: TurnSearch | None = None
    narrow: dict[tuple[int, int], Array] = {}
    if missing.any() and size > n:
        bends = pieces.bends()
        search = turn_search(nodes, bends, codes, distance[:n, :n])
        if before is not None and (missing & (search.turns < 0)).any():
            stuck = np.triu(missing & (search.turns < 0), 1)
            narrow = _narrow_pieces(seen, before, stuck, bends, straight_tolerance)
            search = turn_search(nodes, bends, codes, distance[:n, :n])
        turns = np.where(missing, search.turns, turns)
        missing &= turns < 0
    for i, j in np.argwhere(np.triu(missing, 1)).tolist():
        narrow[i, j], turns[i, j] = stairs_along(domain, nodes[i], nodes[j], codes[[i, j]], straight_tolerance)
    upper = np.triu(turns, 1)
    length = distance[:n, :n]
    return SquareTable(seen, length, upper + upper.T, codes, straight_tolerance, pieces, search, narrow)


def _direct_turns(pieces: StairPieces, codes: IntArray, length: Array) -> IntArray:
    """Fewest turns over staircases of at most three legs, `(n, n)`, -1 where none fits; only i < j counts."""
    n = len(codes)
    turns = np.where(length == 0.0, heading_turns(codes[:, None], _opposite(codes)[None, :]), -1)
    np.fill_diagonal(turns, 0)
    asked = np.flatnonzero(pieces.second < n)
    i, j = pieces.first[asked], pieces.second[asked]
    at_ends = _end_turns(pieces.nodes[i], pieces.nodes[j], codes[i], codes[j])
    best = np.where(pieces.fit.fits[asked], at_ends + BENDS, _NO_SHAPE).min(axis=1, initial=_NO_SHAPE)
    hit = (best < _NO_SHAPE) & (length[i, j] > 0.0)
    turns[i[hit], j[hit]] = best[hit]
    return turns.astype(np.int64)


def _end_turns(start: Array, end: Array, leave: IntArray, meet: IntArray) -> IntArray:
    """Turns at both ends of each of the six shapes, `(k, 6)`; `meet` is the code in which a path leaves the end."""
    heading = np.stack(headings(start, end), axis=1)
    out = heading_turns(leave[:, None], heading[:, FIRST_IS_Y])
    return out + heading_turns(heading[:, LAST_IS_Y], _opposite(meet)[:, None])


def _opposite(codes: IntArray) -> IntArray:
    """Axis codes turned half round; -1 stays."""
    return np.where(codes < 0, -1, (codes + 2) % 4).astype(np.int64)


def _room(domain: PlaneDomain, path: Array) -> float:
    """Distance from the boundary of the nearest inner vertex of a path [m]; inf for a path without one."""
    return float(domain.clearance(path[1:-1]).min(initial=np.inf))


def _narrow_pieces(
    seen: VisibilityGraph, before: NDArray[np.int32], stuck: NDArray[np.bool_], bends: Array, straight_tolerance: float
) -> dict[tuple[int, int], Array]:
    """Staircases along the sight lines of the shortest chains of stuck pairs; enters their bends into the table."""
    free = np.array([-1, -1], dtype=np.int64)
    found: dict[tuple[int, int], Array] = {}
    for i, j in np.argwhere(stuck).tolist():
        walk = chain(before[i], i, j).tolist()
        for u, v in pairwise(walk):
            if np.isfinite(bends[u, v]).any():
                continue
            found[u, v], count = stairs_along(seen.domain, seen.nodes[u], seen.nodes[v], free, straight_tolerance)
            legs = np.abs(np.diff(found[u, v], axis=0))
            first, last = int(legs[0, 1] > legs[0, 0]), int(legs[-1, 1] > legs[-1, 0])
            bends[u, v, first, last] = bends[v, u, last, first] = count
    return found
