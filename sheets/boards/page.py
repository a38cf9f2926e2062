"""A loom's board on one page, to scale."""

from __future__ import annotations

from dataclasses import replace

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanLoom
from ribway.models.printed import counted, length
from ribway.sheets.boards.drawing import BoardDrawing, BoardLine, BoardWords, draw_board
from ribway.sheets.boards.unfold import Board, unfold
from ribway.sheets.drawing.callouts import Callout, callout_marks, place_callouts, shrink_to_fit
from ribway.sheets.drawing.clearing import cleared
from ribway.sheets.drawing.scale import Extent, Scaled, fit_scale, scale_words
from ribway.sheets.marks import Disc, Face, Frame, Mark, Page, Stroke, Text
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.walls.marking_out import title_marks
from ribway.sheets.wrap import LEADING, fitted

COLUMN = 180.0
_WIDEST_LANE_PT = 64.0
_PAGE_NOTE = (
    "On this page lengths are true along the board only; lines square across show what hangs where and count nothing."
)
_THICKEST_PT = 7.0


def board_pages(plan: Plan, _wishes: Wishes, frame: Frame, face: Face) -> tuple[Page, ...]:
    """A page for each loom of more than one run.

    Args:
        plan: the plan.
        frame: the part of a page that may be filled.
        face: the typeface.
    """
    looms = [loom for loom in plan.looms if len(loom.runs) > 1 and any(one.points for one in loom.sections)]
    return tuple(_page(plan, loom, frame, face) for loom in looms)


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
        "Dashed: draw cord alone. Tack every 0.15 m, both sides of each breakout, every 0.05 m in bends."
    )


def _page(plan: Plan, loom: PlanLoom, frame: Frame, face: Face) -> Page:
    """A loom's page: lanes are as far apart as the page allows, so lengths are true along the board only."""
    column = Frame(frame.left + COLUMN, frame.right - COLUMN, frame.bottom + 20.0, frame.top - 84.0)
    narrow = unfold(loom, 1e-3, square_counts=False)
    lanes = max(1, round(max(narrow.extent.top, -narrow.extent.bottom) / 1e-3))
    flat = Extent(narrow.extent.left, narrow.extent.right, 0.0, 0.0)
    scaled = fit_scale(flat, column)
    lane_pt = min(_WIDEST_LANE_PT, column.height / (2 * lanes + 1))
    board = unfold(loom, lane_pt / scaled.pt_per_m, square_counts=False)
    title = board_title(board)
    notes = (board_note(plan, unfold(loom), scaled.ratio), _PAGE_NOTE)
    head, y = title_marks(title, notes, frame, face)
    left = Frame(frame.left, frame.left + COLUMN - 8.0, frame.bottom, y - 8.0)
    right = Frame(frame.right - COLUMN + 8.0, frame.right, frame.bottom, y - 8.0)
    drawing = draw_board(plan, board)
    ends = [Callout(scaled.at(one.spot), one.lines[0], one.lines[1:]) for one in drawing.words if one.kind == "end"]
    shrink = shrink_to_fit(ends, left, right, face)
    inside = tuple(
        replace(one, lines=one.lines[:1]) if one.kind == "breakout" else one
        for one in drawing.words
        if one.kind != "end"
    )
    marks: list[Mark] = [*head]
    marks += callout_marks(place_callouts(ends, left, right, shrink, face), left, right, shrink, face)
    marks += board_marks(replace(drawing, words=inside), scaled, frame, face)
    marks += [Disc(*one.spot, 3.0, 1.0, fill="#ffffff") for one in ends]
    return Page((title,), cleared(marks, face), drawing=True)


def board_marks(drawing: BoardDrawing, scaled: Scaled, frame: Frame, face: Face) -> tuple[Mark, ...]:
    """A board's lines and words as marks.

    Args:
        drawing: the board.
        scaled: its scale.
        frame: what words must stay inside of [pt].
        face: the typeface.
    """
    marks: list[Mark] = [_line(one, scaled) for one in drawing.lines]
    for words in drawing.words:
        marks += _words(words, scaled, frame, face)
    return tuple(marks)


def _line(one: BoardLine, scaled: Scaled) -> Stroke:
    points = [scaled.at(point) for point in one.points]
    x, y = points[0]
    true_pt = one.width_mm / 1000.0 * scaled.pt_per_m
    width = 0.6 if one.width_mm == 0.0 else max(1.6, min(_THICKEST_PT if scaled.ratio > 1.0 else true_pt, true_pt))
    return Stroke(
        x, y, tuple((a - x, b - y) for a, b in points[1:]), width, one.colour, dash=(6.0, 3.0) if one.cord else ()
    )


def _words(words: BoardWords, scaled: Scaled, frame: Frame, face: Face) -> list[Mark]:
    spot = scaled.at(words.spot)
    size = 9.0 if words.kind == "section" else 9.5
    marks: list[Mark] = [Disc(*spot, 3.0, 1.0, fill="#ffffff")] if words.tip else []
    tall = LEADING * size * len(words.lines)
    first = 4.0 + tall - size + words.storey * tall if words.side == "above" else -4.0 - size
    y = spot[1] + (first if words.side in ("above", "below") else tall / 2 - size)
    small = words.kind == "section"
    for number, line in enumerate(words.lines):
        bold = number == 0 and not small
        if words.side == "left":
            room = spot[0] - 6.0 - frame.left
        elif words.side == "right":
            room = frame.right - spot[0] - 6.0
        else:
            room = 2 * min(spot[0] - frame.left, frame.right - spot[0])
        text = fitted(line, room, size, bold, face)
        wide = face.measure(text, size, bold)
        x = {"left": spot[0] - 6.0 - wide, "right": spot[0] + 6.0}.get(words.side, spot[0] - wide / 2)
        marks.append(
            Text(
                x,
                y,
                text,
                size,
                bold,
                x - 0.1,
                x + wide + 0.1,
                "#555555" if small else "#000000",
                give="drop" if small else "move",
            )
        )
        y -= LEADING * size
    return marks
