"""Sheets of a board that may be left out: straight bundles alone pass on them, and the ones beside them are laid by tape."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

Cell = tuple[int, int]
"""Row and column of a sheet."""


def with_gaps(touched: set[Cell], busy: set[Cell]) -> set[Cell]:
    """The sheets that are kept.

    A gap is only ever between two sheets of one row, and each sheet's place follows from the others: by a gap along its row, or
    by one that lies above or below it. Where that would leave sheets whose place nobody knows, some plain ones stay.

    Args:
        touched: all sheets that something is on.
        busy: those of them on which something begins, ends, bends or branches.

    Returns:
        The busy ones, and as many plain ones as it takes.
    """
    plain = sorted(touched - busy)
    kept = set(busy & touched)
    groups = _groups(touched, touched)
    for group in groups:  # boards that share no row and no column of sheets have each its own places
        mine = kept & group
        while mine and len(_groups(mine, mine)) > 1:
            count = len(_groups(mine, mine))
            free = [one for one in plain if one in group and one not in mine]
            best = min(free, key=lambda one: (len(_groups(mine | {one}, mine | {one})), one))
            if len(_groups(mine | {best}, mine | {best})) >= count:
                best = _nearer(mine, free)
            mine.add(best)
        kept |= mine
    return kept


def _nearer(mine: set[Cell], free: list[Cell]) -> Cell:
    """A plain sheet above or below a kept one, or else the first."""
    return next((one for one in free if {(one[0] - 1, one[1]), (one[0] + 1, one[1])} & mine), free[0])


def _groups(cells: set[Cell], among: set[Cell]) -> list[set[Cell]]:
    """Sheets whose places follow from one another: along a row across gaps, and up and down side by side."""
    left, out = set(cells), []
    rows: dict[int, list[Cell]] = {}
    for one in sorted(among):
        rows.setdefault(one[0], []).append(one)
    along: dict[Cell, list[Cell]] = {}
    for row in rows.values():
        for a, b in itertools.pairwise(row):
            along.setdefault(a, []).append(b)
            along.setdefault(b, []).append(a)
    while left:
        group, new = set(), [min(left)]
        while new:
            one = new.pop()
            if one in group:
                continue
            group.add(one)
            new += [other for other in (*along.get(one, ()), *_above_below(one)) if other in left]
        left -= group
        out.append(group)
    return out


def _above_below(cell: Cell) -> Iterator[Cell]:
    yield cell[0] - 1, cell[1]
    yield cell[0] + 1, cell[1]
