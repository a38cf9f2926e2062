"""The looms of a picture in rows and columns, all of them: what does not fit is written smaller. Pillow only."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from PIL import ImageDraw

from ribway.models.printed import Units, counted
from ribway.viewer import palette
from ribway.viewer.fonts import font, line_height, text_size
from ribway.viewer.legend import fitted, loom_title
from ribway.viewer.page import SMALLEST_TYPE_PX, Area
from ribway.viewer.shapes import LegendLine
from ribway.viewer.units import length_text

HEADING: Final = "Looms and zones, runs, cable cut"
TWO_LINES_WIDE: Final = 11.5
ONE_LINE_WIDE: Final = 19.0
SMALL: Final = 0.9
BANDS: Final = (0.33, 0.67)


@dataclass(frozen=True)
class Grid:
    """How a legend is divided.

    Args:
        columns: side by side.
        rows: from top to bottom.
        row_px: height of a row [px].
        type_px: size of the type [px].
        two_lines: a loom's sums stand below its name rather than beside it.
    """

    columns: int
    rows: int
    row_px: int
    type_px: int
    two_lines: bool


def nothing_wide(size_px: int, two_lines: bool) -> float:
    """No loom asks for more than the usual width."""
    return 0.0


def wide_for(lines: Sequence[LegendLine], units: Units) -> Callable[[int, bool], float]:
    """How wide a column has to be for every loom's name to stand in it whole.

    Args:
        lines: one a loom.
        units: how lengths are written.

    Returns:
        Of a size of type, and whether sums stand below the names, the width [px].
    """

    def wide(size_px: int, two_lines: bool) -> float:
        strong, small = font(size_px, bold=True), font(int(size_px * SMALL))
        beside = size_px * 1.5 + size_px // 2 + size_px  # the swatch, and what keeps columns apart
        if two_lines:
            texts = [
                max(text_size(loom_title(one), strong)[0], small.getlength(sums_text(one, units))) for one in lines
            ]
        else:
            texts = [
                text_size(loom_title(one), strong)[0] + small.getlength(sums_text(one, units)) + size_px // 2
                for one in lines
            ]
        return beside + max(texts, default=0.0) + 2

    return wide


def grid_for(
    count: int, width: float, height: float, type_px: int, asked: Callable[[int, bool], float] = nothing_wide
) -> Grid:
    """The largest type that shows every loom with its whole name, sums below the names where there is room.

    Args:
        count: how many looms.
        width: room [px].
        height: room, the heading's included [px].
        type_px: size of the type at most [px].
        asked: how wide a column has to be, as `wide_for` tells.

    Returns:
        The grid; in the smallest type it may be too small for all, or for whole names.
    """
    grids = _grids(width, height, type_px, asked)
    whole = next((grid for grid in grids if grid.columns * grid.rows >= count), None)
    if whole is not None:
        return whole
    # Rather every loom with its name cut than some of them not at all.
    grids = _grids(width, height, type_px, nothing_wide)
    return next(
        (grid for grid in grids if grid.columns * grid.rows >= count),
        max(grids, key=lambda grid: grid.columns * grid.rows),
    )


def _grids(width: float, height: float, type_px: int, asked: Callable[[int, bool], float]) -> list[Grid]:
    """All grids there might be, the largest type first."""
    grids = []
    for size in range(type_px, min(type_px, SMALLEST_TYPE_PX) - 1, -1):
        strong, small = line_height(font(size, bold=True)), line_height(font(int(size * SMALL)))
        for two_lines in (True, False):
            wide = max(size * (TWO_LINES_WIDE if two_lines else ONE_LINE_WIDE), asked(size, two_lines))
            if wide > width and asked is not nothing_wide:
                continue
            row = strong + (small if two_lines else 0) + size // (2 if two_lines else 4)
            rows = max(1, int(height - small - size // 3) // row)
            grids.append(Grid(max(1, int(width / wide)), rows, row, size, two_lines))
    return grids


def draw_looms(draw: ImageDraw.ImageDraw, area: Area, lines: Sequence[LegendLine], units: Units, size_px: int) -> None:
    """Writes the looms column by column: colour, name and zone, runs, cable cut.

    Args:
        draw: where to.
        area: left, top, right, bottom.
        lines: one a loom.
        units: how lengths are written.
        size_px: size of the plain type.
    """
    left, top, right, bottom = area
    grid = grid_for(len(lines), right - left, bottom - top, size_px, wide_for(lines, units))
    size = grid.type_px
    small, strong = font(int(size * SMALL)), font(size, bold=True)
    draw.text((left, top), fitted(HEADING, right - left, small), font=small, fill=palette.QUIET_INK)
    top += line_height(small) + size // 3
    width, swatch, height = (right - left) / grid.columns, int(size * 1.5), line_height(strong)
    room_for = grid.columns * grid.rows
    shown = len(lines) if len(lines) <= room_for else room_for - 1
    rows = min(grid.rows, -(-len(lines) // grid.columns)) or 1
    for number, line in enumerate(lines[:shown]):
        x, y = left + number // rows * width, top + number % rows * grid.row_px
        draw.rounded_rectangle((x, y + 2, x + swatch, y + height - 2), radius=3, fill=line.colour)
        if line.banded:
            for share in BANDS:
                middle = x + share * swatch
                draw.rectangle((middle - swatch * 0.08, y + 2, middle + swatch * 0.08, y + height - 2), fill="#ffffff")
        x += swatch + size // 2
        end = left + (number // rows + 1) * width - (size if grid.columns > 1 else 0)
        sums = sums_text(line, units)
        if grid.two_lines:
            draw.text((x, y), fitted(loom_title(line), end - x, strong), font=strong, fill=palette.INK)
            draw.text((x, y + height), fitted(sums, end - x, small), font=small, fill=palette.INK)
            continue
        room = end - x - small.getlength(sums) - size // 2
        draw.text((x, y), fitted(loom_title(line), room, strong), font=strong, fill=palette.INK)
        draw.text((end, y + (height - line_height(small)) // 2), sums, font=small, fill=palette.INK, anchor="ra")
    if shown < len(lines):
        x, y = left + shown // rows * width, top + shown % rows * grid.row_px
        more = f"and {counted(len(lines) - shown, 'more loom')}"
        draw.text((x, y), fitted(more, width, small), font=small, fill=palette.INK)


def sums_text(line: LegendLine, units: Units) -> str:
    """What a loom comes to.

    Args:
        line: the loom.
        units: how lengths are written.

    Returns:
        ``8 runs, 9.7 m``, or how many cords where there is no cable.
    """
    if line.cut_m <= 0.0:
        return counted(line.runs, "cord")
    return f"{counted(line.runs, 'run')}, {length_text(line.cut_m, units)}"
