"""A board in full size, on sheets of A4 to be joined."""

from __future__ import annotations

import io
import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from reportlab.pdfgen.canvas import Canvas

from ribway.models.plan.plan import Plan
from ribway.sheets.boards.drawing import BoardDrawing, draw_board
from ribway.sheets.boards.page import board_marks, board_title
from ribway.sheets.boards.unfold import Board, unfold
from ribway.sheets.drawing.clearing import cleared, on_paper
from ribway.sheets.drawing.scale import PT_PER_M, Extent, Flat, Scaled
from ribway.sheets.fonts import face
from ribway.sheets.marks import Frame, Mark, Stroke, Text
from ribway.sheets.page import NOT_READY, PAGE_HEIGHT, PAGE_WIDTH, draw_mark, plan_line

_MM = PT_PER_M / 1000.0
MARGIN_MM, HEAD_MM, OVERLAP_MM = 10.0, 12.0, 10.0
RULER_MM = 100.0
_THICK_M = 0.012
_WORDS_M = 0.1
"""Room beyond the ends of a board [m]."""
_INSIDE_PT = 12.0
_LEFT, _BOTTOM = MARGIN_MM * _MM, MARGIN_MM * _MM
_WIDTH, _HEIGHT = PAGE_WIDTH - 2 * MARGIN_MM * _MM, PAGE_HEIGHT - (2 * MARGIN_MM + HEAD_MM) * _MM


@dataclass(frozen=True)
class Tile:
    """One sheet of a board.

    Attributes:
        row, column: from 1, the upper left sheet first.
        left, top: upper left corner on the board [m].
    """

    row: int
    column: int
    left: float
    top: float


def tiles_of(board: Board, drawing: BoardDrawing) -> tuple[Tile, ...]:
    """The sheets that a board needs; sheets that nothing is on are left out.

    Args:
        board: the board.
        drawing: the same as lines and words.

    Returns:
        Sheets row by row.
    """
    extent = board.extent
    left, top = extent.left - _WORDS_M, extent.top + 0.05
    step_x, step_y = (_WIDTH / _MM - OVERLAP_MM) / 1000.0, (_HEIGHT / _MM - OVERLAP_MM) / 1000.0
    columns = max(1, math.ceil((extent.right + _WORDS_M - left - OVERLAP_MM / 1000.0) / step_x))
    rows = max(1, math.ceil((top - extent.bottom + 0.05 - OVERLAP_MM / 1000.0) / step_y))
    made = (
        Tile(row + 1, column + 1, left + column * step_x, top - row * step_y)
        for row in range(rows)
        for column in range(columns)
    )
    return tuple(one for one in made if _touched(one, board, drawing))


def tiles_pdf(plan: Plan) -> bytes:
    """All looms of more than one run in full size.

    Args:
        plan: the plan.

    Returns:
        The file's bytes; one page that says so if there is no such loom.
    """
    letters = face()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(PAGE_WIDTH, PAGE_HEIGHT), pageCompression=1, invariant=1)
    canvas.setTitle(f"{plan.name}: loom boards in full size, {plan_line(plan)}")
    canvas.setCreator("ribway")
    canvas.setAuthor("")
    boards = [board for board in (unfold(loom) for loom in plan.looms if len(loom.runs) > 1) if board.laid]
    for board in boards:
        drawing = draw_board(plan, board)
        tiles = tiles_of(board, drawing)
        for number, tile in enumerate(tiles, start=1):
            _draw(canvas, plan, board, drawing, tile, f"sheet {number} of {len(tiles)}")
            canvas.showPage()
    if not boards:
        text = f"{plan.name}: no loom of more than one run" if plan.complete else f"{NOT_READY}: no loom"
        draw_mark(canvas, Text(_LEFT, PAGE_HEIGHT / 2, letters.printable(text), 14.0, True, _LEFT, PAGE_WIDTH - _LEFT))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _touched(tile: Tile, board: Board, drawing: BoardDrawing) -> bool:
    """Whether a bundle or words fall on a sheet."""
    boxes = [
        Extent(min(a[0], b[0]), max(a[0], b[0]), min(a[1], b[1]), max(a[1], b[1]))
        for one in board.laid
        for a, b in itertools.pairwise(one.line)
    ]
    boxes += [Extent(one.spot[0], one.spot[0], one.spot[1], one.spot[1]) for one in drawing.words]
    right, bottom = tile.left + _WIDTH / PT_PER_M, tile.top - _HEIGHT / PT_PER_M
    return any(
        one.left - _THICK_M <= right
        and one.right + _THICK_M >= tile.left
        and one.bottom - _THICK_M <= tile.top
        and one.top + _THICK_M >= bottom
        for one in boxes
    )


def _draw(canvas: Canvas, plan: Plan, board: Board, drawing: BoardDrawing, tile: Tile, number: str) -> None:
    letters = face()
    scaled = Scaled(1.0, _LEFT - tile.left * PT_PER_M, _BOTTOM + _HEIGHT - tile.top * PT_PER_M)
    canvas.saveState()
    edge = canvas.beginPath()
    edge.rect(_LEFT, _BOTTOM, _WIDTH, _HEIGHT)
    canvas.clipPath(edge, stroke=0, fill=0)
    window = Frame(_LEFT + _INSIDE_PT, _LEFT + _WIDTH - _INSIDE_PT, _BOTTOM, _BOTTOM + _HEIGHT)
    here = replace(drawing, words=tuple(one for one in drawing.words if _shows(scaled.at(one.spot))))
    for mark in on_paper(cleared(board_marks(here, scaled, window, letters), letters), letters):
        draw_mark(canvas, mark)
    canvas.restoreState()
    title = f"{board_title(board)}: row {tile.row}, column {tile.column}, {number}, {plan.name}, {plan_line(plan)}"
    for mark in (*_joins(), *_ruler(), _head(title, plan.complete)):
        draw_mark(canvas, mark)


def _shows(spot: Flat) -> bool:
    """Whether a spot is on a sheet: its words then stand on that sheet whole, never half on the next."""
    return _LEFT <= spot[0] <= _LEFT + _WIDTH and _BOTTOM <= spot[1] <= _BOTTOM + _HEIGHT


def _joins() -> Iterator[Mark]:
    """The lines along which sheets overlap, a cross at each of their corners: crosses of two sheets lie on each other."""
    lap = OVERLAP_MM * _MM
    right, top = _LEFT + _WIDTH, _BOTTOM + _HEIGHT
    for x in (_LEFT, _LEFT + lap, right - lap, right):
        yield Stroke(x, _BOTTOM, ((0.0, _HEIGHT),), 0.3, "#888888", dash=(3.0, 3.0))
    for y in (_BOTTOM, _BOTTOM + lap, top - lap, top):
        yield Stroke(_LEFT, y, ((_WIDTH, 0.0),), 0.3, "#888888", dash=(3.0, 3.0))
    for x in (_LEFT + lap / 2, right - lap / 2):
        for y in (_BOTTOM + lap / 2, top - lap / 2):
            yield Stroke(x - 6.0, y, ((12.0, 0.0),), 0.8)
            yield Stroke(x, y - 6.0, ((0.0, 12.0),), 0.8)


def _ruler() -> Iterator[Mark]:
    """A line to lay a ruler on: a printer that shrinks pages is found before anything is cut."""
    y, left = _BOTTOM + _HEIGHT + 3.0 * _MM, PAGE_WIDTH - (MARGIN_MM + RULER_MM) * _MM
    yield Stroke(left, y, ((RULER_MM * _MM, 0.0),), 1.0)
    for number in range(11):
        yield Stroke(left + number * 10.0 * _MM, y, ((0.0, 2.0 * _MM if number in (0, 5, 10) else _MM),), 0.6)
    words = "100 mm: lay a ruler here; if it differs, print at 100 %"
    yield Text(left, y + 2.6 * _MM, words, 8.0, False, left, PAGE_WIDTH)


def _head(title: str, ready: bool) -> Text:
    letters = face()
    words = title if ready else f"{NOT_READY}  {title}"
    room = PAGE_WIDTH - (2 * MARGIN_MM + RULER_MM + 4.0) * _MM
    size = min(9.0, 9.0 * room / max(1.0, letters.measure(letters.printable(words), 9.0, True)))
    y = _BOTTOM + _HEIGHT + 4.0 * _MM
    return Text(_LEFT, y, letters.printable(words), size, True, _LEFT, _LEFT + room, "#000000" if ready else "#8b0000")
