"""Fewest turns among L1-shortest paths: a search over corners and the heading in which each is reached.

A path is a chain of pieces from node to node, each piece a staircase of known length and bends. Length comes first and
turns second: one turn weighs `_TURN` metres, far below any real difference of lengths and far above rounding.

Passing through corners alone loses nothing where edges run along the axes: every inner leg of a path with the fewest
turns can be slid until it lies on a corner, so that between corners only straight legs and single bends remain.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.geometry.plane_domain import Array, IntArray
from ribway.router.geometry.staircases import heading_turns, headings

__all__ = ["TurnSearch", "turn_search"]

_TURN = 1e-10


@dataclass(frozen=True)
class TurnSearch:
    """Result of a search over (corner, heading) states.

    Args:
        turns: `(n, n)` fewest turns of the shortest path, -1 where there is none.
        ends: n, how many nodes are ends; the rest are corners.
        corners: m, how many nodes are corners.
        before: `(n, n + 4 m + n)` predecessors of each state as seen from each end.
        piece: `(n + 4 m, 4 m + n)` which piece joins two states: 2 * (first leg along y) + (last leg along y).
    """

    turns: IntArray
    ends: int
    corners: int
    before: NDArray[np.int32]
    piece: NDArray[np.int8]

    def pieces(self, i: int, j: int) -> list[tuple[int, int, int, int]]:
        """Pieces of the best path.

        Args:
            i: number of the first end.
            j: number of the last end, reachable from i.

        Returns:
            For each piece: node it leaves, node it reaches, whether its first leg runs along y (0 or 1), and its last.
        """
        found: list[tuple[int, int, int, int]] = []
        state = self.ends + 4 * self.corners + j
        while state != i:
            earlier = int(self.before[i, state])
            kind = int(self.piece[earlier, state - self.ends])
            found.append((self._node(earlier), self._node(state), kind // 2, kind % 2))
            state = earlier
        return found[::-1]

    def _node(self, state: int) -> int:
        """Node number of a state."""
        if state < self.ends:
            return state
        if state < self.ends + 4 * self.corners:
            return self.ends + (state - self.ends) // 4
        return state - self.ends - 4 * self.corners


def turn_search(nodes: Array, bends: Array, leave: IntArray, longest: Array) -> TurnSearch:
    """Fewest turns of L1-shortest paths among the first n nodes, passing only through the others.

    Args:
        nodes: `(N, 2)` n ends, then m corners [m].
        bends: `(N, N, 2, 2)` bends of the piece between two nodes by whether its first leg runs along x (0) or y (1),
            and its last; inf where there is no such piece.
        leave: `(n,)` axis code in which a path leaves each end, -1 for any; it arrives against it.
        longest: `(n, n)` L1 distances that a path must not exceed [m].

    Returns:
        The search result; pairs without a path of that length have -1 turns.
    """
    n, m = len(leave), len(nodes) - len(leave)
    offset = np.abs(nodes[:, None, :] - nodes[None, :, :]).sum(axis=2)
    along_x, along_y = headings(nodes[:, None, :], nodes[None, :, :])
    corner, heading = np.repeat(np.arange(n, n + m), 4), np.tile(np.arange(4), m)
    from_node, from_heading = np.concatenate([np.arange(n), corner]), np.concatenate([leave, heading])
    to_node, to_heading = np.concatenate([corner, np.arange(n)]), np.concatenate([heading, np.full(n, -1)])
    arrive = np.concatenate([np.full(4 * m, -1), np.where(leave >= 0, (leave + 2) % 4, -1)])
    grid = np.ix_(from_node, to_node)
    best = np.full((len(from_node), len(to_node)), np.inf)
    piece = np.zeros(best.shape, dtype=np.int8)
    for first, last in _legs():
        out = (along_y if first else along_x)[grid]
        into = (along_y if last else along_x)[grid]
        turns = bends[:, :, first, last][grid] + heading_turns(from_heading[:, None], out)
        turns = turns + heading_turns(into, np.broadcast_to(arrive, into.shape))
        turns[(to_heading >= 0) & (into != to_heading)] = np.inf
        better = turns < best
        best[better] = turns[better]
        piece[better] = 2 * first + last
    weight = np.where(offset[grid] > 0.0, offset[grid], np.inf) + _TURN * best
    rows, columns = np.nonzero(np.isfinite(weight))
    size = n + 4 * m + n
    matrix = csr_array((weight[rows, columns], (rows, columns + n)), shape=(size, size))
    length, before = dijkstra(matrix, indices=np.arange(n), return_predecessors=True)
    found = np.asarray(length, dtype=np.float64)[:, n + 4 * m :]
    reached = np.isfinite(found) & (found < longest + 1000.0 * _TURN)  # both are infinite where obstacles part two ends
    excess = np.subtract(found, longest, out=np.zeros_like(found), where=reached)
    turns_found = np.where(reached, np.rint(excess / _TURN), -1).astype(np.int64)
    return TurnSearch(turns_found, n, m, np.asarray(before, dtype=np.int32), piece)


def _legs() -> Iterator[tuple[int, int]]:
    """Whether the first and the last leg run along y, all four ways."""
    return ((first, last) for first in (0, 1) for last in (0, 1))
