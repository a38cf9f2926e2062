"""All papers by name, in the order in which they are needed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from ribway.models.nearest import nearest_word
from ribway.models.plan.plan import Plan
from ribway.sheets.assumed_csv import assumptions_grid, holes_to_check_grid, measure_next_grid, unplanned_grid
from ribway.sheets.assumed_list import assumed_list, unplanned_list
from ribway.sheets.boards.paper import LOOM_BOARDS
from ribway.sheets.book import BOOK, Chapters, bound_pdf
from ribway.sheets.buying.shopping import SHOPPING
from ribway.sheets.circuits_list import circuits_list
from ribway.sheets.csv_tables import circuits_grid, openings_grid, wire_list_grid
from ribway.sheets.cut_paper import CUT_LIST
from ribway.sheets.findings_list import findings_list
from ribway.sheets.finishing.ac_routes import AC_ROUTES
from ribway.sheets.finishing.costs import costs_record
from ribway.sheets.finishing.drops import DROP_SHEET
from ribway.sheets.finishing.earths import EARTHS
from ribway.sheets.finishing.fuse_map import FUSE_MAP
from ribway.sheets.finishing.lengths import lengths_record
from ribway.sheets.finishing.proving import TEST_SHEET
from ribway.sheets.finishing.why_sizes import sizes_record, states_record
from ribway.sheets.handing_over.pack import HANDOVER
from ribway.sheets.handing_over.quote import QUOTE, QUOTE_SHOP
from ribway.sheets.holes_to_check import holes_to_check_list
from ribway.sheets.joints_list import JOINTS
from ribway.sheets.labels.paper import LABELS
from ribway.sheets.leads_list import LEADS
from ribway.sheets.looms_glance import loom_sections_grid, looms_record
from ribway.sheets.looms_list import looms_list
from ribway.sheets.measure_next import may_be_short_list, measure_next_list
from ribway.sheets.openings_list import openings_list
from ribway.sheets.paper.paper import Files, Paper, paper_files, paper_of_records, paper_pages
from ribway.sheets.paper.record import Grid
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.pulling.paper import PULL_PLAN
from ribway.sheets.spares_list import SPARES
from ribway.sheets.table import Table
from ribway.sheets.totals_list import cable_totals, totals
from ribway.sheets.walls.marking_out import marking_out_pages
from ribway.sheets.walls.no_drill import NO_DRILL
from ribway.sheets.walls.places_list import places_records
from ribway.sheets.wire_list import wire_list

WORKBOOK = "papers.xlsx"

_Lists = Callable[[Plan], Table]
_Grids = Callable[[Plan], Grid]


class NoSuchPaperError(ValueError):
    """A paper was asked for that there is none of; the message says which there are."""


def _lists(name: str, title: str, lists: tuple[_Lists, ...], grids: dict[str, _Grids]) -> Paper:
    def tables(plan: Plan, _wishes: Wishes) -> tuple[Table, ...]:
        return tuple(table for table in (make(plan) for make in lists) if table.rows)

    return Paper(name, title, tables, lambda plan, _wishes: {stem: make(plan) for stem, make in grids.items()})


def _sticker_files(plan: Plan, wishes: Wishes) -> Files:
    from ribway.sheets.stickers import stickers_pdf

    return {"hole-stickers.pdf": stickers_pdf(plan, wishes.stickers, wishes.every_hole)}


def _sticker_grids(plan: Plan, wishes: Wishes) -> dict[str, Grid]:
    from ribway.sheets.stickers import stickers_grid

    return {"hole-stickers": stickers_grid(plan, wishes.every_hole)}


PAPERS: tuple[Paper, ...] = (
    _lists("findings", "Findings", (findings_list,), {}),
    _lists(
        "to-check", "To check before cutting",
        (holes_to_check_list, measure_next_list, may_be_short_list, assumed_list, unplanned_list),
        {
            "holes-to-check": holes_to_check_grid, "measure-next": measure_next_grid, "assumptions": assumptions_grid,
            "not-planned": unplanned_grid,
        },
    ),
    Paper("hole-stickers", "Hole stickers", grids=_sticker_grids, files=_sticker_files, in_book=False),
    paper_of_records("marking-out", "Marking out", places_records, marking_out_pages),
    SHOPPING,
    _lists("openings", "Openings", (openings_list,), {"openings": openings_grid}),
    CUT_LIST,
    LABELS,
    JOINTS,
    LEADS,
    _lists(
        "wire-list", "Wire list", (wire_list, lambda plan: lengths_record(plan).table()),
        {"wire-list": wire_list_grid, "lengths": lambda plan: lengths_record(plan).grid()},
    ),
    LOOM_BOARDS,
    PULL_PLAN,
    SPARES,
    _lists(
        "looms", "Looms", (lambda plan: looms_record(plan).table(), looms_list),
        {"looms": lambda plan: looms_record(plan).grid(), "loom-sections": loom_sections_grid},
    ),
    _lists(
        "circuits", "Circuits and fuses",
        (circuits_list, lambda plan: sizes_record(plan).table(), lambda plan: states_record(plan).table()),
        {
            "circuits": circuits_grid, "sizes": lambda plan: sizes_record(plan).grid(),
            "feeder-states": lambda plan: states_record(plan).grid(),
        },
    ),
    FUSE_MAP,
    DROP_SHEET,
    EARTHS,
    AC_ROUTES,
    TEST_SHEET,
    NO_DRILL,
    _lists(
        "totals", "Totals", (cable_totals, lambda plan: costs_record(plan).table(), totals),
        {"costs": lambda plan: costs_record(plan).grid()},
    ),
    QUOTE,
    QUOTE_SHOP,
    HANDOVER,
)  # fmt: skip


def papers_named(names: Sequence[str]) -> tuple[Paper, ...]:
    """The papers that were asked for.

    Args:
        names: their names; all papers if none.

    Returns:
        The papers in the order of `PAPERS`.

    Raises:
        NoSuchPaperError: there is no such paper.
    """
    known = [paper.name for paper in PAPERS]
    for name in names:
        if name not in known:
            meant = nearest_word(name, known)
            hint = f": did you mean {meant}?" if meant else ""
            raise NoSuchPaperError(f"there is no paper called <{name}>{hint}; there are {', '.join(known)}")
    return tuple(paper for paper in PAPERS if not names or paper.name in names)


def all_files(
    plan: Plan, wishes: Wishes, papers: Sequence[Paper], formats: Sequence[str]
) -> Iterator[tuple[str, bytes]]:
    """All files of some papers, each by itself.

    Args:
        plan: the plan.
        wishes: what is wanted of them.
        papers: which.
        formats: of `FORMATS`.

    Yields:
        File names and contents, the workbook last.
    """
    grids: dict[str, Grid] = {}
    for paper in papers:
        yield from paper_files(paper, plan, wishes, formats)
        if "xlsx" in formats:
            grids |= paper.grids(plan, wishes)
    if grids:
        from ribway.sheets.paper.workbook import workbook_bytes

        yield WORKBOOK, workbook_bytes(plan, grids)


def book_files(plan: Plan, wishes: Wishes) -> Iterator[tuple[str, bytes]]:
    """The papers that a plan is written with: the same pages bound as one PDF, what is printed on sheets of its own, and CSV.

    Args:
        plan: the plan; an unfinished one is marked NOT READY on each page and in each line.
        wishes: what is wanted of them.

    Yields:
        File names and contents, the bound papers last.
    """
    for paper in PAPERS:
        yield from paper_files(paper, plan, wishes, ("pdf", "csv") if _alone(paper) else ("csv",))
    yield BOOK, book_pdf(plan, wishes)


def book_pdf(plan: Plan, wishes: Wishes) -> bytes:
    """All papers of the book as one PDF.

    Args:
        plan: the plan.
        wishes: what is wanted of them.

    Returns:
        The file's bytes; they depend on nothing but these.
    """
    return bound_pdf(plan, chapters(plan, wishes))


def chapters(plan: Plan, wishes: Wishes) -> Chapters:
    """The papers of the book, those that something is on.

    Args:
        plan: the plan.
        wishes: what is wanted of them.

    Returns:
        Their titles and pages; what is printed on sheets of its own stands among them without pages.
    """
    made = [
        (paper, paper_pages(paper, plan, wishes) if paper.in_book else ())
        for paper in PAPERS
        if paper.in_book or (_alone(paper) and plan.runs)
    ]
    return [(paper.title, pages) for paper, pages in made if pages or not paper.in_book]


def _alone(paper: Paper) -> bool:
    """Whether a paper is a file of its own beside the book: labels and stickers go on sticky paper."""
    return paper.files is not None and not paper.in_book


def all_tables(plan: Plan, wishes: Wishes | None = None) -> tuple[Table, ...]:
    """Every table of the bound papers that has a row.

    Args:
        plan: the plan.
        wishes: what is wanted of them; the usual if None.
    """
    usual = wishes or Wishes()
    return tuple(table for paper in PAPERS if paper.in_book for table in paper.tables(plan, usual))
