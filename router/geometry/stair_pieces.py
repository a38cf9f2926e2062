"""Pieces of rectilinear paths: the staircases between pairs of nodes, joined, merged and settled into one polyline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ribway.router.geometry.plane_domain import Array, BoolArray, IntArray, PlaneDomain
from ribway.router.geometry.staircases import (
    BENDS,
    FIRST_IS_Y,
    LAST_IS_Y,
    Staircases,
    headings,
    staircase_points,
    staircases,
)
from ribway.router.geometry.turn_search import turn_search

__all__ = ["StairPieces", "join", "settle", "stair_pieces", "stairs_along"]

_SAME_LINE = 1e-9
"""A vertex nearer than this to the line between its neighbours is left out [m]."""

_MOST_STEPS = 64
"""Into how many stretches a sight line is cut at most when looking for a staircase along it."""

_SHAPES_OF_KIND = ((0, 4), (2,), (3,), (1, 5))
"""Shapes by kind, 2 * (first leg along y) + (last leg along y): x or xyx, xy, yx, y or yxy."""


@dataclass(frozen=True)
class StairPieces:
    """Staircases between pairs of nodes.

    Args:
        nodes: `(N, 2)` nodes [m].
        first: `(k,)` lower node of each pair.
        second: `(k,)` higher node of each pair.
        fit: which shapes fit from the lower to the higher node.
        row: `(N, N)` number of the pair of two nodes, -1 where they are none.
    """

    nodes: Array
    first: IntArray
    second: IntArray
    fit: Staircases
    row: IntArray

    def bends(self) -> Array:
        """`(N, N, 2, 2)` bends from node to node by first and last leg (0 for x, 1 for y); inf if nothing fits."""
        table = np.full((*self.row.shape, 2, 2), np.inf)
        for shape in (4, 5, 2, 3, 0, 1):
            hit = self.fit.fits[:, shape]
            u, v = self.first[hit], self.second[hit]
            table[u, v, FIRST_IS_Y[shape], LAST_IS_Y[shape]] = BENDS[shape]
            table[v, u, LAST_IS_Y[shape], FIRST_IS_Y[shape]] = BENDS[shape]
        return table

    def points(self, u: int, v: int, shape: int) -> Array:
        """Vertices `(k, 2)` of one shape from the lower node u to the higher node v [m]."""
        row = int(self.row[u, v])
        split_x, split_y = float(self.fit.split_x[row]), float(self.fit.split_y[row])
        return staircase_points(self.nodes[u], self.nodes[v], shape, split_x, split_y)

    def piece(self, u: int, v: int, first_is_y: int, last_is_y: int) -> Array:
        """Vertices `(k, 2)` of the piece from u to v whose first and last legs run as said [m]."""
        if u > v:
            return self.piece(v, u, last_is_y, first_is_y)[::-1]
        fits = self.fit.fits[self.row[u, v]]
        shape = next(s for s in _SHAPES_OF_KIND[2 * first_is_y + last_is_y] if fits[s])
        return self.points(u, v, shape)


def stair_pieces(
    domain: PlaneDomain, nodes: Array, pairs: BoolArray, sees: BoolArray, straight_tolerance: float
) -> StairPieces:
    """Staircases between the pairs of nodes whose L1 distance is |dx| + |dy|.

    Args:
        domain: the domain.
        nodes: `(N, 2)` nodes [m].
        pairs: `(N, N)` true for the pairs; only the upper triangle is read.
        sees: `(N, N)` true where two nodes see each other.
        straight_tolerance: greatest offset across a leg that still counts as straight [m].

    Returns:
        The pieces.
    """
    first, second = np.nonzero(np.triu(pairs, 1))
    row = np.full(pairs.shape, -1, dtype=np.int64)
    row[first, second] = np.arange(len(first))
    fit = staircases(domain, nodes, first, second, sees[first, second], straight_tolerance)
    return StairPieces(nodes, first.astype(np.int64), second.astype(np.int64), fit, row)


def stairs_along(
    domain: PlaneDomain, start: Array, end: Array, leave: IntArray, straight_tolerance: float
) -> tuple[Array, int]:
    """A staircase that keeps to a sight line, for places too narrow for three legs.

    The line is cut into 2, 4, ... stretches, and the fewest turns over their ends are sought. Where even the finest
    cut finds no room (a slanting gap narrower than about a hundredth of its length) the straight segment itself is the
    answer: it stays in the domain and its |dx| + |dy| is the same.

    Args:
        domain: the domain.
        start: `(2,)` start [m].
        end: `(2,)` end, seen from the start [m].
        leave: `(2,)` axis codes in which the path leaves its two ends, -1 for any.
        straight_tolerance: greatest offset across a leg that still counts as straight [m].

    Returns:
        `(k, 2)` vertices [m], and the turns, those at the ends included.
    """
    length = np.array([[0.0, 1.0], [1.0, 0.0]]) * np.abs(end - start).sum()
    steps = 2
    while steps <= _MOST_STEPS:
        share = np.concatenate([[0.0, 1.0], np.arange(1, steps) / steps])
        nodes = start + share[:, None] * (end - start)
        nodes[1] = end
        everyone = np.ones((len(nodes), len(nodes)), dtype=np.bool_)
        pieces = stair_pieces(domain, nodes, everyone, everyone, straight_tolerance)
        search = turn_search(nodes, pieces.bends(), leave, length)
        if search.turns[0, 1] >= 0:
            path = join([pieces.piece(*piece) for piece in search.pieces(0, 1)])
            return settle(domain, path, straight_tolerance), int(search.turns[0, 1])
        steps *= 2
    along_y = int(abs(end[1] - start[1]) > abs(end[0] - start[0]))
    kind = np.full((2, 2, 2, 2), np.inf)
    kind[:, :, along_y, along_y] = 0.0
    search = turn_search(np.array([start, end]), kind, leave, length)
    return np.array([start, end]), int(search.turns[0, 1])


def join(pieces: Sequence[Array]) -> Array:
    """One polyline from pieces that follow each other, without vertices that lie on the line between their neighbours.

    Args:
        pieces: polylines `(k, 2)` [m], each starting where the one before ends.

    Returns:
        `(k, 2)` vertices [m].
    """
    kept: list[Array] = []
    for vertex in np.concatenate(pieces):
        if kept and np.abs(vertex - kept[-1]).max() == 0.0:
            continue
        while len(kept) > 1 and _straight_on(kept[-2], kept[-1], vertex):
            kept.pop()
        kept.append(vertex)
    return np.array(kept, dtype=np.float64)


def settle(domain: PlaneDomain, path: Array, straight_tolerance: float) -> Array:
    """Slide every leg that has free play to the middle of it, away from members, keeping length and turns.

    Args:
        domain: the domain.
        path: `(k, 2)` rectilinear polyline in the domain [m].
        straight_tolerance: greatest offset across a leg that still counts as straight [m].

    Returns:
        `(k, 2)` vertices [m].
    """
    settled = path.copy()
    blind, one, two = np.zeros(1, dtype=np.bool_), np.array([0]), np.array([1])
    for k in range(len(path) - 3):
        before, after = settled[k + 1] - settled[k], settled[k + 3] - settled[k + 2]
        along_x, along_y = headings(np.zeros((2, 2)), np.array([before, after]))
        upright = int(abs(before[1]) > abs(before[0]))
        code = along_y if upright else along_x
        if code[0] != code[1] or upright != int(abs(after[1]) > abs(after[0])):
            continue
        fit = staircases(domain, settled[[k, k + 3]], one, two, blind, straight_tolerance)
        if fit.fits[0, 4 + upright]:
            settled[k : k + 4] = staircase_points(
                settled[k], settled[k + 3], 4 + upright, float(fit.split_x[0]), float(fit.split_y[0])
            )
    return settled


def _straight_on(a: Array, b: Array, c: Array) -> bool:
    """Whether the way from a over b to c goes straight on."""
    (ux, uy), (vx, vy) = b - a, c - b
    chord = float(np.hypot(*(c - a)))
    return bool(ux * vx + uy * vy > 0.0 and abs(ux * vy - uy * vx) <= _SAME_LINE * chord)
