"""What a laid-out page is made of: texts, rectangles, lines and circles, in points from the lower left corner."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

BLACK = "#000000"


@dataclass(frozen=True)
class Face:
    """What laying out has to know of the typeface.

    Attributes:
        measure: width [pt] of a text of a size [pt], bold or not.
        printable: a text with nothing left in it that the typeface lacks; line feeds and glue stay.
    """

    measure: Callable[[str, float, bool], float]
    printable: Callable[[str], str]


@dataclass(frozen=True)
class Text:
    """One line of text.

    Attributes:
        x: where it begins [pt].
        y: its base line [pt].
        text: what it says.
        size: size of its letters [pt].
        bold: whether they are bold.
        left: where the room for it begins [pt].
        right: where the room for it ends [pt].
        colour: ``#rrggbb``.
        turn: turned about its beginning, counter-clockwise [deg].
        give: what may be done where it stands on another text: nothing, move it, or drop it.
    """

    x: float
    y: float
    text: str
    size: float
    bold: bool
    left: float
    right: float
    colour: str = BLACK
    turn: float = 0.0
    give: Literal["", "move", "drop"] = ""


@dataclass(frozen=True)
class Box:
    """A rectangle.

    Attributes:
        x: its left side [pt].
        y: its lower side [pt].
        width: [pt].
        height: [pt]; 0 is a rule.
        fill: ``#rrggbb``; empty for none.
        line: width of its outline [pt]; 0 for none.
        tick: whether it is a square to be ticked by pen.
    """

    x: float
    y: float
    width: float
    height: float
    fill: str = ""
    line: float = 0.0
    tick: bool = False


@dataclass(frozen=True)
class Stroke:
    """A line of straight pieces.

    Attributes:
        x: where it begins [pt].
        y: where it begins [pt].
        steps: its further points, counted from its beginning [pt].
        line: width [pt]; 0 for none.
        colour: ``#rrggbb``.
        fill: ``#rrggbb``; empty for none.
        closed: whether it goes back to its beginning.
        dash: lengths of dashes and gaps [pt].
    """

    x: float
    y: float
    steps: tuple[tuple[float, float], ...]
    line: float = 0.8
    colour: str = BLACK
    fill: str = ""
    closed: bool = False
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Disc:
    """A circle, by its middle.

    Attributes:
        x: its middle [pt].
        y: its middle [pt].
        radius: [pt].
        line: width of its outline [pt]; 0 for none.
        colour: of the outline, ``#rrggbb``.
        fill: ``#rrggbb``; empty for none.
    """

    x: float
    y: float
    radius: float
    line: float = 0.8
    colour: str = BLACK
    fill: str = ""


Mark = Text | Box | Stroke | Disc


@dataclass(frozen=True)
class Block:
    """Marks that stay together, with y counted down from 0 at the block's top.

    Attributes:
        height: [pt].
        marks: drawn in this order.
    """

    height: float
    marks: tuple[Mark, ...]

    def at(self, top: float) -> tuple[Mark, ...]:
        """The marks where the block's top is put.

        Args:
            top: its height on the page [pt].

        Returns:
            The marks, moved.
        """
        return tuple(replace(mark, y=mark.y + top) for mark in self.marks)


@dataclass(frozen=True)
class Page:
    """One page without what every page carries.

    Attributes:
        opens: titles of the tables that begin on it.
        marks: drawn in this order.
        drawing: whether that order is kept; else grounds go below rules, and rules below letters.
    """

    opens: tuple[str, ...]
    marks: tuple[Mark, ...]
    drawing: bool = False


@dataclass(frozen=True)
class Frame:
    """The part of a page that may be filled [pt]."""

    left: float
    right: float
    bottom: float
    top: float

    @property
    def width(self) -> float:
        """From left to right [pt]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top [pt]."""
        return self.top - self.bottom
