"""How stickers and labels lie on a sheet: a plain division of A4, or the sizes that stand on the packet."""

from __future__ import annotations

import re
from dataclasses import dataclass

MOST = 12
MOST_SIZED = 40
PT_PER_MM = 72.0 / 25.4
PAGES_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Upright sheets: ISO 216, and ANSI A [mm]."""
ACCEPTED = f"across x down, like 3x8, each 1 to {MOST}"
ACCEPTED_SIZED = (
    "across x down, and behind colons, in mm, width x height of a label, left x top margin, gaps across x down, and "
    "letter if it is not A4: 3x8, 3x8:64x34, 3x8:64x34:7x12, 3x8:64x34:7x12:2.5x0 or 3x10:66.7x25.4:4.8x12.7:3.2x0:letter"
)
_SLIGHT_MM = 0.05
_PAIR = re.compile(r"\s*([0-9]+(?:[.,][0-9]+)?)\s*[x×]\s*([0-9]+(?:[.,][0-9]+)?)\s*(?:mm)?\s*")


@dataclass(frozen=True)
class Grid:
    """Labels on a sheet: 3 by 8 of 70 mm by 37 mm is the usual one (common practice, no source).

    Args:
        across, down: how many.
        size_mm: width and height of a label; the sheet's even parts if None.
        margin_mm: to the left of the first and above it; the rest is shared evenly if None.
        gap_mm: between labels, across and down.
        page: ``a4`` or ``letter``, upright.
    """

    across: int = 3
    down: int = 8
    size_mm: tuple[float, float] | None = None
    margin_mm: tuple[float, float] | None = None
    gap_mm: tuple[float, float] = (0.0, 0.0)
    page: str = "a4"

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.across * self.down

    @property
    def page_pt(self) -> tuple[float, float]:
        """Width and height of the sheet [pt]."""
        width, height = PAGES_MM[self.page]
        return width * PT_PER_MM, height * PT_PER_MM

    def cell(self, index: int) -> tuple[float, float, float, float]:
        """Where a label lies.

        Args:
            index: its number on its sheet, from 0, row by row.

        Returns:
            Its left side, its upper side, its width and its height [pt].
        """
        row, column = divmod(index, self.across)
        lefts, tops = _places(self, 0), _places(self, 1)
        width, height = self.page_pt
        across = (self.size_mm[0] * PT_PER_MM, self.size_mm[1] * PT_PER_MM) if self.size_mm else None
        label = across or (width / self.across, height / self.down)
        return lefts[column] * PT_PER_MM, height - tops[row] * PT_PER_MM, *label


def parse_grid(text: str) -> Grid:
    """Read a plain grid.

    Args:
        text: ``3x8`` or ``3 × 8``.

    Returns:
        The grid.

    Raises:
        ValueError: not two whole numbers, or too many labels; with what is accepted.
    """
    found = re.fullmatch(r"\s*([0-9]{1,2})\s*[x×]\s*([0-9]{1,2})\s*", text.casefold())
    across, down = (int(found[1]), int(found[2])) if found else (0, 0)
    if not (1 <= across <= MOST and 1 <= down <= MOST):
        raise ValueError(f"<{text}> is no grid of stickers: accepted is {ACCEPTED}")
    return Grid(across, down)


def parse_label_grid(text: str) -> Grid:
    """Read a grid of labels that may give sizes.

    Args:
        text: see `ACCEPTED_SIZED`.

    Returns:
        The grid.

    Raises:
        ValueError: not of that form, or the labels do not fit the sheet; with the sum that does not.
    """
    parts = text.casefold().split(":")
    page = parts.pop().strip() if parts[-1].strip() in PAGES_MM else "a4"
    pairs = [_pair(part) for part in parts]
    numbers = [pair for pair in pairs if pair is not None]
    if not numbers or len(numbers) != len(parts) or len(numbers) > 4:
        raise ValueError(f"<{text}> is no grid of labels: accepted is {ACCEPTED_SIZED}")
    across, down = int(numbers[0][0]), int(numbers[0][1])
    whole = numbers[0][0] == across and numbers[0][1] == down
    if not (whole and 1 <= across <= MOST_SIZED and 1 <= down <= MOST_SIZED):
        raise ValueError(f"<{text}>: labels across and down are whole numbers of 1 to {MOST_SIZED}")
    size = numbers[1] if len(numbers) > 1 else None
    margin = numbers[2] if len(numbers) > 2 else None
    gap = numbers[3] if len(numbers) > 3 else (0.0, 0.0)
    if size is not None and 0.0 in size:
        raise ValueError(f"<{text}>: a label of no size holds nothing: give its width and height in mm")
    grid = Grid(across, down, size, margin, gap, page)
    for axis, (many, side, word) in enumerate(((across, "left", "wide"), (down, "top", "high"))):
        if size is None:
            continue
        need = many * size[axis] + (many - 1) * grid.gap_mm[axis] + (margin[axis] if margin else 0.0)
        room = PAGES_MM[page][axis]
        if need > room + _SLIGHT_MM:
            at = f" behind a margin of {margin[axis]:g} mm at the {side}" if margin else ""
            gaps = f" with {grid.gap_mm[axis]:g} mm between" if grid.gap_mm[axis] else ""
            raise ValueError(
                f"<{text}>: {many} labels of {size[axis]:g} mm{gaps}{at} need {need:g} mm, and the sheet is {room:g} mm {word}"
            )
    return grid


def _pair(text: str) -> tuple[float, float] | None:
    found = _PAIR.fullmatch(text)
    return (float(found[1].replace(",", ".")), float(found[2].replace(",", "."))) if found else None


def _places(grid: Grid, axis: int) -> list[float]:
    """Where labels begin, from the left or from the top [mm]."""
    many, whole = (grid.across, grid.down)[axis], PAGES_MM[grid.page][axis]
    if grid.size_mm is None:
        return [index * whole / many for index in range(many)]
    step = grid.size_mm[axis] + grid.gap_mm[axis]
    rest = whole - many * step + grid.gap_mm[axis]
    first = grid.margin_mm[axis] if grid.margin_mm is not None else rest / 2
    return [first + index * step for index in range(many)]
