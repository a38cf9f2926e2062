"""Words of a drawing kept off one another: those that may move do so, those that may be missed are left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from ribway.sheets.marks import Box, Face, Mark, Text
from ribway.sheets.wrap import LEADING

_ABOVE, _BELOW = 0.76, 0.26
"""How far letters reach above and below their base line, as shares of their size: a little more than Vera's."""
_GAP = 1.0
_STOREYS = 6

Room = tuple[float, float, float, float]


def cleared(marks: Iterable[Mark], face: Face) -> tuple[Mark, ...]:
    """The marks of a drawing with no text on another.

    Texts that stay where they are come first; the others are taken in their order. One that may move is put up, then down, a
    line at a time until it is clear; one that may be missed is left out where it is not.

    Args:
        marks: the marks; each text says by `Text.give` what may be done with it.
        face: the typeface.

    Returns:
        The marks in the same order.
    """
    given = list(marks)
    taken = [_room(one, face) for one in given if isinstance(one, Text) and not one.give]
    kept: list[Mark] = []
    for one in given:
        if not isinstance(one, Text) or not one.give:
            kept.append(one)
            continue
        placed = _placed(one, taken, face)
        if placed is not None:
            taken.append(_room(placed, face))
            kept.append(placed)
    return tuple(kept)


def on_paper(marks: Iterable[Mark], face: Face) -> Iterator[Mark]:
    """The marks with a white ground under each text that may move: what stands on a bundle is read all the same.

    Args:
        marks: in the order in which they are drawn.
        face: the typeface.
    """
    words = []
    for mark in marks:
        if isinstance(mark, Text) and mark.give:
            words.append(mark)
        else:
            yield mark
    for text in words:
        wide = face.measure(text.text, text.size, text.bold)
        yield Box(text.x - 1.0, text.y - 0.24 * text.size, wide + 2.0, 1.02 * text.size, "#ffffff")
    yield from words


def _placed(one: Text, taken: Sequence[Room], face: Face) -> Text | None:
    if _free(_room(one, face), taken):
        return one
    if one.give == "drop":
        return None
    for storey in range(1, _STOREYS):
        for up in (storey, -storey):
            moved = replace(one, y=one.y + up * LEADING * one.size)
            if _free(_room(moved, face), taken):
                return moved
    return one


def _room(one: Text, face: Face) -> Room:
    wide = face.measure(one.text, one.size, one.bold)
    return one.x - _GAP, one.y - _BELOW * one.size, one.x + wide + _GAP, one.y + _ABOVE * one.size


def _free(room: Room, taken: Sequence[Room]) -> bool:
    left, bottom, right, top = room
    return all(right <= a or c <= left or top <= b or d <= bottom for a, b, c, d in taken)
