"""Tables onto pages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ribway.sheets.marks import Block, Face, Frame, Mark, Page
from ribway.sheets.rows import PAD_TIGHT, Grid, band_block, grid_of, head_block, row_blocks, title_block
from ribway.sheets.table import Group, Table

_BETWEEN_TABLES = 20.0
_LEAST_BLOCK = 60.0
_LEAST_BEGUN = 150.0
"""A table that has to be parted begins below another only with so much room: its heading and some rows [pt]."""
_FEW_ROWS = 3
"""So few rows are not left alone on a last page where closer rows save it."""


class _Pages:
    """Pages being filled from top to bottom; used inside one call only."""

    def __init__(self, frame: Frame, top: float | None = None) -> None:
        self.frame = frame
        self.done: list[Page] = []
        self.opens: list[str] = []
        self.marks: list[Mark] = []
        self.y = frame.top if top is None else top
        self.rows = self.spilled = self.parted = 0

    @property
    def begun(self) -> bool:
        """Whether something stands on this page, or above what is laid out here."""
        return self.y < self.frame.top

    def room(self) -> float:
        return self.y - self.frame.bottom

    def put(self, block: Block) -> None:
        self.marks += block.at(self.y)
        self.y -= block.height

    def turn(self) -> None:
        if self.begun:
            self.done.append(Page(tuple(self.opens), tuple(self.marks)))
        self.opens, self.marks, self.y, self.rows = [], [], self.frame.top, 0

    def copy(self) -> _Pages:
        twin = _Pages(self.frame, self.y)
        twin.done, twin.opens, twin.marks = [*self.done], [*self.opens], [*self.marks]
        twin.rows, twin.spilled, twin.parted = self.rows, self.spilled, self.parted
        return twin


def lay_out(tables: Iterable[Table], frame: Frame, face: Face, top: float | None = None) -> tuple[Page, ...]:
    """Put tables onto pages: each begins a new page unless it follows another and there is room for it.

    A table that follows stands whole below the other; it is parted over two pages only where that saves a page. Titles and
    headings are repeated on every page that a table goes on to, and no heading of a group is left alone at the foot of a page.

    Args:
        tables: in order.
        frame: the part of a page that may be filled.
        face: the typeface.
        top: how far down the first page is taken already [pt]; that page is then the first one given back, empty or not.

    Returns:
        The pages.
    """
    pages = _filled(_Pages(frame, top), [grid_of(table, frame, face) for table in tables])
    return tuple(pages.done)


def _filled(pages: _Pages, grids: Sequence[Grid]) -> _Pages:
    """The pages with all of these tables, as few as there can be, and of as many those that part fewest tables."""
    if not grids:
        pages.turn()
        return pages
    first, rest = grids[0], grids[1:]
    below = first.table.follows and pages.begun
    ways = [pages.copy()]
    if not below or pages.room() < _whole(first, pages.frame):
        ways[0].turn()
        if below and pages.room() >= _LEAST_BEGUN:
            ways.append(pages.copy())
            ways[1].parted += 1
    results = []
    for way in ways:
        before = way.copy()
        _put_table(way, first)
        if way.rows <= _FEW_ROWS and way.spilled > before.spilled:
            tight = before
            _put_table(tight, replace(first, pad=PAD_TIGHT))
            way = tight if len(tight.done) < len(way.done) else way
        results.append(_filled(way, rest))
    return min(results, key=lambda one: (len(one.done), one.parted))


def _whole(grid: Grid, frame: Frame) -> float:
    """Room that a table takes below another [pt]."""
    head = title_block(grid, frame, continued=False).height + head_block(grid).height
    return _BETWEEN_TABLES + head + _height(grid, _most(grid, frame))


def _most(grid: Grid, frame: Frame) -> float:
    """The highest block that stands whole on a page of a table [pt]."""
    head = title_block(grid, frame, continued=False).height + head_block(grid).height
    return max(_LEAST_BLOCK, frame.height - head - _LEAST_BLOCK)


def _put_table(pages: _Pages, grid: Grid) -> None:
    most = _most(grid, pages.frame)
    if pages.marks:
        pages.y -= _BETWEEN_TABLES
    pages.opens.append(grid.table.title)
    pages.put(title_block(grid, pages.frame, continued=False))
    pages.put(head_block(grid))
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
