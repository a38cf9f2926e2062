"""Small side steps of a staircase eased to slants, as a cable lies."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ribway.router.geometry.plane_domain import PlaneDomain

Array = NDArray[np.float64]

SLANT = 3.0  # run-out on either side in times the step: 9.5 degrees
LEAST_REACH_M = 0.02
SHARE = 0.45  # of a leg that one corner may take


def eased(path: Array, domain: PlaneDomain, jog_m: float, free_start: bool = False, free_end: bool = False) -> Array:
    """A staircase whose short side steps are slants.

    A side step is a short leg with opposite turns at its ends. Its corners are drawn apart along the legs before and
    after it, so that the path gets shorter, never longer. A slant that would leave the domain is not made.

    Args:
        path: ``(k, 2)`` staircase [m].
        domain: where it must stay.
        jog_m: longest leg that counts as a side step [m].
        free_start, free_end: a cable may leave this end in any direction in the plane, so that a short first (last) leg
            is a side step too.

    Returns:
        ``(k, 2)`` path with the same ends [m].
    """
    out = np.array(path, dtype=np.float64)
    for i in range(1, len(out) - 2):
        before, step, after = out[i] - out[i - 1], out[i + 1] - out[i], out[i + 2] - out[i + 1]
        size = float(np.hypot(*step))
        a, b = float(np.hypot(*before)), float(np.hypot(*after))
        if not 0.0 < size <= jog_m or min(a, b) <= 0.0:
            continue
        if _cross(before, step) * _cross(step, after) >= 0.0:
            continue
        reach = min(
            max(SLANT * size, LEAST_REACH_M), SHARE * a if i > 1 else a, SHARE * b if i + 2 < len(out) - 1 else b
        )
        p, q = out[i] - before / a * reach, out[i + 1] + after / b * reach
        if bool(domain.visible(p[None], q[None])[0]):
            out[i], out[i + 1] = p, q
    if free_start:
        out = _end_eased(out, domain, jog_m)
    if free_end:
        out = _end_eased(out[::-1], domain, jog_m)[::-1]
    return out


def _end_eased(out: Array, domain: PlaneDomain, jog_m: float) -> Array:
    """A short first leg slanted into the second."""
    if len(out) < 3:
        return out
    size, after = float(np.hypot(*(out[1] - out[0]))), out[2] - out[1]
    room = float(np.hypot(*after))
    if not 0.0 < size <= jog_m or room <= 0.0:
        return out
    corner = out[1] + after / room * min(max(SLANT * size, LEAST_REACH_M), 2.0 * SHARE * room)
    if bool(domain.visible(out[:1], corner[None])[0]):
        out = np.vstack([out[:1], corner[None], out[2:]])
    return out


def _cross(u: Array, v: Array) -> float:
    return float(u[0] * v[1] - u[1] * v[0])
