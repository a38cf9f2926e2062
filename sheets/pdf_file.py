"""The workshop papers as one PDF, the same bytes for the same plan."""

from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from ribway.models.plan.plan import Plan
from ribway.sheets.cover import Contents, cover
from ribway.sheets.fonts import face
from ribway.sheets.layout import lay_out
from ribway.sheets.marks import Page
from ribway.sheets.page import NOT_READY, PAGE_HEIGHT, PAGE_WIDTH, draw, frame_of, plan_line, surround
from ribway.sheets.tables import tables


def pages_of(plan: Plan) -> tuple[Page, ...]:
    """The papers laid out: the cover, then every table.

    Args:
        plan: the plan.

    Returns:
        The pages, without what every page carries.
    """
    frame, letters = frame_of(plan), face()
    body = lay_out(tables(plan), frame, letters)
    front = len(cover(plan, _contents(body, 0), frame, letters))
    return (*cover(plan, _contents(body, front), frame, letters), *body)


def pdf_bytes(plan: Plan) -> bytes:
    """The papers as a PDF.

    Args:
        plan: the plan.

    Returns:
        The file's bytes; they depend on nothing but the plan.
    """
    return pages_pdf(plan, "workshop papers", pages_of(plan))


def pages_pdf(plan: Plan, name: str, pages: tuple[Page, ...]) -> bytes:
    """Pages as a PDF, each with what every page carries.

    Args:
        plan: the plan.
        name: what the papers are, in the PDF's title.
        pages: in order.

    Returns:
        The file's bytes; they depend on nothing but the plan and the pages.
    """
    letters = face()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(PAGE_WIDTH, PAGE_HEIGHT), pageCompression=1, invariant=1)
    canvas.setTitle(f"{plan.name}: {name}, {plan_line(plan)}")
    subject = name[:1].upper() + name[1:]
    canvas.setSubject(subject if plan.complete else f"{subject}, {NOT_READY}")
    canvas.setCreator("ribway")
    canvas.setAuthor("")
    for number, page in enumerate(pages, start=1):
        for title in page.opens:
            canvas.bookmarkPage(title)
            canvas.addOutlineEntry(title, title)
        draw(canvas, page, surround(plan, number, len(pages), letters))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _contents(body: tuple[Page, ...], front: int) -> Contents:
    """Which table begins on which page, behind so many pages of cover."""
    return [(title, number) for number, page in enumerate(body, start=front + 1) for title in page.opens]
