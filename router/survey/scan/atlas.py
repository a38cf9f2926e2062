"""Depth atlases: how far a surface lies out, cell by cell, over the place on its wall; and ridges in them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_opening, label

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
CELL_M = 0.015
SKIN_BAND_M = 0.02


@dataclass(frozen=True, eq=False)
class Atlas:
    """Depth over a grid.

    Args:
        along: ``(n,)`` middle of each column: distance back from the datum [m].
        rows: ``(m,)`` middle of each row [m].
        depth: ``(m, n)`` how far out the surface lies; NaN where nothing was seen [m].
    """

    along: Array
    rows: Array
    depth: Array

    @property
    def seen(self) -> Flags:
        """Cells in which there is something."""
        return np.asarray(np.isfinite(self.depth))


def atlas_of(back: Array, row: Array, depth: Array, length_m: float, rows: tuple[float, float]) -> Atlas:
    """Mean depth of the points in each cell.

    Args:
        back: of points, distance behind the datum [m].
        row: of points: height, or distance to the left [m].
        depth: of points: distance from the middle of the van [m].
        length_m: how far back it goes [m].
        rows: least and greatest row [m].
    """
    columns = max(1, round(length_m / CELL_M))
    count = max(1, round((rows[1] - rows[0]) / CELL_M))
    i = np.floor((row - rows[0]) / CELL_M).astype(np.int64)
    j = np.floor(back / CELL_M).astype(np.int64)
    inside = (i >= 0) & (i < count) & (j >= 0) & (j < columns)
    cell = i[inside] * columns + j[inside]
    number = np.bincount(cell, minlength=count * columns)
    total = np.bincount(cell, weights=depth[inside], minlength=count * columns)
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = np.where(number > 0, total / number, np.nan).reshape(count, columns)
    along: Array = (np.arange(columns, dtype=np.float64) + 0.5) * CELL_M
    middles: Array = rows[0] + (np.arange(count, dtype=np.float64) + 0.5) * CELL_M
    return Atlas(along, middles, mean)


def outer(values: Array) -> float:
    """The usual value of what lies outermost: the skin behind the ribs; NaN of nothing.

    Args:
        values: depths, NaN where nothing was seen [m].
    """
    good = values[np.isfinite(values)]
    if len(good) < 5:
        return float("nan")
    top = float(np.quantile(good, 0.9))
    for _ in range(3):
        band = good[np.abs(good - top) < SKIN_BAND_M]
        if not len(band):
            break
        top = float(np.median(band))
    return top


@dataclass(frozen=True)
class Ridge:
    """A rib or bow as seen from inside.

    Args:
        middle_m: distance back of its centre [m].
        width_m: of its face [m].
        height_m: how far it stands off the skin [m].
    """

    middle_m: float
    width_m: float
    height_m: float


def ridges(along: Array, height: Array, least_m: float = 0.025, widest_m: float = 0.20) -> list[Ridge]:
    """Stretches where a profile stands off, with their edges between cells.

    Args:
        along: distance back, rising [m].
        height: how far the profile stands off the skin; NaN where nothing was seen [m].
        least_m: height from which something is a ridge [m].
        widest_m: width up to which it is one [m].

    Returns:
        Ridges, front to rear.
    """
    known = np.isfinite(height)
    if known.sum() < 3:
        return []
    level = np.interp(along, along[known], height[known])
    out = []
    high = level > least_m
    edges = np.flatnonzero(np.diff(np.concatenate([[False], high, [False]]).astype(np.int8)))
    for a, b in zip(edges[::2], edges[1::2], strict=True):
        top = float(np.median(np.sort(level[a:b])[(b - a) // 3 :]))
        half = top / 2
        front = _crossing(along, level, int(a), -1, half)
        rear = _crossing(along, level, int(b) - 1, 1, half)
        if CELL_M < rear - front < widest_m and known[a:b].mean() > 0.5:
            out.append(Ridge((front + rear) / 2, rear - front, top))
    return out


def _crossing(along: Array, level: Array, start: int, step: int, half: float) -> float:
    """Where a profile falls below half, walking outwards from a cell at the foot of a ridge."""
    k = start
    while 0 <= k - step < len(level) and level[k] < half:
        k -= step
    while 0 <= k + step < len(level) and level[k + step] >= half:
        k += step
    n = k + step
    if not 0 <= n < len(level):
        return float(along[k] + step * CELL_M / 2)
    share = (level[k] - half) / max(level[k] - level[n], 1e-12)
    return float(along[k] + share * (along[n] - along[k]))


@dataclass(frozen=True)
class Gap:
    """An opening in a wall: nothing was seen there.

    Args:
        front_m, rear_m: distances back [m].
        bottom_m, top_m: rows [m].
    """

    front_m: float
    rear_m: float
    bottom_m: float
    top_m: float


def gaps(atlas: Atlas, least_m: float = 0.15) -> list[Gap]:
    """Windows and doors: patches of cells in which nothing was seen.

    Args:
        atlas: of a wall.
        least_m: smallest width and height that is one [m].
    """
    seen = atlas.seen
    # A cell is seen if a neighbour is: a scan is coarser than the grid in places.
    padded = np.pad(seen, 1)
    near = sum(
        padded[1 + i : 1 + i + seen.shape[0], 1 + j : 1 + j + seen.shape[1]] for i in (-1, 0, 1) for j in (-1, 0, 1)
    )
    empty = binary_opening(np.asarray(near) == 0, iterations=2)
    marks, count = label(empty)
    out = []
    for number in range(1, int(count) + 1):
        rows, columns = np.nonzero(marks == number)
        wide = (columns.max() - columns.min() + 3) * CELL_M
        high = (rows.max() - rows.min() + 3) * CELL_M
        if wide >= least_m and high >= least_m:
            front, bottom = (columns.min() - 1) * CELL_M, atlas.rows[0] + (rows.min() - 1.5) * CELL_M
            out.append(Gap(float(front), float(front + wide), float(bottom), float(bottom + high)))
    return sorted(out, key=lambda gap: gap.front_m)
