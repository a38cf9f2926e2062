"""How wide the columns of a table are."""

from __future__ import annotations

from ribway.sheets.marks import Face
from ribway.sheets.table import Column, Table
from ribway.sheets.wrap import words_of

PAD = 4.0
"""Room between a cell's side and its text [pt]."""
TICK = 13.0
"""Side of a square to be ticked [pt], wide enough for a pen in a glove."""

_LONGEST_WORD = 120.0
_SLIGHT = 0.01


def heading_size(table: Table) -> float:
    """Size of the letters of a table's headings [pt]."""
    return max(9.0, table.type_pt - 1.0)


def column_widths(table: Table, room: float, face: Face) -> tuple[float, ...]:
    """Widths that hold each column's longest word and share what is left by need and weight.

    Args:
        table: the table.
        room: width of the whole table [pt].
        face: the typeface.

    Returns:
        One width for each column [pt], together the room. If even the longest words do not fit side by side, all
        columns are narrowed alike, and such words are broken.
    """
    least = [_least(table, index, face) for index in range(len(table.columns))]
    if sum(least) > room:
        return tuple(width * room / sum(least) for width in least)
    wanted = [max(low, _wanted(table, index, face)) for index, low in enumerate(least)]
    widths = _shared_out(least, wanted, [column.weight for column in table.columns], room)
    left = room - sum(widths)
    weights = [column.weight + _SLIGHT for column in table.columns]
    return tuple(width + left * weight / sum(weights) for width, weight in zip(widths, weights, strict=True))


def _shared_out(least: list[float], wanted: list[float], weights: list[float], room: float) -> list[float]:
    """Give every column its share of the room left, but none more than its longest line needs, until all is given."""
    widths = list(least)
    for _ in widths:
        left = room - sum(widths)
        short = [index for index, width in enumerate(widths) if wanted[index] - width > _SLIGHT]
        total = sum(weights[index] + _SLIGHT for index in short)
        if left < _SLIGHT or not short:
            break
        for index in short:
            share = left * (weights[index] + _SLIGHT) / total
            widths[index] = min(wanted[index], widths[index] + share)
    return widths


def _least(table: Table, index: int, face: Face) -> float:
    column = table.columns[index]
    size = heading_size(table)
    words = [face.measure(word, size, True) for word in words_of(face.printable(column.label))]
    words += [
        min(_LONGEST_WORD, face.measure(word, table.type_pt, column.strong))
        for word in {word for row in table.rows for word in words_of(face.printable(row[index]))}
    ]
    return max(words, default=0.0) + 2 * PAD + _SLIGHT


def _wanted(table: Table, index: int, face: Face) -> float:
    column = table.columns[index]
    lines = {line for row in table.rows for line in face.printable(row[index]).split("\n")}
    body = max((_line_width(line, table.type_pt, column.strong, face) for line in lines), default=0.0)
    return max(body, _two_lines(column.label, heading_size(table), face)) + 2 * PAD + _SLIGHT


def _two_lines(heading: str, size: float, face: Face) -> float:
    """The least width in which a heading stands on two lines."""
    words = words_of(face.printable(heading))
    return min(
        (
            max(face.measure(" ".join(part), size, True) for part in (words[:cut], words[cut:]))
            for cut in range(1, len(words) + 1)
        ),
        default=0.0,
    )


def _line_width(line: str, size: float, bold: bool, face: Face) -> float:
    return face.measure(" ".join(words_of(line)), size, bold)


def is_box(column: Column) -> bool:
    """Whether a column holds squares to be ticked."""
    return column.align == "box"
