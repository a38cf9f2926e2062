"""The parts of a table as blocks: title, headings, bands and rows."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ribway.sheets.marks import Block, Box, Face, Frame, Mark, Text
from ribway.sheets.table import Align, Group, Row, Table
from ribway.sheets.widths import PAD, TICK, column_widths, heading_size, is_box
from ribway.sheets.words import NOTHING
from ribway.sheets.wrap import ASCENT, LEADING, gap, paragraph, stacked, wrap

TITLE_PT = 16.0
NOTE_PT = 9.0
RULE = 0.35
HEAD_FILL = "#d9d9d9"
BAND_FILL = "#e8e8e8"
ZEBRA_FILL = "#f4f4f4"

PAD_ABOVE, PAD_TIGHT = 4.0, 2.6
"""Room above and below the text of a row, and where a table would else end on a page of its own [pt]."""
_CHIP = 11.0


@dataclass(frozen=True)
class Grid:
    """A table with its columns placed.

    Attributes:
        table: the table.
        frame: the part of the page that it fills.
        lefts: left side of each column [pt].
        rights: right side of each column [pt].
        face: the typeface.
        pad: room above and below the text of a row [pt].
    """

    table: Table
    frame: Frame
    lefts: tuple[float, ...]
    rights: tuple[float, ...]
    face: Face
    pad: float = PAD_ABOVE


def grid_of(table: Table, frame: Frame, face: Face) -> Grid:
    """Place a table's columns.

    Args:
        table: the table.
        frame: the part of the page that it fills.
        face: the typeface.

    Returns:
        The grid.
    """
    frame = replace(frame, right=frame.left + table.share * frame.width)
    widths = column_widths(table, frame.width, face)
    rights = [frame.left + sum(widths[: index + 1]) for index in range(len(widths))]
    return Grid(table, frame, (frame.left, *rights[:-1]), tuple(rights), face)


def title_block(grid: Grid, whole: Frame, continued: bool) -> Block:
    """A table's title; its notes stand below it where the table begins."""
    frame, table = whole, grid.table
    title = f"{table.title}, continued" if continued else table.title
    parts = [paragraph(title, frame.left, frame.width, TITLE_PT, True, grid.face), gap(2.0)]
    if not continued:
        parts += [paragraph(note, frame.left, frame.width, NOTE_PT, False, grid.face) for note in table.notes]
    return stacked(*parts, gap(5.0))


def head_block(grid: Grid) -> Block:
    """The headings of the columns, on grey between two rules."""
    size = heading_size(grid.table)
    cells = [
        wrap(column.label, right - left - 2 * PAD, size, True, grid.face)
        for column, left, right in zip(grid.table.columns, grid.lefts, grid.rights, strict=True)
    ]
    height = max(len(lines) for lines in cells) * LEADING * size + 2 * PAD_ABOVE
    frame = grid.frame
    marks: list[Mark] = [Box(frame.left, -height, frame.width, height, HEAD_FILL)]
    for index, (column, lines) in enumerate(zip(grid.table.columns, cells, strict=True)):
        align: Align = "centre" if is_box(column) else column.align
        marks += _cell(grid, index, lines, size, True, align, PAD_ABOVE)
    marks += [Box(frame.left, y, frame.width, 0.0, line=1.2) for y in (0.0, -height)]
    return Block(height, tuple(marks))


def band_block(grid: Grid, group: Group, continued: bool) -> Block:
    """The heading of a group, on a band with its chip of colour."""
    frame, size = grid.frame, grid.table.type_pt
    chip = _CHIP + 6.0 if group.colour else 0.0
    text = f"{group.heading}, continued" if continued else group.heading
    words = paragraph(text, frame.left + PAD + chip, frame.width - 2 * PAD - chip, size, True, grid.face)
    height = max(words.height, _CHIP) + 2 * PAD_ABOVE
    marks: list[Mark] = [Box(frame.left, -height, frame.width, height, BAND_FILL)]
    if group.colour:
        marks.append(Box(frame.left + PAD, -PAD_ABOVE - _CHIP, _CHIP, _CHIP, group.colour, RULE))
    marks += words.at(-PAD_ABOVE)
    marks.append(Box(frame.left, -height, frame.width, 0.0, line=RULE))
    return Block(height, tuple(marks))


def row_blocks(grid: Grid, row: Row, shaded: bool, most: float) -> tuple[Block, ...]:
    """A row; one that is higher than a page is cut into several.

    Args:
        grid: the table.
        row: its texts.
        shaded: whether it stands on grey.
        most: height that a block may have [pt].

    Returns:
        The blocks, nearly always one.
    """
    table, size = grid.table, grid.table.type_pt
    cells = [
        wrap(text, right - left - 2 * PAD, size, column.strong, grid.face)
        for text, column, left, right in zip(row, table.columns, grid.lefts, grid.rights, strict=True)
    ]
    fit = max(1, int((most - 2 * grid.pad) / (LEADING * size)))
    count = max(len(lines) for lines in cells)
    return tuple(
        _row(grid, [lines[start : start + fit] for lines in cells], shaded, start == 0)
        for start in range(0, count, fit)
    )


def _row(grid: Grid, cells: list[tuple[str, ...]], shaded: bool, first: bool) -> Block:
    table, size, frame = grid.table, grid.table.type_pt, grid.frame
    least = TICK if first and any(is_box(column) for column in table.columns) else 0.0
    height = max(least, max(len(lines) for lines in cells) * LEADING * size) + 2 * grid.pad
    marks: list[Mark] = [Box(frame.left, -height, frame.width, height, ZEBRA_FILL)] if shaded else []
    for index, (column, lines) in enumerate(zip(table.columns, cells, strict=True)):
        if not is_box(column):
            marks += _cell(grid, index, lines, size, column.strong, column.align, grid.pad)
        elif lines and lines[0] == NOTHING:
            marks += _cell(grid, index, lines, size, False, "centre", grid.pad)
        elif first:
            middle = (grid.lefts[index] + grid.rights[index] - TICK) / 2
            marks.append(Box(middle, -grid.pad - TICK, TICK, TICK, "#ffffff", 0.9, tick=True))
    marks.append(Box(frame.left, -height, frame.width, 0.0, line=RULE))
    return Block(height, tuple(marks))


def _cell(
    grid: Grid, index: int, lines: tuple[str, ...], size: float, bold: bool, align: Align, pad: float
) -> list[Mark]:
    left, right = grid.lefts[index] + PAD, grid.rights[index] - PAD
    marks: list[Mark] = []
    for number, line in enumerate(lines):
        spare = right - left - grid.face.measure(line, size, bold)
        x = left + {"left": 0.0, "box": 0.0, "right": spare, "centre": spare / 2}[align]
        y = -pad - (number * LEADING + ASCENT) * size
        if line:
            marks.append(Text(x, y, line, size, bold, left, right))
    return marks
