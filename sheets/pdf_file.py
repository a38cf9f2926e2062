"""Pages as a PDF, the same bytes for the same plan."""

from __future__ import annotations

import io
from collections.abc import Sequence

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from ribway.models.plan.plan import Plan
from ribway.sheets.contents import Entry, sheets_in
from ribway.sheets.fonts import face
from ribway.sheets.marks import Page
from ribway.sheets.page import NOT_READY, PAGE_HEIGHT, PAGE_WIDTH, draw, plan_line, surround


def pages_pdf(plan: Plan, name: str, pages: tuple[Page, ...], outline: Sequence[Entry] | None = None) -> bytes:
    """Pages as a PDF, each with what every page carries.

    Args:
        plan: the plan.
        name: what the papers are, in the PDF's title.
        pages: in order.
        outline: the PDF's bookmarks, by page; every sheet that begins on a page if None.

    Returns:
        The file's bytes; they depend on nothing but the plan and the pages.
    """
    rl_config.useA85 = 0  # streams as bytes: a fifth smaller than as letters, and quicker
    letters = face()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(PAGE_WIDTH, PAGE_HEIGHT), pageCompression=1, invariant=1)
    canvas.setTitle(f"{plan.name}: {name}, {plan_line(plan)}")
    subject = name[:1].upper() + name[1:]
    canvas.setSubject(subject if plan.complete else f"{subject}, {NOT_READY}")
    canvas.setCreator("ribway")
    canvas.setAuthor("")
    marked = sheets_in(pages) if outline is None else outline
    for number, page in enumerate(pages, start=1):
        for index, one in enumerate(marked):
            if one.page == number:
                canvas.bookmarkPage(f"entry {index}")
                canvas.addOutlineEntry(one.title, f"entry {index}", one.level)
        draw(canvas, page, surround(plan, number, len(pages), letters))
        canvas.showPage()
    canvas.save()
    return out.getvalue()
