"""A small limited-memory BFGS minimiser for the few dozen numbers of a packing.

Written out because the work arrays here are tiny: the library's routine hands each of them to threaded linear algebra,
which costs far more than the arithmetic and need not add up in the same order each time.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ribway.router.geometry.packing_contacts import Floats

_MEMORY = 5
_ENOUGH_DESCENT = 1e-4


def minimised(function: Callable[[Floats], tuple[float, Floats]], start: Floats, steps: int, flat: float) -> Floats:
    """Roll down from a start.

    Method: Nocedal and Wright 2006, Numerical Optimization, algorithm 7.4, with a backtracking line search; pairs
    without positive curvature are left out of the memory.

    Args:
        function: value and gradient at a point.
        start: (n,) first point.
        steps: most steps.
        flat: stop when no part of the gradient is above this.

    Returns:
        (n,) the best point.
    """
    at = start
    value, slope = function(at)
    moves: list[Floats] = []
    turns: list[Floats] = []
    shares: list[float] = []
    for _ in range(steps):
        if float(np.abs(slope).max()) <= flat:
            break
        direction = -slope
        weights = []
        for move, turn, share in zip(reversed(moves), reversed(turns), reversed(shares), strict=True):
            weight = share * float(move @ direction)
            weights.append(weight)
            direction = direction - weight * turn
        if moves:
            direction = direction * (float(moves[-1] @ turns[-1]) / float(turns[-1] @ turns[-1]))
        for move, turn, share, weight in zip(moves, turns, shares, reversed(weights), strict=True):
            direction = direction + (weight - share * float(turn @ direction)) * move
        fall = float(slope @ direction)
        if fall >= 0.0:
            moves, turns, shares = [], [], []
            direction, fall = -slope, -float(slope @ slope)
        length = 1.0 if moves else min(1.0, 1.0 / float(np.linalg.norm(slope)))
        for _ in range(20):
            moved = at + length * direction
            new_value, new_slope = function(moved)
            if new_value <= value + _ENOUGH_DESCENT * length * fall:
                break
            length *= 0.4
        else:
            break
        move, turn = moved - at, new_slope - slope
        curvature = float(move @ turn)
        if curvature > 1e-12 * float(turn @ turn):
            moves, turns, shares = (
                [*moves[1 - _MEMORY :], move],
                [*turns[1 - _MEMORY :], turn],
                [*shares[1 - _MEMORY :], 1.0 / curvature],
            )
        at, value, slope = moved, new_value, new_slope
    return at
