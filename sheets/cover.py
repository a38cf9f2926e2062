"""The cover: what plan this is, what it comes to, the cautions, and which paper is on which page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ribway.models.plan.plan import Plan
from ribway.sheets.cautions import cautions
from ribway.sheets.marks import Block, Box, Face, Frame, Mark, Page, Text
from ribway.sheets.page import NO_DATE, alternative_name, revision_name
from ribway.sheets.totals_list import key_figures
from ribway.sheets.wrap import ASCENT, LEADING, fitted, gap, paragraph, stacked

_KIND_PT, _NAME_PT, _LONG_NAME_PT, _FACT_PT = 13.0, 24.0, 15.0, 10.5
_FIGURE_PT, _LABEL_PT = 17.0, 9.5
_HEAD_PT, _TEXT_PT = 11.0, 10.0
_GUTTER = 20.0
_CONTENTS_SHARE = 0.24
_RULED, _LEAST_PT = 5.0, 9.0
_BESIDE = 12.0
_PANEL = "#ececec"

Contents = Sequence[tuple[str, int]]


def cover(plan: Plan, contents: Contents, frame: Frame, face: Face) -> tuple[Page, ...]:
    """The cover; cautions that do not fit go on to further pages.

    Args:
        plan: the plan.
        contents: titles, and the numbers of the pages that they begin on; 0 for a file of its own.
        frame: the part of a page that may be filled.
        face: the typeface.

    Returns:
        The pages, nearly always one.
    """
    top = stacked(_head(plan, frame, face), gap(8.0), _figures(plan, frame, face), gap(14.0))
    marks: list[Mark] = [*top.at(frame.top)]
    left, middle, right = _thirds(frame)
    start = frame.top - top.height
    marks += _contents(contents, right, start - frame.bottom, face).at(start)
    pages: list[Page] = []
    columns = [(left, start), (middle, start)]
    y = start
    for block in _caution_blocks(plan, left, face):
        if y - block.height < frame.bottom:
            columns.pop(0)
            if not columns:
                pages.append(Page((), tuple(marks)))
                marks, columns = [], [(left, frame.top), (middle, frame.top)]
            y = columns[0][1]
        marks += _moved(block, columns[0][0].left - left.left).at(y)
        y -= block.height
    return (*pages, Page((), tuple(marks)))


def _head(plan: Plan, frame: Frame, face: Face) -> Block:
    short = face.measure(face.printable(plan.name), _NAME_PT, True) <= frame.width
    facts = (
        revision_name(plan),
        plan.date or NO_DATE,
        alternative_name(plan),
        f"shell {plan.shell}",
        "lengths in metres" if plan.rules.units == "metric" else "lengths in feet and inches",
    )
    return stacked(
        paragraph("Workshop papers", frame.left, frame.width, _KIND_PT, False, face),
        paragraph(plan.name, frame.left, frame.width, _NAME_PT if short else _LONG_NAME_PT, True, face),
        paragraph("   |   ".join(facts), frame.left, frame.width, _FACT_PT, False, face),
        paragraph(f"Measured back from the datum: {plan.datum}.", frame.left, frame.width, _FACT_PT, False, face),
    )


def _figures(plan: Plan, frame: Frame, face: Face) -> Block:
    """The key sums, each in a panel."""
    figures = key_figures(plan)
    width = (frame.width - 8.0 * (len(figures) - 1)) / len(figures)
    height = 16.0 + LEADING * (_FIGURE_PT + _LABEL_PT)
    marks: list[Mark] = []
    for index, (what, much) in enumerate(figures):
        left = frame.left + index * (width + 8.0)
        marks.append(Box(left, -height, width, height, _PANEL))
        room = width - 16.0
        big = paragraph(fitted(much, room, _FIGURE_PT, True, face), left + 8.0, room, _FIGURE_PT, True, face)
        small = paragraph(fitted(what, room, _LABEL_PT, False, face), left + 8.0, room, _LABEL_PT, False, face)
        marks += stacked(big, small).at(-8.0)
    return Block(height, tuple(marks))


def _thirds(frame: Frame) -> tuple[Frame, Frame, Frame]:
    """Two wide columns for the cautions and a narrow one for the contents."""
    narrow = frame.width * _CONTENTS_SHARE
    wide = (frame.width - narrow - 2 * _GUTTER) / 2
    first = Frame(frame.left, frame.left + wide, frame.bottom, frame.top)
    second = Frame(first.right + _GUTTER, first.right + _GUTTER + wide, frame.bottom, frame.top)
    return first, second, Frame(second.right + _GUTTER, frame.right, frame.bottom, frame.top)


def _caution_blocks(plan: Plan, column: Frame, face: Face) -> list[Block]:
    title = paragraph("Before you begin", column.left, column.width, _KIND_PT, True, face)
    blocks = [
        stacked(
            paragraph(one.head, column.left, column.width, _HEAD_PT, True, face),
            paragraph(one.text, column.left, column.width, _TEXT_PT, False, face),
            gap(9.0),
        )
        for one in cautions(plan)
    ]
    return [stacked(title, gap(6.0), blocks[0]), *blocks[1:]]


def _contents(contents: Contents, column: Frame, room: float, face: Face) -> Block:
    """Titles with their pages on the right, closer together where there are many."""
    marks: list[Mark] = []
    title = paragraph("Papers", column.left, column.width, _KIND_PT, True, face)
    marks += title.at(0.0)
    top = -title.height - 6.0
    line = min(LEADING * _HEAD_PT + 8.0, (room + top) / max(1, len(contents)))
    size = max(_LEAST_PT, min(_HEAD_PT, (line - _RULED) / LEADING, _HEAD_PT * _fitting(contents, column, face)))
    ruled = min(_RULED, max(0.0, line - LEADING * size))
    for name, number in contents:
        base = top - ASCENT * size
        page = _where(number)
        split = column.right - face.measure(page, size, False)
        text = fitted(name, split - column.left - _BESIDE / 2, size, True, face)
        marks.append(Text(column.left, base, text, size, True, column.left, split - 4.0))
        marks.append(Text(split, base, page, size, False, split - 2.0, column.right))
        marks.append(Box(column.left, top - line + ruled / 2, column.width, 0.0, line=0.4))
        top -= line
    return Block(-top, tuple(marks))


def _where(number: int) -> str:
    return f"page {number}" if number else "own file"


def _fitting(contents: Contents, column: Frame, face: Face) -> float:
    """The share of their largest size at which all titles stand beside their pages."""
    wide = [
        face.measure(name, _HEAD_PT, True) + face.measure(_where(number), _HEAD_PT, False) for name, number in contents
    ]
    return (column.width - _BESIDE) / max([*wide, 1.0])


def _moved(block: Block, across: float) -> Block:
    """A block moved to the right [pt]."""
    return Block(block.height, tuple(_shifted(mark, across) for mark in block.marks))


def _shifted(mark: Mark, across: float) -> Mark:
    if isinstance(mark, Text):
        return replace(mark, x=mark.x + across, left=mark.left + across, right=mark.right + across)
    return replace(mark, x=mark.x + across)
