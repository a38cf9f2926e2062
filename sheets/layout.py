"""Tables onto pages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ribway.sheets.marks import Block, Face, Frame, Mark, Page
from ribway.sheets.rows import PAD_TIGHT, Grid, band_block, grid_of, head_block, row_blocks, title_block
from ribway.sheets.table import Group, Table

_BETWEEN_TABLES = 20.0
_LEAST_BLOCK = 60.0
_FEW_ROWS = 3
"""So few rows are not left alone on a last page where closer rows save it."""


class _Pages:
    """Pages being filled from top to bottom; used inside one call only."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.done: list[Page] = []
        self.opens: list[str] = []
        self.marks: list[Mark] = []
        self.y = frame.top
        self.rows = self.spilled = 0

    def room(self) -> float:
        return self.y - self.frame.bottom

    def put(self, block: Block) -> None:
        self.marks += block.at(self.y)
        self.y -= block.height

    def turn(self) -> None:
        if self.marks:
            self.done.append(Page(tuple(self.opens), tuple(self.marks)))
        self.opens, self.marks, self.y, self.rows = [], [], self.frame.top, 0

    def copy(self) -> _Pages:
        twin = _Pages(self.frame)
        twin.done, twin.opens, twin.marks = [*self.done], [*self.opens], [*self.marks]
        twin.y, twin.rows, twin.spilled = self.y, self.rows, self.spilled
        return twin


def lay_out(tables: Iterable[Table], frame: Frame, face: Face) -> tuple[Page, ...]:
    """Put tables onto pages: each begins a new page unless it follows another and there is room.

    Titles and headings are repeated on every page that a table goes on to, and no heading of a group is left alone
    at the foot of a page.

    Args:
        tables: in order.
        frame: the part of a page that may be filled.
        face: the typeface.

    Returns:
        The pages.
    """
    pages = _Pages(frame)
    for table in tables:
        grid, before = grid_of(table, frame, face), pages.copy()
        _put_table(pages, grid)
        if pages.rows <= _FEW_ROWS and pages.spilled > before.spilled:
            _put_table(before, replace(grid, pad=PAD_TIGHT))
            if len(before.done) < len(pages.done):
                pages = before
    pages.turn()
    return tuple(pages.done)


def _put_table(pages: _Pages, grid: Grid) -> None:
    title, head = title_block(grid, pages.frame, continued=False), head_block(grid)
    most = max(_LEAST_BLOCK, pages.frame.height - title.height - head.height - _LEAST_BLOCK)
    if not grid.table.follows or pages.room() < _BETWEEN_TABLES + title.height + head.height + _height(grid, most):
        pages.turn()
    elif pages.marks:
        pages.y -= _BETWEEN_TABLES
    pages.opens.append(grid.table.title)
    pages.put(title)
    pages.put(head)
    for group in grid.table.groups:
        _put_group(pages, grid, group, most)


def _height(grid: Grid, most: float) -> float:
    """Height of all groups [pt]."""
    bands = [band_block(grid, group, continued=False).height for group in grid.table.groups if group.heading]
    return sum(bands) + sum(block.height for row in grid.table.rows for block in row_blocks(grid, row, False, most))


def _opening_height(grid: Grid, group: Group, most: float) -> float:
    """Height of a group's band and first row together [pt]."""
    row = row_blocks(grid, group.rows[0], False, most)[0].height if group.rows else 0.0
    return row + (band_block(grid, group, continued=False).height if group.heading else 0.0)


def _put_group(pages: _Pages, grid: Grid, group: Group, most: float) -> None:
    if pages.room() < _opening_height(grid, group, most):
        _go_on(pages, grid)
    if group.heading:
        pages.put(band_block(grid, group, continued=False))
    for number, row in enumerate(group.rows):
        for block in row_blocks(grid, row, number % 2 == 1, most):
            if pages.room() < block.height:
                _go_on(pages, grid)
                if group.heading:
                    pages.put(band_block(grid, group, continued=True))
            pages.put(block)
            pages.rows += 1


def _go_on(pages: _Pages, grid: Grid) -> None:
    pages.turn()
    pages.spilled += 1
    pages.put(title_block(grid, pages.frame, continued=True))
    pages.put(head_block(grid))
