"""Whether many lines meet many others, or many boxes, on a picture: all pairs at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Pairs = NDArray[np.bool_]

STILL_PX = 1e-12
TOUCH = 1e-9


def crossings(lines: Values, others: Values) -> Pairs:
    """Which lines cross which in their inside: each one's ends lie on different sides of the other.

    Args:
        lines: ``(n, 4)`` as x, y of both ends [px].
        others: ``(m, 4)`` in the same way.

    Returns:
        ``(n, m)``.
    """
    ax, ay, bx, by = (lines[:, None, i] for i in range(4))
    cx, cy, dx, dy = (others[None, :, i] for i in range(4))

    def side(ux: Values, uy: Values, vx: Values, vy: Values, wx: Values, wy: Values) -> Values:
        found: Values = (vx - ux) * (wy - uy) - (vy - uy) * (wx - ux)
        return found

    apart = side(ax, ay, bx, by, cx, cy) * side(ax, ay, bx, by, dx, dy) < 0.0
    found: Pairs = apart & (side(cx, cy, dx, dy, ax, ay) * side(cx, cy, dx, dy, bx, by) < 0.0)
    return found


def meetings(lines: Values, boxes: Values) -> Pairs:
    """Which lines have more than a border point in which boxes (Liang and Barsky's clipping).

    Source: Y.-D. Liang, B. A. Barsky, "A New Concept and Method for Line Clipping", ACM Transactions on Graphics 3(1), 1984.

    Args:
        lines: ``(n, 4)`` as x, y of both ends [px].
        boxes: ``(m, 4)`` as left, top, right, bottom [px].

    Returns:
        ``(n, m)``.
    """
    start, end = np.zeros((len(lines), len(boxes))), np.ones((len(lines), len(boxes)))
    found: Pairs = np.ones(start.shape, dtype=bool)
    for axis in (0, 1):
        first, step = lines[:, None, axis], (lines[:, 2 + axis] - lines[:, axis])[:, None]
        low, high = boxes[None, :, axis] - first, boxes[None, :, 2 + axis] - first
        still = np.abs(step) < STILL_PX
        pace = np.where(still, 1.0, step)
        one, other = low / pace, high / pace
        start = np.where(still, start, np.maximum(start, np.minimum(one, other)))
        end = np.where(still, end, np.minimum(end, np.maximum(one, other)))
        found &= ~still | ((low < 0.0) & (high > 0.0))
    return found & (start < end - TOUCH)
