"""What every page carries, and a page drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from ribway.models.plan.plan import Plan
from ribway.sheets.fonts import font_of
from ribway.sheets.marks import Box, Disc, Face, Frame, Mark, Page, Stroke, Text
from ribway.sheets.wrap import fitted

PAGE_WIDTH, PAGE_HEIGHT = 841.89, 595.276
"""A4 landscape [pt]: 297 mm by 210 mm."""
NOT_READY = "NOT READY"
NO_DATE = "no date"

_LEFT, _RIGHT, _TOP, _BOTTOM = 40.0, 28.0, 26.0, 24.0  # the left has room for a binder's holes
_STRIP_PT = 10.0
_STRIP = 20.0
_BANNER = 40.0
_BANNER_PT = 26.0
_BANNER_SIDE_PT = 11.0
_BANNER_FILL, _BANNER_INK = "#8b0000", "#ffffff"
_INK = "#000000"
_SINK = 0.36  # share of a capital's size that lies below its middle


def frame_of(plan: Plan) -> Frame:
    """The part of a page that tables may fill.

    Args:
        plan: the plan; an unfinished one loses the height of its banner.

    Returns:
        The frame.
    """
    top = PAGE_HEIGHT - _TOP - _STRIP - 6.0 - (0.0 if plan.complete else _BANNER + 4.0)
    return Frame(_LEFT, PAGE_WIDTH - _RIGHT, _BOTTOM + _STRIP, top)


def alternative_name(plan: Plan) -> str:
    """Which of the alternatives a plan is."""
    return f"alternative {plan.alternative}" if plan.alternative else "base plan"


def plan_line(plan: Plan) -> str:
    """Revision, date and alternative on a line."""
    return f"{revision_name(plan)}, {plan.date or NO_DATE}, {alternative_name(plan)}"


def revision_name(plan: Plan) -> str:
    """Which revision a plan is."""
    return f"revision {plan.revision}" if plan.revision else "no revision"


def surround(plan: Plan, number: int, count: int, face: Face) -> tuple[Mark, ...]:
    """What stands round the contents of a page.

    Args:
        plan: the plan.
        number: the page's number, from 1.
        count: how many pages there are.
        face: the typeface.

    Returns:
        Project, revision and date above, the page's number below, and over all NOT READY if the plan is not complete.
    """
    right = PAGE_WIDTH - _RIGHT
    middle = _LEFT + (right - _LEFT) * 0.5
    top = PAGE_HEIGHT - _TOP
    marks: list[Mark] = []
    if not plan.complete:
        marks += _banner(top, face)
        top -= _BANNER + 4.0
    base = top - _STRIP_PT
    marks.append(_flush_left(plan.name, base, _LEFT, middle - 10.0, True, face))
    marks.append(_flush_right(plan_line(plan), base, middle, right, False, face))
    marks.append(Box(_LEFT, top - _STRIP + 4.0, right - _LEFT, 0.0, line=0.8))
    state = "Workshop papers" if plan.complete else f"Workshop papers, {NOT_READY}"
    marks.append(_flush_left(state, _BOTTOM, _LEFT, middle, False, face))
    marks.append(_flush_right(f"page {number} of {count}", _BOTTOM, middle, right, True, face))
    return tuple(marks)


def _banner(top: float, face: Face) -> list[Mark]:
    left, right = _LEFT, PAGE_WIDTH - _RIGHT
    width = face.measure(NOT_READY, _BANNER_PT, True)
    warning = "This plan is not safe or not finished. Cut, drill and connect nothing by it."
    base = top - _BANNER / 2
    split = left + 20.0 + width
    return [
        Box(left, top - _BANNER, right - left, _BANNER, _BANNER_FILL),
        Text(left + 10.0, base - _BANNER_PT * _SINK, NOT_READY, _BANNER_PT, True, left, split, _BANNER_INK),
        Text(split + 8.0, base - _BANNER_SIDE_PT * _SINK, warning, _BANNER_SIDE_PT, True, split, right, _BANNER_INK),
    ]


def _flush_left(text: str, base: float, left: float, right: float, bold: bool, face: Face) -> Text:
    return Text(left, base, fitted(text, right - left, _STRIP_PT, bold, face), _STRIP_PT, bold, left, right)


def _flush_right(text: str, base: float, left: float, right: float, bold: bool, face: Face) -> Text:
    line = fitted(text, right - left, _STRIP_PT, bold, face)
    return Text(right - face.measure(line, _STRIP_PT, bold), base, line, _STRIP_PT, bold, left, right)


def draw(canvas: Canvas, page: Page, around: Sequence[Mark]) -> None:
    """Draw one page.

    Args:
        canvas: at the beginning of the page; it is left there.
        page: the contents.
        around: what stands round them.
    """
    inside = page.marks if page.drawing else sorted(page.marks, key=_layer)
    for mark in (*sorted(around, key=_layer), *inside):
        draw_mark(canvas, mark)


def draw_mark(canvas: Canvas, mark: Mark) -> None:
    """Draw one mark onto a canvas.

    It is written in the page's own operators (ISO 32000-1, 8.5 and 9.4). There are tens of thousands of marks, and the canvas's
    ways take three times as long: each text is measured, and of each line all is said anew.
    """
    match mark:
        case Text():
            canvas.addLiteral(_text_code(canvas, mark))
        case Box():
            canvas.addLiteral(_box_code(mark))
        case Stroke():
            canvas.addLiteral(_stroke_code(mark))
        case Disc():
            canvas.addLiteral(_disc_code(mark))


def _text_code(canvas: Canvas, mark: Text) -> str:
    """A text on a line of its own, so that who copies it from the paper gets lines (the step to the next line is for that)."""
    font, document = font_of(mark.bold), vars(canvas)["_doc"]  # the subset of letters is the document's
    shown = " ".join(
        f"{font.getSubsetInternalName(subset, document)} {mark.size:g} Tf ({''.join(map(_ESCAPED.__getitem__, codes))}) Tj"
        for subset, codes in font.splitString(mark.text, document)
    )
    if mark.turn:
        cosine, sine = math.cos(math.radians(mark.turn)), math.sin(math.radians(mark.turn))
        turned = f"{cosine:.6f} {sine:.6f} {-sine:.6f} {cosine:.6f}"
    else:
        turned = "1 0 0 1"
    return f"BT {_ink(mark.colour)} rg {turned} {mark.x:.4f} {mark.y:.4f} Tm {1.2 * mark.size:g} TL {shown} T* ET"


_ESCAPED = tuple(chr(code) if 32 <= code < 127 and chr(code) not in "()\\" else f"\\{code:03o}" for code in range(256))
"""Codes as they stand between brackets in a page's operators (ISO 32000-1, 7.3.4.2)."""


@lru_cache(maxsize=500)
def _ink(colour: str) -> str:
    """A colour as shares of red, green and blue."""
    ink = HexColor(colour)
    return f"{ink.red:.4f} {ink.green:.4f} {ink.blue:.4f}"


def _stroke_code(mark: Stroke) -> str:
    steps = " ".join(f"{mark.x + across:.4f} {mark.y + up:.4f} l" for across, up in mark.steps)
    path = f"{mark.x:.4f} {mark.y:.4f} m {steps}{' h' if mark.closed else ''}"
    painted = _painted(path, mark.line, mark.colour, mark.fill)
    return f"[{' '.join(f'{one:g}' for one in mark.dash)}] 0 d {painted} [] 0 d" if mark.dash else painted


def _disc_code(mark: Disc) -> str:
    """A circle of four curves; their handles are so long that none is off by more than 0.03 % of the radius."""
    x, y, r, k = mark.x, mark.y, mark.radius, _HANDLE * mark.radius
    curves = (
        (x + r, y + k, x + k, y + r, x, y + r),
        (x - k, y + r, x - r, y + k, x - r, y),
        (x - r, y - k, x - k, y - r, x, y - r),
        (x + k, y - r, x + r, y - k, x + r, y),
    )
    round_ = " ".join(f"{' '.join(f'{one:.4f}' for one in curve)} c" for curve in curves)
    return _painted(f"{x + r:.4f} {y:.4f} m {round_} h", mark.line, mark.colour, mark.fill)


_HANDLE = 4.0 / 3.0 * (math.sqrt(2.0) - 1.0)


def _box_code(box: Box) -> str:
    if box.height == 0.0:
        return f"{box.line:g} w {_ink(_INK)} RG {box.x:.4f} {box.y:.4f} m {box.x + box.width:.4f} {box.y:.4f} l S"
    return _painted(f"{box.x:.4f} {box.y:.4f} {box.width:.4f} {box.height:.4f} re", box.line, _INK, box.fill)


def _painted(path: str, line: float, colour: str, fill: str) -> str:
    """A path filled, outlined, both or neither."""
    inked = f"{line:g} w {_ink(colour)} RG " if line > 0.0 else ""
    filled = f"{_ink(fill)} rg " if fill else ""
    return f"{inked}{filled}{path} {'B' if inked and filled else 'S' if inked else 'f' if filled else 'n'}"


def _layer(mark: Mark) -> int:
    """Grounds below rules and outlines, and those below letters, so that no ground covers half a rule."""
    if isinstance(mark, Text):
        return 2
    return 1 if mark.line > 0.0 else 0
