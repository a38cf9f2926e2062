"""Words into lines that fit."""

from __future__ import annotations

import re

from ribway.sheets.marks import Block, Face, Mark, Text
from ribway.sheets.words import GLUE

LEADING = 1.22
ASCENT = 0.80
"""Share of the size from a line's top down to its base line."""


def wrap(text: str, room: float, size: float, bold: bool, face: Face) -> tuple[str, ...]:
    """Break a text into lines.

    Args:
        text: with its own line feeds.
        room: width of a line [pt].
        size: size of the letters [pt].
        bold: whether they are bold.
        face: the typeface.

    Returns:
        The lines, none wider than the room unless a single letter is; words that are too wide are broken inside.
    """
    lines: list[str] = []
    for part in face.printable(text).split("\n"):
        line = ""
        for word in words_of(part):
            longer = f"{line} {word}" if line else word
            if face.measure(longer, size, bold) <= room:
                line = longer
                continue
            if line:
                lines.append(line)
            *full, line = _pieces(word, room, size, bold, face)
            lines.extend(full)
        lines.append(line)
    return tuple(lines)


def words_of(text: str) -> list[str]:
    """The words of a text, each of which stays on one line if it can.

    Args:
        text: what can be printed; glued words count as one.

    Returns:
        The words, their glue turned into spaces.
    """
    return [word.replace(GLUE, " ") for word in re.split(r"[ \n]+", text) if word]


def _pieces(word: str, room: float, size: float, bold: bool, face: Face) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and face.measure(pieces[-1] + letter, size, bold) > room:
            pieces.append(letter)
        else:
            pieces[-1] += letter
    return pieces


def squeezed(text: str, room: float, size: float, bold: bool, face: Face, least: float = 0.75) -> tuple[str, float]:
    """One line in letters as much smaller as it needs, and cut short only where that is not enough.

    Args:
        text: what to say.
        room: width of the line [pt].
        size: size of the letters [pt].
        bold: whether they are bold.
        face: the typeface.
        least: the least share of the size that they may have.

    Returns:
        The line, and the size of its letters [pt].
    """
    wide = face.measure(face.printable(text), size, bold)
    if wide <= room:
        return text, size
    smaller = max(least, room / wide * 0.999) * size
    return fitted(text, room, smaller, bold, face), smaller


def fitted(text: str, room: float, size: float, bold: bool, face: Face) -> str:
    """One line, cut short with an ellipsis if it is too wide.

    Args:
        text: what to say.
        room: width of the line [pt].
        size: size of the letters [pt].
        bold: whether they are bold.
        face: the typeface.

    Returns:
        The line.
    """
    line = " ".join(words_of(face.printable(text)))
    if face.measure(line, size, bold) <= room:
        return line
    while line and face.measure(f"{line}…", size, bold) > room:
        line = line[:-1].rstrip()
    return f"{line}…"


def paragraph(text: str, left: float, room: float, size: float, bold: bool, face: Face) -> Block:
    """A paragraph, set flush left.

    Args:
        text: with its own line feeds.
        left: where it begins [pt].
        room: width of its lines [pt].
        size: size of the letters [pt].
        bold: whether they are bold.
        face: the typeface.

    Returns:
        The block, with no room above or below it.
    """
    lines = wrap(text, room, size, bold, face)
    marks = tuple(
        Text(left, -(index * LEADING + ASCENT) * size, line, size, bold, left, left + room)
        for index, line in enumerate(lines)
        if line
    )
    return Block(len(lines) * LEADING * size, marks)


def stacked(*blocks: Block) -> Block:
    """Blocks one below the other, as one.

    Args:
        blocks: from top to bottom.

    Returns:
        The block.
    """
    top = 0.0
    marks: list[Mark] = []
    for block in blocks:
        marks.extend(block.at(-top))
        top += block.height
    return Block(top, tuple(marks))


def gap(height: float) -> Block:
    """Empty room [pt]."""
    return Block(height, ())
