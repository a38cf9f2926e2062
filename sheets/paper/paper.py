"""One paper, and the files it becomes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.sheets.contents import contents_table, needs_contents, sheets_in
from ribway.sheets.marks import Face, Frame, Page
from ribway.sheets.paper.record import Grid, Record, grid_csv
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.table import Column, Group, Table

Files = dict[str, bytes]


def _no_tables(_plan: Plan, _wishes: Wishes) -> tuple[Table, ...]:
    return ()


def _no_grids(_plan: Plan, _wishes: Wishes) -> dict[str, Grid]:
    return {}


def _no_pages(_plan: Plan, _wishes: Wishes, _frame: Frame, _face: Face) -> tuple[Page, ...]:
    return ()


@dataclass(frozen=True)
class Paper:
    """One paper.

    Attributes:
        name: what it is asked for by, and the stem of its files.
        title: its name in print.
        tables: its tables.
        grids: what a spreadsheet gets of it, by name.
        drawn: its drawings; they come before its tables.
        files: PDFs and SVGs that have a size of their own, by file name.
        in_book: whether it belongs into the workshop's book of all papers.
    """

    name: str
    title: str
    tables: Callable[[Plan, Wishes], tuple[Table, ...]] = _no_tables
    grids: Callable[[Plan, Wishes], dict[str, Grid]] = _no_grids
    drawn: Callable[[Plan, Wishes, Frame, Face], tuple[Page, ...]] = _no_pages
    files: Callable[[Plan, Wishes], Files] | None = None
    in_book: bool = True


def paper_of_records(
    name: str,
    title: str,
    records: Callable[[Plan, Wishes], Sequence[Record]],
    drawn: Callable[[Plan, Wishes, Frame, Face], tuple[Page, ...]] = _no_pages,
    in_book: bool = True,
) -> Paper:
    """A paper whose tables and spreadsheets are the same rows.

    Args:
        name, title, drawn, in_book: as in `Paper`.
        records: its lists; those without a row are left out.
    """

    def tables(plan: Plan, wishes: Wishes) -> tuple[Table, ...]:
        return tuple(one.table() for one in records(plan, wishes) if one.rows)

    def grids(plan: Plan, wishes: Wishes) -> dict[str, Grid]:
        return {one.name: one.grid() for one in records(plan, wishes)}

    return Paper(name, title, tables, grids, drawn, in_book=in_book)


def paper_pages(paper: Paper, plan: Plan, wishes: Wishes) -> tuple[Page, ...]:
    """A paper laid out, without what every page carries.

    Args:
        paper: the paper.
        plan: the plan.
        wishes: what is wanted of it.

    Returns:
        Its pages; none if there is nothing on it.
    """
    from ribway.sheets.fonts import face
    from ribway.sheets.layout import lay_out
    from ribway.sheets.page import frame_of

    frame, letters = frame_of(plan), face()
    return (*paper.drawn(plan, wishes, frame, letters), *lay_out(paper.tables(plan, wishes), frame, letters))


def paper_pdf(paper: Paper, plan: Plan, pages: tuple[Page, ...]) -> bytes:
    """A paper as a PDF of its own; a long one has its contents in front.

    Args:
        paper: the paper.
        plan: the plan.
        pages: of `paper_pages`; without any, one page says that there is nothing to list.
    """
    from ribway.sheets.fonts import face
    from ribway.sheets.layout import lay_out
    from ribway.sheets.page import frame_of
    from ribway.sheets.pdf_file import pages_pdf

    frame, letters = frame_of(plan), face()
    if not pages:
        return pages_pdf(plan, paper.title, lay_out([_nothing(paper.title)], frame, letters))
    if not needs_contents(pages):
        return pages_pdf(plan, paper.title, pages)
    front = lay_out([contents_table(paper.title, sheets_in(pages))], frame, letters)
    found = contents_table(paper.title, sheets_in(pages, before=len(front)))
    return pages_pdf(plan, paper.title, (*lay_out([found], frame, letters), *pages))


def _nothing(title: str) -> Table:
    return Table(title, (Column("Nothing to list"),), (Group("", (("There is nothing of this in this plan.",),)),))


def paper_files(paper: Paper, plan: Plan, wishes: Wishes, formats: Sequence[str]) -> Iterator[tuple[str, bytes]]:
    """The files of one paper, but for its sheets of the workbook.

    Args:
        paper: the paper.
        plan: the plan.
        wishes: what is wanted of it.
        formats: of `FORMATS`.

    Yields:
        File names and contents.
    """
    if paper.files is not None:
        if {"pdf", "svg"} & set(formats):
            own = paper.files(plan, wishes).items()
            yield from ((name, data) for name, data in own if name.rsplit(".", 1)[-1] in formats)
    elif "pdf" in formats:
        yield f"{paper.name}.pdf", paper_pdf(paper, plan, paper_pages(paper, plan, wishes))
    if "csv" in formats:
        for name, grid in paper.grids(plan, wishes).items():
            yield f"{name}.csv", grid_csv(plan, grid).encode("utf-8")
