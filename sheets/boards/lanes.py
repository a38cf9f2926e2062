"""Which lane of a board a branch takes: near the trunk, over nothing else, and across as few other lines as can be."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from ribway.sheets.drawing.scale import Flat

GAP_M = 0.15
"""Room between two branches of one lane, for a mark and a hand [m]."""
_SAME = 1e-6
_CROSSING_COSTS = 2
"""So many lanes farther out a branch goes rather than across a line."""

Line = Sequence[Flat]
Piece = tuple[Flat, Flat]


def lane_cost(line: Line, laid: Sequence[Line], hold: Flat, lane: int) -> float | None:
    """What it costs to lay a branch along a line.

    Args:
        line: of pieces along the board and square to it [m].
        laid: what lies there already [m].
        hold: where the branch hangs on the rest, so that it touches there [m].
        lane: number of its lane; 0 is the trunk's.

    Returns:
        Lanes out, and so much for each line that it crosses or covers; None if it would lie on another branch of its lane, or
        nearer to it than a hand.
    """
    crossed = 0
    for piece in itertools.pairwise(line):
        for other in (pair for one in laid for pair in itertools.pairwise(one)):
            if _flat(piece) and _flat(other):
                if _on_each_other(piece, other, hold):
                    return None
            elif _meet(piece, other, hold):
                crossed += 1
    return abs(lane) + _CROSSING_COSTS * crossed


def _flat(piece: Piece) -> bool:
    return abs(piece[0][1] - piece[1][1]) < _SAME


def _on_each_other(one: Piece, other: Piece, hold: Flat) -> bool:
    """Whether two pieces along the board share a lane and are nearer than a hand, but where one goes on from the other."""
    if abs(one[0][1] - other[0][1]) > _SAME:
        return False
    (a, b), (c, d) = sorted(point[0] for point in one), sorted(point[0] for point in other)
    apart = max(a, c) - min(b, d)
    goes_on = abs(apart) < _SAME and abs(max(a, c) - hold[0]) < _SAME and abs(one[0][1] - hold[1]) < _SAME
    return apart < GAP_M and not goes_on


def _meet(one: Piece, other: Piece, hold: Flat) -> bool:
    """Whether two pieces, not both along the board, share more than the place where the branch hangs."""
    left, right = (
        max(min(p[0] for p in one), min(p[0] for p in other)),
        min(max(p[0] for p in one), max(p[0] for p in other)),
    )
    low, high = (
        max(min(p[1] for p in one), min(p[1] for p in other)),
        min(max(p[1] for p in one), max(p[1] for p in other)),
    )
    if left > right + _SAME or low > high + _SAME:
        return False
    there = max(abs(left - hold[0]), abs(right - hold[0]), abs(low - hold[1]), abs(high - hold[1]))
    return there > _SAME
