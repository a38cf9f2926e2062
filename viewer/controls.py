"""Where a window's boxes stand: looms down its left side, walls and thickness along its bottom, the key above them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from ribway.viewer import palette
from ribway.viewer.fonts import font, text_size
from ribway.viewer.parts import WALLS
from ribway.viewer.shapes import LegendLine

Size = tuple[int, int]
Kind = Literal["loom", "wall", "thickness", "key", "head"]

EDGE_PX = 14
BOX_PX = 20
ROW_PX = 30
LEAST_ROW_PX = 17
LIST_PX = 230
HEADROOM = 0.97
TYPE_PX = 22
GAP_PX = 8
APART_PX = 18


@dataclass(frozen=True)
class Control:
    """A box to click, or a coloured sample of the key.

    Args:
        kind: loom, wall or thickness can be switched; key and head only say something.
        id: of the loom or wall; empty for the others.
        label: what stands beside it.
        colour: of its box, ``#rrggbb``; empty for words alone.
        x: left edge in pixels from the window's left.
        y: lower edge in pixels from the window's bottom.
        box_px: size of its box.
        room_px: how wide box and label may be together.
    """

    kind: Kind
    id: str
    label: str
    colour: str
    x: int
    y: int
    box_px: int
    room_px: int


KEY: tuple[tuple[str, str], ...] = (
    (palette.RING_EMPTY, "empty"),
    (palette.RING_EASY, "room left"),
    (palette.RING_NEAR, "over 3/4 of its limit"),
    (palette.RING_FULL, "over its limit"),
    (palette.KEEP_OUT, "keep-out"),
)
"""Colours of openings by how full they are, and what each means."""


def controls_of(legend: Sequence[LegendLine], drawn: Sequence[str], size: Size) -> tuple[Control, ...]:
    """Lays out all boxes of a window.

    Args:
        legend: the plan's looms, with what lies alone.
        drawn: those of them of which anything is drawn.
        size: width and height of the window in pixels.

    Returns:
        The boxes; none lies on another. Looms that find no room are left out, the last ones first.
    """
    return (*_looms([line for line in legend if line.loom in drawn], size), *_strip())


def _looms(lines: Sequence[LegendLine], size: Size) -> list[Control]:
    """One box a loom, the first on top; rows move together where there are many."""
    if not lines:
        return []
    room = int(size[1] * HEADROOM) - EDGE_PX
    row = max(LEAST_ROW_PX, min(ROW_PX, room // len(lines)))
    shown = lines[: room // row]
    box = min(BOX_PX, row - 4)
    made = []
    for place, line in enumerate(reversed(shown)):
        name = f"{line.loom} (banded)" if line.banded else line.loom or "single runs"
        zone = f", {line.zone}" if line.zone and line.zone != line.loom else ""
        y = EDGE_PX + place * row
        made.append(Control("loom", line.loom, f"{name}{zone}", line.colour, EDGE_PX, y, box, LIST_PX - EDGE_PX))
    return made[::-1]


def _strip() -> list[Control]:
    """Walls and thickness in the lowest row, the key of openings in the next; each as wide as its words."""
    made: list[Control] = []

    def row(y: int, entries: Sequence[tuple[Kind, str, str, str, int]]) -> None:
        x = LIST_PX + EDGE_PX
        for kind, name, words, colour, box in entries:
            room = text_size(words, font(TYPE_PX))[0] + (box + GAP_PX if box else 0)
            made.append(Control(kind, name, words, colour, x, y, box, room))
            x += room + APART_PX

    walls: list[tuple[Kind, str, str, str, int]] = [("wall", wall, wall, palette.LEADER, BOX_PX) for wall in WALLS]
    row(EDGE_PX, [("head", "", "metal of", "", 0), *walls, ("thickness", "", "true thickness", palette.INK, BOX_PX)])
    marks: list[tuple[Kind, str, str, str, int]] = [("key", "", words, colour, BOX_PX - 6) for colour, words in KEY]
    row(EDGE_PX + ROW_PX, [("head", "", "openings", "", 0), *marks])
    return made
