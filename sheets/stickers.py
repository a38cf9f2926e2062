"""Stickers for the holes: a grid of labels on A4, each with a hole's name large enough to be read from the floor."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanOpening
from ribway.models.plan.unconfirmed import MARK, marked
from ribway.sheets.fonts import face, font_name
from ribway.sheets.holes_to_check import bore_wanted
from ribway.sheets.openings_list import used_openings
from ribway.sheets.page import NOT_READY
from ribway.sheets.paper.record import Grid as Columns
from ribway.sheets.places import sideways, wall_name
from ribway.sheets.sticker_grid import Grid
from ribway.sheets.words import GLUE, place, typeset
from ribway.sheets.wrap import squeezed, wrap

PAGE_WIDTH, PAGE_HEIGHT = 595.276, 841.89
"""A4 upright [pt]: 210 mm by 297 mm."""
MARGIN = 14.0
"""Kept free inside each sticker [pt]: printers shift by a few millimetres, and labels have round corners."""
_MOST_NAME_PT, _LINE_SHARE = 40.0, 0.13
_KINDS = (("W", "waist rail"), ("E", "roof-edge rail"), ("S", "sill"), ("P", "front pillar"))
_NAME = re.compile(r"(?P<stem>[LRB])(?P<rail>[WESP]?)(?P<number>[0-9]*)(?P<row>[a-z]?)")


@dataclass(frozen=True)
class Sticker:
    """One sticker.

    Args:
        hole: its name, marked if nobody measured the hole.
        where: wall, member and row in words.
        spot: back, and up or off centre.
        bore: the hole in the metal.
        runs: what goes through; empty if nothing does.
    """

    hole: str
    where: str
    spot: str
    bore: str
    runs: str


def stickers(plan: Plan, every: bool = False) -> tuple[Sticker, ...]:
    """The stickers, wall by wall from the front.

    Args:
        plan: the plan.
        every: for all holes that can be used, not for those in use alone.
    """
    return tuple(_sticker(plan, one) for one in holes(plan, every))


def holes(plan: Plan, every: bool) -> tuple[PlanOpening, ...]:
    """The holes that get a sticker; blocked ones never do.

    Args:
        plan: the plan.
        every: for all holes that can be used, not for those in use alone.
    """
    used = used_openings(plan)
    if not every:
        return used
    idle = [one for one in plan.openings if not one.runs and one.state != "blocked"]
    return (*used, *sorted(idle, key=lambda one: (one.wall, one.back_m, one.up_m, one.id)))


def where_text(opening: PlanOpening) -> str:
    """Wall, member and row in words: ``left wall, rib 2, hole c from below``.

    Args:
        opening: the hole; one of a mesh with names of its own is said by its member alone.
    """
    found = _NAME.fullmatch(opening.id)
    wall = wall_name(opening.wall)
    if found is None or not opening.id.startswith(opening.member.rstrip("0123456789")):
        return f"{wall}, {opening.member}"
    if found["rail"]:
        kind = dict(_KINDS)[found["rail"]]
        member = f"{kind}, bay {found['number']}" if found["number"] else kind
    else:
        member = f"{'bow' if found['stem'] == 'B' else 'rib'} {found['number']}"
    return f"{wall}, {member}" + (f", hole {found['row']}" if found["row"] else "")


def stickers_pdf(plan: Plan, grid: Grid, every: bool = False) -> bytes:
    """The stickers as a PDF, the same bytes for the same plan.

    Args:
        plan: the plan.
        grid: labels across and down.
        every: see `stickers`.

    Returns:
        The file's bytes; one empty page if there is no sticker.
    """
    face()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(PAGE_WIDTH, PAGE_HEIGHT), pageCompression=1, invariant=1)
    canvas.setTitle(f"{plan.name}: hole stickers")
    canvas.setCreator("ribway")
    canvas.setAuthor("")
    made = stickers(plan, every)
    for start in range(0, max(1, len(made)), grid.count):
        _cutting_lines(canvas, grid)
        for index, one in enumerate(made[start : start + grid.count]):
            _draw(canvas, one, *grid.cell(index))
            if not plan.complete:
                _not_ready(canvas, *grid.cell(index))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def stickers_grid(plan: Plan, every: bool = False) -> Columns:
    """The stickers' columns and values.

    Args:
        plan: the plan.
        every: see `stickers`.
    """
    return Columns(
        ("hole", "assumed", "where", "spot", "bore", "runs"),
        tuple(
            (one.hole.removesuffix(MARK), one.hole.endswith(MARK), one.where, one.spot, one.bore, one.runs)
            for one in stickers(plan, every)
        ),
    )


def _sticker(plan: Plan, opening: PlanOpening) -> Sticker:
    units = plan.rules.units
    flat = opening.wall in ("roof", "floor")
    side = sideways(opening.centre[1], units) if flat else f"{place(opening.up_m, units)} up"
    bore = bore_wanted(opening, units).replace(GLUE, " ")
    return Sticker(
        hole=marked(opening.id, opening.state == "assumed"),
        where=where_text(opening),
        spot=f"{place(opening.back_m, units)} back, {side}",
        bore=bore,
        runs=", ".join(opening.runs),
    )


def _cutting_lines(canvas: Canvas, grid: Grid) -> None:
    canvas.setLineWidth(0.3)
    canvas.setStrokeGray(0.75)
    for column in range(1, grid.across):
        canvas.line(column * PAGE_WIDTH / grid.across, 0.0, column * PAGE_WIDTH / grid.across, PAGE_HEIGHT)
    for row in range(1, grid.down):
        canvas.line(0.0, row * PAGE_HEIGHT / grid.down, PAGE_WIDTH, row * PAGE_HEIGHT / grid.down)


def _not_ready(canvas: Canvas, left: float, top: float, width: float, height: float) -> None:
    """On a sticker of an unfinished plan, at its foot, in the margin."""
    size = min(9.0, 0.12 * height)
    canvas.setFillGray(0.0)
    canvas.setFont(font_name(True), size)
    canvas.drawRightString(left + width - MARGIN, top - height + 0.35 * MARGIN, NOT_READY)


def _two_lines(lines: tuple[str, ...]) -> list[str]:
    """What goes through, on two lines at most; what does not fit is on the list of openings."""
    return list(lines) if len(lines) <= 2 else [lines[0], f"{lines[1]} …"]


def _draw(canvas: Canvas, one: Sticker, left: float, top: float, width: float, height: float) -> None:
    """One sticker: the name as large as it fits, four lines below it, each cut to the room there is."""
    letters = face()
    room, tall = width - 2 * MARGIN, height - 2 * MARGIN
    small = max(5.0, min(9.5, _LINE_SHARE * tall))
    through = typeset(f"{one.bore}: {one.runs}" if one.runs else one.bore)
    lines = [one.where, one.spot, *_two_lines(wrap(letters.printable(through), room, small, False, letters))]
    name = letters.printable(one.hole)
    big = min(_MOST_NAME_PT, tall - len(lines) * 1.25 * small)
    big = min(big, big * room / max(room, letters.measure(name, big, True)))
    y = top - MARGIN - 0.78 * big
    canvas.setFillGray(0.0)
    canvas.setFont(font_name(True), big)
    canvas.drawString(left + MARGIN, y, name)
    y -= 0.25 * big
    for text in lines:
        y -= 1.25 * small
        line, size = squeezed(letters.printable(typeset(text)), room, small, False, letters)
        canvas.setFont(font_name(False), size)
        canvas.drawString(left + MARGIN, y, line)
