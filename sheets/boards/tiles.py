"""Boards in full size, on sheets of paper to be joined."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace

from reportlab.pdfgen.canvas import Canvas

from ribway.models.plan.plan import Plan
from ribway.models.printed import Units, size_near
from ribway.sheets.boards.drawing import draw_board
from ribway.sheets.boards.joining import SheetSet, Tile, sheet_sets
from ribway.sheets.boards.page import board_marks
from ribway.sheets.boards.sheet_size import HEAD_MM, MARGIN_MM, MM, OVERLAP_MM, PaperName, SheetSize, both_ways
from ribway.sheets.boards.unfold import unfold
from ribway.sheets.drawing.clearing import cleared, on_paper
from ribway.sheets.drawing.scale import PT_PER_M, Flat, Scaled
from ribway.sheets.fonts import face
from ribway.sheets.marks import Box, Frame, Mark, Stroke, Text
from ribway.sheets.page import NOT_READY, draw_mark, plan_line
from ribway.sheets.words import joined
from ribway.sheets.wrap import fitted

RULER_MM = 100.0
_INSIDE_PT = 12.0
_TITLE_PT, _BELOW_PT = 12.0, 9.0
_MAP_PT, _LEAST_TITLE_PT = 5.0, 170.0


def sets_of(plan: Plan, paper: PaperName = "a4", gaps: bool = False) -> tuple[SheetSet, ...]:
    """All looms of more than one run, parted into sheets.

    Args:
        plan: the plan.
        paper: the paper.
        gaps: whether sheets are left out on which straight bundles alone pass.
    """
    boards = [board for board in (unfold(loom) for loom in plan.looms if len(loom.runs) > 1) if board.laid]
    return sheet_sets([(board, draw_board(plan, board)) for board in boards], paper, gaps)


def tiles_pdf(plan: Plan, paper: PaperName = "a4", gaps: bool = False) -> bytes:
    """All looms of more than one run in full size.

    Args:
        plan: the plan.
        paper: the paper.
        gaps: whether sheets are left out on which straight bundles alone pass.

    Returns:
        The file's bytes; one page that says so if there is no such loom.
    """
    letters = face()
    out = io.BytesIO()
    canvas = Canvas(out, pageCompression=1, invariant=1)
    canvas.setTitle(f"{plan.name}: loom boards in full size, {plan_line(plan)}")
    canvas.setCreator("ribway")
    canvas.setAuthor("")
    sets = sets_of(plan, paper, gaps)
    for one in sets:
        for number in range(len(one.tiles)):
            canvas.setPageSize((one.size.width_mm * MM, one.size.height_mm * MM))
            _draw(canvas, plan, one, number)
            canvas.showPage()
    if not sets:
        text = f"{plan.name}: no loom of more than one run" if plan.complete else f"{NOT_READY}: no loom"
        size = both_ways(paper)[0]
        canvas.setPageSize((size.width_mm * MM, size.height_mm * MM))
        draw_mark(
            canvas, Text(_LEFT, 2 * _LEFT, letters.printable(text), 14.0, True, _LEFT, size.width_mm * MM - _LEFT)
        )
        canvas.showPage()
    canvas.save()
    return out.getvalue()


_LEFT = _BOTTOM = MARGIN_MM * MM


def _inside(size: SheetSize) -> Flat:
    """Width and height of what is drawn on a sheet [pt]."""
    return size.inside_m[0] * PT_PER_M, size.inside_m[1] * PT_PER_M


def _draw(canvas: Canvas, plan: Plan, joined_: SheetSet, number: int) -> None:
    letters, size, tile = face(), joined_.size, joined_.tiles[number]
    wide, tall = _inside(size)
    canvas.saveState()
    edge = canvas.beginPath()
    edge.rect(_LEFT, _BOTTOM, wide, tall)
    canvas.clipPath(edge, stroke=0, fill=0)
    window = Frame(_LEFT + _INSIDE_PT, _LEFT + wide - _INSIDE_PT, _BOTTOM, _BOTTOM + tall)
    marks: list[Mark] = []
    for part in joined_.parts:
        x, y = part.shift[0] - tile.left, part.shift[1] - tile.top
        scaled = Scaled(1.0, _LEFT + x * PT_PER_M, _BOTTOM + tall + y * PT_PER_M)
        shown = tuple(one for one in part.drawing.words if _shows(scaled.at(one.spot), wide, tall))
        marks += board_marks(replace(part.drawing, words=shown), scaled, window, letters)
    for mark in on_paper(cleared(marks, letters), letters):
        draw_mark(canvas, mark)
    canvas.restoreState()
    for mark in (*_joins(wide, tall), *_ruler(wide, tall), *_head(plan, joined_, number), *_gaps(plan, joined_, tile)):
        draw_mark(canvas, mark)


def _shows(spot: Flat, wide: float, tall: float) -> bool:
    """Whether a spot is on a sheet: its words then stand on that sheet whole, never half on the next."""
    return _LEFT <= spot[0] <= _LEFT + wide and _BOTTOM <= spot[1] <= _BOTTOM + tall


def _joins(wide: float, tall: float) -> Iterator[Mark]:
    """The lines along which sheets overlap, a cross at each of their corners: crosses of two sheets lie on each other."""
    lap = OVERLAP_MM * MM
    right, top = _LEFT + wide, _BOTTOM + tall
    for x in (_LEFT, _LEFT + lap, right - lap, right):
        yield Stroke(x, _BOTTOM, ((0.0, tall),), 0.3, "#888888", dash=(3.0, 3.0))
    for y in (_BOTTOM, _BOTTOM + lap, top - lap, top):
        yield Stroke(_LEFT, y, ((wide, 0.0),), 0.3, "#888888", dash=(3.0, 3.0))
    for x in (_LEFT + lap / 2, right - lap / 2):
        for y in (_BOTTOM + lap / 2, top - lap / 2):
            yield Stroke(x - 6.0, y, ((12.0, 0.0),), 0.8)
            yield Stroke(x, y - 6.0, ((0.0, 12.0),), 0.8)


def _ruler(wide: float, tall: float) -> Iterator[Mark]:
    """A line to lay a ruler on: a printer that shrinks pages is found before anything is cut."""
    y, left = _BOTTOM + tall + 3.0 * MM, _LEFT + wide - RULER_MM * MM
    yield Stroke(left, y, ((RULER_MM * MM, 0.0),), 1.0)
    for number in range(11):
        yield Stroke(left + number * 10.0 * MM, y, ((0.0, 2.0 * MM if number in (0, 5, 10) else MM),), 0.6)
    words = "100 mm: lay a ruler here; if it differs, print at 100 %"
    yield Text(left, y + 3.0 * MM, words, _BELOW_PT, False, left, _LEFT + wide)


def _head(plan: Plan, joined_: SheetSet, number: int) -> Iterator[Mark]:
    """What the sheet is, where it belongs among the others, and of which plan."""
    letters, tile, count = face(), joined_.tiles[number], len(joined_.tiles)
    wide, tall = _inside(joined_.size)
    looms = [part.board.loom.id for part in joined_.parts]
    what = f"Loom{'s' if len(looms) > 1 else ''} {joined(tuple(looms))}"
    ready, colour = ("", "#000000") if plan.complete else (f"{NOT_READY}  ", "#8b0000")
    place = f"{ready}{what}: row {tile.row}, column {tile.column}"
    below = f"sheet {number + 1} of {count}, {plan_line(plan)}, {plan.name}"
    y = _BOTTOM + tall + 3.0 * MM
    map_pt = (max(one.column for one in joined_.tiles) + 2) * _MAP_PT
    free = wide - (RULER_MM + 4.0) * MM
    room = free - map_pt if free - map_pt > _LEAST_TITLE_PT else free
    for words, size, bold, up in ((place, _TITLE_PT, True, 4.6 * MM), (below, _BELOW_PT, False, 0.6 * MM)):
        text = fitted(letters.printable(words), room, size, bold, letters)
        yield Text(_LEFT, y + up, text, size, bold, _LEFT, _LEFT + room, colour)
    if room < free:
        yield from _map(joined_, tile, _LEFT + room + _MAP_PT, _BOTTOM + tall + (HEAD_MM - 1.0) * MM)


def _gaps(plan: Plan, joined_: SheetSet, tile: Tile) -> Iterator[Mark]:
    """How far the next sheets of its row are, where those between are left out, from cross to cross."""
    letters, (wide, _), step = face(), _inside(joined_.size), joined_.size.step_m[0]
    row = [one.column for one in joined_.tiles if one.row == tile.row]
    before, after = ([one for one in row if one < tile.column], [one for one in row if one > tile.column])
    for column, ahead in ((max(before, default=0), False), (min(after, default=0), True)):
        between = abs(column - tile.column) - 1
        if not column or between < 1:
            continue
        far = exact(between * step, plan.rules.units)
        text = letters.printable(f"column {column} lies {far} away, cross to cross")
        x = _LEFT + wide - letters.measure(text, _TITLE_PT, True) if ahead else _LEFT
        yield Text(x, _BOTTOM - 14.0, text, _TITLE_PT, True, _LEFT, _LEFT + wide)


def exact(metres: float, units: Units) -> str:
    """A distance to lay by tape, to the millimetre or the 32nd of an inch: it is neither rounded up nor down."""
    return f"{1000.0 * metres:.0f} mm" if units == "metric" else size_near(1000.0 * metres, units)


def _map(joined_: SheetSet, here: Tile, left: float, top: float) -> Iterator[Mark]:
    """All sheets of a set as small squares, this one filled."""
    for one in joined_.tiles:
        x, y = left + (one.column - 1) * _MAP_PT, top - one.row * _MAP_PT
        yield Box(x, y, _MAP_PT, _MAP_PT, "#000000" if one == here else "", 0.4)
