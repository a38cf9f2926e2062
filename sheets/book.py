"""All papers bound as one PDF behind a cover that says where each begins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ribway.models.plan.plan import Plan
from ribway.sheets.contents import Entry, sheets_in
from ribway.sheets.marks import Page

BOOK = "papers.pdf"
COVER = "Workshop papers"

Chapters = Sequence[tuple[str, tuple[Page, ...]]]


def bound_pages(plan: Plan, chapters: Chapters) -> tuple[Page, ...]:
    """The cover, then every paper.

    Args:
        plan: the plan.
        chapters: titles of the papers, and their pages.

    Returns:
        The pages, without what every page carries.
    """
    from ribway.sheets.cover import cover
    from ribway.sheets.fonts import face
    from ribway.sheets.page import frame_of

    frame, letters = frame_of(plan), face()
    front = len(cover(plan, _contents(chapters, 0), frame, letters))
    body = tuple(page for _, pages in chapters for page in pages)
    return (*cover(plan, _contents(chapters, front), frame, letters), *body)


def bound_pdf(plan: Plan, chapters: Chapters) -> bytes:
    """The papers as one PDF.

    Args:
        plan: the plan.
        chapters: titles of the papers, and their pages.

    Returns:
        The file's bytes; they depend on nothing but the plan and the pages.
    """
    from ribway.sheets.pdf_file import pages_pdf

    pages = bound_pages(plan, chapters)
    front = len(pages) - sum(len(own) for _, own in chapters)
    return pages_pdf(plan, "workshop papers", pages, tuple(_outline(chapters, front)))


def _outline(chapters: Chapters, front: int) -> Iterator[Entry]:
    """The cover, then paper by paper, below each its sheets if it has several."""
    yield Entry(COVER, 1)
    for (title, pages), (_, number) in zip(chapters, _contents(chapters, front), strict=True):
        if pages:
            yield Entry(title, number)
            inside = sheets_in(pages, number - 1, level=1)
            yield from inside if len(inside) > 1 else ()


def _contents(chapters: Chapters, front: int) -> list[tuple[str, int]]:
    """Which paper begins on which page, behind so many pages of cover; 0 for one that is a file of its own."""
    found, number = [], front + 1
    for title, pages in chapters:
        found.append((title, number if pages else 0))
        number += len(pages)
    return found
