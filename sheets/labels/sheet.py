"""Labels on sheets of sticky paper, each readable while it is half wrapped round the cable."""

from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from ribway.models.plan.plan import Plan
from ribway.models.rates.rates import Rates
from ribway.sheets.cut_pieces import NO_RATES
from ribway.sheets.fonts import face
from ribway.sheets.labels.ends import EndLabel, end_labels
from ribway.sheets.marks import Box, Face, Mark, Text
from ribway.sheets.page import NOT_READY, draw_mark, plan_line
from ribway.sheets.sticker_grid import Grid
from ribway.sheets.wrap import ASCENT, LEADING, squeezed

_MOST_PT, _LEAST_PT = 26.0, 3.5
_LINE_SHARE = 0.14
_MARGIN_SHARE, _MOST_MARGIN = 0.09, 9.0


def label_lines(one: EndLabel, ready: bool) -> tuple[str, ...]:
    """The small lines of a label, the most needed first; a label too low for all of them drops the last.

    Args:
        one: the label.
        ready: whether the plan is complete.
    """
    way, fuse = f", {one.way}" if one.way else "", f", fuse {one.fuse}" if one.fuse else ""
    lines = [f"to {one.here}{way}", f"other end: {one.there}"]
    if one.licensed:
        lines = ["AC: licensed person", *lines, f"{one.circuit}, {one.size}"]
    else:
        lines += [f"{one.circuit}{fuse}", ", ".join(part for part in (one.size, one.colours) if part)]
    return tuple(lines) if ready else (NOT_READY, *lines)


def labels_pdf(plan: Plan, grid: Grid, rates: Rates = NO_RATES) -> bytes:
    """The labels as a PDF, the same bytes for the same plan.

    Args:
        plan: the plan.
        grid: how they lie on the sheet.

    Returns:
        The file's bytes; one empty sheet if there is no run.
    """
    letters, labels = face(), end_labels(plan, rates)
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=grid.page_pt, pageCompression=1, invariant=1)
    canvas.setTitle(f"{plan.name}: labels, {plan_line(plan)}")
    canvas.setCreator("ribway")
    canvas.setAuthor("")
    for start in range(0, max(1, len(labels)), grid.count):
        for index, one in enumerate(labels[start : start + grid.count]):
            for mark in label_marks(one, plan.complete, grid.cell(index), letters):
                draw_mark(canvas, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def label_marks(one: EndLabel, ready: bool, cell: tuple[float, float, float, float], letters: Face) -> tuple[Mark, ...]:
    """One label laid out: the run's name as large as it goes, and the lines below it.

    Args:
        one: the label.
        ready: whether the plan is complete.
        cell: left side, upper side, width and height [pt].
        letters: the typeface.
    """
    left, top, width, height = cell
    margin = min(_MOST_MARGIN, _MARGIN_SHARE * height + 1.0)
    room, tall = width - 2 * margin, height - 2 * margin
    small = max(_LEAST_PT, min(11.0, _LINE_SHARE * tall))
    lines = label_lines(one, ready)
    name = letters.printable(f"{one.run}  {one.end}")
    big = max(small, min(_MOST_PT, 0.36 * tall))
    wide = letters.measure(name, big, True)
    if wide > room:
        big *= room / wide
    marks: list[Mark] = [Box(left, top - height, width, height, line=0.25)] if width > 0 else []
    base = top - margin - ASCENT * big
    x, right = left + margin, left + width - margin
    marks.append(Text(x, base, name, big, True, x, right))
    y = top - margin - big * 1.02
    for line in lines:
        if y - LEADING * small < top - height + margin * 0.5:
            break
        strong = line in (NOT_READY, "AC: licensed person")
        text, size = squeezed(line, room, small, strong, letters)
        marks.append(Text(x, y - ASCENT * small - 0.1 * small, text, size, strong, x, right))
        y -= LEADING * small
    return tuple(marks)
