"""Names of a loom's parts in its drawing: beside their lines, where nothing else stands."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from ribway.sheets.boards.unfold import Board
from ribway.sheets.drawing.scale import Flat, Scaled
from ribway.sheets.marks import Face, Frame, Text

_PT, _OFF = 9.0, 4.0
_COLOUR = "#555555"
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where along a line a name is tried."""

Diagonal = tuple[Flat, Flat]


def touch(one: Diagonal, other: Diagonal) -> bool:
    """Whether two rectangles touch, each by two of its corners; a line along the board or square to it is one too."""
    return all(
        max(min(one[0][axis], one[1][axis]), min(other[0][axis], other[1][axis]))
        <= min(max(one[0][axis], one[1][axis]), max(other[0][axis], other[1][axis]))
        for axis in (0, 1)
    )


def part_names(
    board: Board, scaled: Scaled, frame: Frame, taken: Sequence[Diagonal], face: Face
) -> Iterator[tuple[Text, Diagonal]]:
    """The names, each with the room that it takes; one that finds no room is left out, the list of parts has it.

    Args:
        board: the loom laid flat.
        scaled: its scale.
        frame: what names stay inside of [pt].
        taken: what they must not touch: lines, circles, other words [pt].
        face: the typeface.
    """
    rooms = list(taken)
    for one in board.laid:
        wide = face.measure(one.section.name, _PT, False)
        lines = [(scaled.at(a), scaled.at(b)) for a, b in itertools.pairwise(one.line)]
        for x, y in _spots(lines[::-1], wide, under=one.section.branch == 0):
            room = ((x - 1.0, y - 0.26 * _PT), (x + wide + 1.0, y + 0.76 * _PT))
            if frame.left <= x and x + wide <= frame.right and not any(touch(room, other) for other in rooms):
                rooms.append(room)
                yield Text(x, y, one.section.name, _PT, False, x - 0.1, x + wide + 0.1, _COLOUR, give="drop"), room
                break


def _spots(lines: Sequence[Diagonal], wide: float, under: bool) -> Iterator[Flat]:
    """Left ends of base lines to try, the likeliest first: above or under lines along the board, beside lines across it."""
    over_y, under_y = _OFF, -_OFF - 0.76 * _PT
    for (ax, ay), (bx, by) in lines:
        for share in _SHARES:
            x, y = ax + share * (bx - ax), ay + share * (by - ay)
            if abs(ay - by) < 1e-6:
                yield from ((x - wide / 2, y + up) for up in ((under_y, over_y) if under else (over_y, under_y)))
            else:
                yield from ((x + side, y - 0.36 * _PT) for side in (_OFF, -_OFF - wide))
