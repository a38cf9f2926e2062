"""Which sheet of a paper begins on which page: for the contents in front of a long paper, and for a PDF's bookmarks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.sheets.marks import Page
from ribway.sheets.table import LARGE_PT, Column, Group, Table

CONTENTS = "Contents"
MANY_PAGES = 6
"""A paper of more pages gets its contents in front, if it is of several sheets."""


@dataclass(frozen=True)
class Entry:
    """Where something begins.

    Attributes:
        title: its name.
        page: the page's number, from 1.
        level: 0, or 1 for a part of what stands above it.
    """

    title: str
    page: int
    level: int = 0


def sheets_in(pages: Sequence[Page], before: int = 0, level: int = 0) -> tuple[Entry, ...]:
    """Every sheet that begins on these pages.

    Args:
        pages: in order.
        before: how many pages stand before them.
        level: of the entries.
    """
    numbered = enumerate(pages, start=before + 1)
    return tuple(Entry(title, number, level) for number, page in numbered for title in page.opens)


def needs_contents(pages: Sequence[Page]) -> bool:
    """Whether a paper is so long that a sheet in it is looked for."""
    return len(pages) > MANY_PAGES and len(sheets_in(pages)) > 1


def contents_table(title: str, entries: Sequence[Entry]) -> Table:
    """The contents of a paper.

    Args:
        title: the paper's.
        entries: its sheets.
    """
    columns = (Column("Sheet", weight=4.0, strong=True), Column("Begins on page", weight=0.2, align="right"))
    rows = tuple((one.title, str(one.page)) for one in entries)
    return Table(f"{title}: {CONTENTS.lower()}", columns, (Group("", rows),), type_pt=LARGE_PT, share=0.7)
