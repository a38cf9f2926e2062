"""Many small knapsacks at once: what fits a way together, worth most, bounded from above."""

from __future__ import annotations

import numpy as np

from ribway.router.proof.instance import Array, Flags, Ints

UNITS = 240  # most units in a limit


def unit_of(areas: Array, limit: Array) -> Array:
    """``(w,)`` unit in which to count each limit, so that rounding areas and limit down to whole units loses least.

    Units are whole parts of one of the areas: where all are alike, nothing is lost.

    Args:
        areas: ``(a,)`` different areas there are [mm2].
        limit: ``(w,)`` limits [mm2].
    """
    areas = areas[areas > 0.0]
    if not len(areas):
        return np.full(len(limit), np.inf)
    tried = np.sort((areas[:, None] / np.arange(1, UNITS + 1)).ravel())[::-1]
    share = areas / tried[:, None] * (1.0 + 1e-12)
    lost = np.where(share >= 1.0, (share - np.floor(share)) / share, 1.0)
    different, place = np.unique(limit, return_inverse=True)
    best = []
    for one in different:
        fits = areas <= one
        loss = lost[:, fits].max(axis=1, initial=0.0).round(9) + np.where(tried * UNITS < one, 2.0, 0.0)
        best.append(tried[np.argmin(loss)] if loss.min() < 2.0 else one / UNITS)
    return np.asarray(np.array(best)[place.ravel()])


def in_units(area: Array, limit: Array, unit: Array) -> tuple[Ints, Ints]:
    """Areas and limits in whole units, so that what fits still fits; ``UNITS + 1`` for what does not fit by itself.

    Areas are raised by a hair before they are rounded down, so that whole numbers stay what they are; limits by two, so
    that sums of such areas still stay within them.
    """
    whole = np.floor(area / unit * (1.0 + 1e-12)).astype(np.int64)
    room = np.floor(limit / unit * (1.0 + 2e-12)).astype(np.int64)
    return np.asarray(np.where(area > limit, UNITS + 1, whole)), np.asarray(room)


def fullest(worth: Array, units: Ints, room: Ints) -> tuple[Array, Flags]:
    """The most that things in a sack can be worth, for many sacks at once, by dynamic programming.

    Args:
        worth: ``(n, i)`` of each thing, none negative.
        units: ``(n, i)`` its size in units; above `UNITS` it does not fit.
        room: ``(n,)`` units that a sack takes, `UNITS` at most.

    Returns:
        ``(n,)`` values, and ``(n, i)`` which things are taken.
    """
    sacks, things = worth.shape
    top = int(room.max(initial=0))
    counts = (worth > 0.0) & (units <= top)
    last = np.where(counts.any(axis=1), things - np.argmax(counts[:, ::-1], axis=1), 0)
    order = np.argsort(-last, kind="stable")  # sacks with many things first, so that the others are left out early
    worth, units, last = worth[order], np.minimum(units[order], top + 1), last[order]
    # Each row has a part before it that can't be reached, so that a thing too large for what is left is never taken.
    reach = np.zeros((sacks, 2 * top + 2))
    reach[:, : top + 1] = -1.0
    best, flat = reach[:, top + 1 :], reach.ravel()
    place = np.arange(sacks)[:, None] * (2 * top + 2) + np.arange(top + 1, 2 * top + 2)
    took = np.zeros((things, sacks, top + 1), dtype=bool)
    for i in range(things):
        some = int(np.searchsorted(-last, -i))
        if not some:
            break
        other = flat[place[:some] - units[:some, i, None]]
        other += np.where(counts[order[:some], i], worth[:some, i], -1.0)[:, None]
        np.greater(other, best[:some], out=took[i, :some])
        np.maximum(best[:some], other, out=best[:some])
    taken = np.zeros((sacks, things), dtype=bool)
    rows, left = np.arange(sacks), room[order]
    value = best[rows, left]
    for i in range(things - 1, -1, -1):
        taken[order, i] = took[i, rows, left]
        left = left - np.where(taken[order, i], units[:, i], 0)
    back = np.empty(sacks)
    back[order] = value
    return back, taken
