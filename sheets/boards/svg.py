"""A board as SVG in full size: its unit is the millimetre."""

from __future__ import annotations

from xml.sax.saxutils import escape

from ribway.models.plan.plan import Plan
from ribway.sheets.boards.drawing import draw_board
from ribway.sheets.boards.page import board_note, board_title
from ribway.sheets.boards.unfold import Board
from ribway.sheets.drawing.scale import Flat
from ribway.sheets.page import NOT_READY, plan_line

_EDGE_MM, _HEAD_MM = 170.0, 30.0
_LETTER_MM = 4.0


def board_svg(plan: Plan, board: Board) -> str:
    """The drawing.

    Args:
        plan: the plan.
        board: the loom laid flat.

    Returns:
        An SVG document, the same for the same plan.
    """
    extent = board.extent
    width = extent.width * 1000.0 + 2 * _EDGE_MM
    height = extent.height * 1000.0 + _HEAD_MM + 60.0

    def at(point: Flat) -> Flat:
        return (point[0] - extent.left) * 1000.0 + _EDGE_MM, (extent.top - point[1]) * 1000.0 + _HEAD_MM + 30.0

    drawing = draw_board(plan, board)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.2f}mm" height="{height:.2f}mm" '
        f'viewBox="0 0 {width:.2f} {height:.2f}" font-family="sans-serif" font-size="{_LETTER_MM:g}">',
        f"<title>{escape(plan.name)}: {escape(board_title(board))}</title>",
        _text(10.0, 10.0, f"{board_title(board)}, {plan.name}, {plan_line(plan)}", "start", True, 6.0),
        _text(10.0, 17.0, board_note(plan, board, 1.0), "start", False, _LETTER_MM),
    ]
    if not plan.complete:
        parts.append(_text(10.0, 26.0, NOT_READY, "start", True, 8.0))
    for line in drawing.lines:
        points = " ".join(f"{x:.2f},{y:.2f}" for x, y in (at(point) for point in line.points))
        dash = ' stroke-dasharray="6 3"' if line.cord else ""
        parts.append(
            f'<polyline points="{points}" fill="none" stroke="{line.colour}" stroke-width="{max(0.3, line.width_mm):g}"{dash}/>'
        )
    for words in drawing.words:
        x, y = at(words.spot)
        if words.tip:
            parts.append(
                f'<circle cx="{x:.2f}" cy="{y:.2f}" r="2" fill="#ffffff" stroke="#000000" stroke-width="0.5"/>'
            )
        anchor, shift = {"left": ("end", -4.0), "right": ("start", 4.0)}.get(words.side, ("middle", 0.0))
        tall = 1.25 * _LETTER_MM
        first = {"above": -8.0 - tall * (len(words.lines) * (1 + words.storey) - 1), "below": 12.0}.get(
            words.side, _LETTER_MM - tall * len(words.lines) / 2
        )
        for number, text in enumerate(words.lines):
            bold = number == 0 and len(words.lines) > 1
            parts.append(_text(x + shift, y + first + number * tall, text, anchor, bold, _LETTER_MM))
    return "\n".join((*parts, "</svg>", ""))


def _text(x: float, y: float, text: str, anchor: str, bold: bool, size: float) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}" font-size="{size:g}"{weight} '
        f'paint-order="stroke" stroke="#ffffff" stroke-width="0.8">{escape(text)}</text>'
    )
