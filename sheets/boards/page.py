"""A loom's board on one page, to scale."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.plan import Plan
from ribway.models.printed import counted, length
from ribway.sheets.boards.drawing import BoardDrawing, BoardLine, BoardWords, draw_board
from ribway.sheets.boards.lists import EndMark, board_records, end_marks
from ribway.sheets.boards.part_names import Diagonal, part_names, touch
from ribway.sheets.boards.unfold import Board, unfold
from ribway.sheets.drawing.clearing import cleared, on_paper
from ribway.sheets.drawing.scale import Extent, Flat, Scaled, fit_scale, scale_words
from ribway.sheets.layout import lay_out
from ribway.sheets.looms_list import TACK_IN_BENDS_M, TACK_M
from ribway.sheets.marks import Disc, Face, Frame, Mark, Page, Stroke, Text
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.walls.marking_out import title_marks
from ribway.sheets.wrap import LEADING, fitted

_WIDEST_LANE_PT, _NARROWEST_LANE_PT = 52.0, 26.0
_MARK_PT, _MARK_LETTER_PT, _NAME_PT = 8.5, 9.5, 10.0
_EDGE = 24.0
_PAGE_NOTE = (
    "On this page lengths are true along the board only; lines square across show what hangs where and count nothing. Numbers in "
    "circles are those of the list of ends."
)
_THICKEST_PT = 7.0
_PAPER = "#ffffff"
_EDGE_PT, _TINT = 1.2, 0.18
_FULL_PT, _FULL_OFF = 13.0, 26.0


def board_pages(plan: Plan, _wishes: Wishes, frame: Frame, face: Face) -> tuple[Page, ...]:
    """The pages of each loom of more than one run: its drawing, its ends and its parts.

    Args:
        plan: the plan.
        frame: the part of a page that may be filled.
        face: the typeface.
    """
    looms = [loom for loom in plan.looms if len(loom.runs) > 1 and any(one.points for one in loom.sections)]
    return tuple(page for loom in looms for page in _pages(plan, loom, frame, face))


def board_title(board: Board) -> str:
    """``Loom A on the board, left middle``."""
    return f"Loom {board.loom.id} on the board, {board.loom.zone}"


def board_note(plan: Plan, board: Board, ratio: float) -> str:
    """How to use a board."""
    units = plan.rules.units
    return (
        f"{counted(len(board.loom.runs), 'run')}, board {length(board.extent.width, units)} long and "
        f"{length(board.extent.height, units)} wide, {scale_words(ratio)}. Numbers along the trunk count from its beginning. "
        "A run's end is at its mark; leave beyond the mark what stands there: tail, slack and what the outside of bends takes. "
        f"Dashed: draw cord alone. Tack every {length(TACK_M, units)}, both sides of each breakout, every "
        f"{length(TACK_IN_BENDS_M, units)} in bends."
    )


def _pages(plan: Plan, loom: PlanLoom, frame: Frame, face: Face) -> tuple[Page, ...]:
    """A loom's drawing, and its tables from below it on."""
    drawn, low = _drawing(plan, loom, frame, face)
    tables = tuple(record.table() for record in board_records(plan, loom))
    below, *others = lay_out(tables, frame, face, low)
    marks = (*drawn.marks, *_in_layers(below.marks))
    return (replace(drawn, opens=(*drawn.opens, *below.opens), marks=marks), *others)


def _drawing(plan: Plan, loom: PlanLoom, frame: Frame, face: Face) -> tuple[Page, float]:
    """A loom's drawing and how far down it reaches: lanes stand as the page allows, so lengths are true along the board only."""
    narrow = unfold(loom, 1e-3, square_counts=False)
    above, under = (max(1, round(one / 1e-3)) for one in (narrow.extent.top, -narrow.extent.bottom))
    flat = Extent(narrow.extent.left, narrow.extent.right, 0.0, 0.0)
    room = Frame(frame.left + _EDGE, frame.right - _EDGE, frame.bottom, frame.top)
    ratio = fit_scale(flat, room)
    title = board_title(unfold(loom))
    notes = (board_note(plan, unfold(loom), ratio.ratio), _PAGE_NOTE)
    head, y = title_marks(title, notes, frame, face)
    tall = y - frame.bottom - 2 * _EDGE
    lane_pt = max(_NARROWEST_LANE_PT, min(_WIDEST_LANE_PT, tall / (above + under)))
    scaled = replace(ratio, y=y - _EDGE - above * lane_pt)
    board = unfold(loom, lane_pt / scaled.pt_per_m, square_counts=False)
    drawing = draw_board(plan, board)
    inside = tuple(replace(one, lines=one.lines[:1]) for one in drawing.words if one.kind == "breakout")
    marks: list[Mark] = [*board_marks(replace(drawing, words=inside), scaled, frame, face)]
    ends = end_marks(plan, board)
    drawn = [(scaled.at(a), scaled.at(b)) for one in board.laid for a, b in itertools.pairwise(one.line)]
    circles = [_round(scaled.at(one.spot)) for one in ends]
    words = [_room_of(one, face) for one in marks if isinstance(one, Text)]
    named = list(part_names(board, scaled, frame, [*drawn, *circles, *words], face))
    marks += [text for text, _ in named]
    for mark in ends:
        marks += _end(mark, scaled, frame, [*drawn, *circles, *(room for _, room in named)], face)
    low = scaled.at((0.0, board.extent.bottom))[1] - _EDGE
    return Page((title,), (*head, *on_paper(cleared(marks, face), face)), drawing=True), low


def _end(mark: EndMark, scaled: Scaled, frame: Frame, drawn: Sequence[Diagonal], face: Face) -> list[Mark]:
    """An end as a number in a circle, with what is there beside it where no line runs; the list below has them all."""
    x, y = scaled.at(mark.spot)
    number = f"{mark.number}"
    wide = face.measure(number, _MARK_LETTER_PT, True)
    name = face.measure(mark.name, _NAME_PT, True)
    marks: list[Mark] = [
        Disc(x, y, _MARK_PT, 1.2, fill=_PAPER),
        Text(x - wide / 2, y - 0.36 * _MARK_LETTER_PT, number, _MARK_LETTER_PT, True, x - _MARK_PT, x + _MARK_PT),
    ]
    right, left = x + _MARK_PT + 4.0, x - _MARK_PT - 4.0 - name
    middle, over, under = y - 0.36 * _NAME_PT, y + _MARK_PT + 4.0, y - _MARK_PT - _NAME_PT
    spots = [(right, middle), (left, middle), (x, over), (x - name, over), (x, under), (x - name, under)]
    for at, base in spots:
        room = ((at - 2.0, base - 0.26 * _NAME_PT), (at + name + 2.0, base + 0.76 * _NAME_PT))
        if frame.left <= at and at + name <= frame.right and not any(touch(room, one) for one in drawn):
            marks.append(Text(at, base, mark.name, _NAME_PT, True, at - 0.1, at + name + 0.1, give="drop"))
            break
    return marks


def _room_of(text: Text, face: Face) -> Diagonal:
    wide = face.measure(text.text, text.size, text.bold)
    return (text.x, text.y - 0.26 * text.size), (text.x + wide, text.y + 0.76 * text.size)


def _round(spot: Flat) -> Diagonal:
    return (spot[0] - _MARK_PT, spot[1] - _MARK_PT), (spot[0] + _MARK_PT, spot[1] + _MARK_PT)


def _in_layers(marks: Sequence[Mark]) -> list[Mark]:
    """A table's marks as they are drawn on a page of their own: grounds, then rules, then letters."""
    return sorted(marks, key=lambda mark: 2 if isinstance(mark, Text) else 1 if mark.line > 0.0 else 0)


def board_marks(drawing: BoardDrawing, scaled: Scaled, frame: Frame, face: Face) -> tuple[Mark, ...]:
    """A board's lines and words as marks.

    Args:
        drawing: the board.
        scaled: its scale.
        frame: what words must stay inside of [pt].
        face: the typeface.
    """
    marks: list[Mark] = [line for one in drawing.lines for line in _line(one, scaled)]
    for words in drawing.words:
        marks += _words(words, scaled, frame, face)
    return tuple(marks)


def _line(one: BoardLine, scaled: Scaled) -> Iterator[Stroke]:
    """A bundle: a line on a page; in full size its two edges, pale between them, so that words and pen show on it."""
    points = [scaled.at(point) for point in one.points]
    x, y = points[0]
    steps = tuple((a - x, b - y) for a, b in points[1:])
    true_pt = one.width_mm / 1000.0 * scaled.pt_per_m
    dash = (6.0, 3.0) if one.cord else ()
    if scaled.ratio == 1.0 and one.width_mm > 0.0 and not one.cord:
        yield Stroke(x, y, steps, true_pt, one.colour)
        yield Stroke(x, y, steps, max(0.2, true_pt - 2 * _EDGE_PT), _pale(one.colour))
        return
    most = _THICKEST_PT if scaled.ratio > 1.0 else 1.6
    width = 0.6 if one.width_mm == 0.0 else max(1.6, min(most, true_pt))
    yield Stroke(x, y, steps, width, one.colour, dash=dash)


def _pale(colour: str) -> str:
    """A colour with so much white in it that black is read on it."""
    parts = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    return "#" + "".join(f"{round(255 - (255 - part) * _TINT):02x}" for part in parts)


def _words(words: BoardWords, scaled: Scaled, frame: Frame, face: Face) -> list[Mark]:
    spot = scaled.at(words.spot)
    full = scaled.ratio == 1.0
    size = (_FULL_PT if full else 9.0) if words.kind == "section" else (_FULL_PT if full else 10.0)
    off = _FULL_OFF if full else 4.0
    marks: list[Mark] = [Disc(*spot, 3.0, 1.0, fill=_PAPER)] if words.tip else []
    tall = LEADING * size * len(words.lines)
    side = _side(words, spot, (size, tall), frame, face) if full else words.side
    first = off + tall - size + words.storey * tall if side == "above" else -off - size
    y = spot[1] + (first if side in ("above", "below") else tall / 2 - size)
    small = words.kind == "section"
    for number, line in enumerate(words.lines):
        bold = number == 0 and not small
        text = fitted(line, frame.width, size, bold, face)
        wide = face.measure(text, size, bold)
        x = {"left": spot[0] - 6.0 - wide, "right": spot[0] + 6.0}.get(words.side, spot[0] - wide / 2)
        x = max(frame.left, min(x, frame.right - wide))
        colour = "#555555" if small else "#000000"
        give: Literal["drop", "move"] = "drop" if small else "move"
        marks.append(Text(x, y, text, size, bold, x - 0.1, x + wide + 0.1, colour, give=give))
        y -= LEADING * size
    return marks


def _side(words: BoardWords, spot: Flat, type_: Flat, frame: Frame, face: Face) -> str:
    """The side that words stand on in full size: the one they should, or where the sheet has no room for them there, another;
    beside an end they would stand on the bundle then. ``type_`` is the size of letters and the height of all lines [pt]."""
    over = spot[1] + _FULL_OFF + (1 + words.storey) * type_[1] <= frame.top
    under = spot[1] - _FULL_OFF - type_[1] >= frame.bottom
    if words.side == "above":
        return "above" if over or not under else "below"
    if words.side == "below":
        return "below" if under or not over else "above"
    wide = 6.0 + max(face.measure(line, type_[0], number == 0) for number, line in enumerate(words.lines))
    room = spot[0] - frame.left if words.side == "left" else frame.right - spot[0]
    if wide <= room:
        return words.side
    return "below" if under else "above"
