"""The loom boards as a paper: a page for each loom, or sheets in full size, and each as SVG."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.sheets.boards.ends import board_ends
from ribway.sheets.boards.lists import board_records
from ribway.sheets.boards.unfold import unfold
from ribway.sheets.marks import Face, Frame, Page
from ribway.sheets.paper.paper import Files, Paper, paper_pages, paper_pdf
from ribway.sheets.paper.record import Grid
from ribway.sheets.paper.wishes import Wishes

NAME, TITLE = "loom-boards", "Loom boards"


def _files(plan: Plan, wishes: Wishes) -> Files:
    from ribway.sheets.boards.svg import board_svg

    boards = [board for board in (unfold(loom) for loom in plan.looms if len(loom.runs) > 1) if board.laid]
    files = {f"{NAME}-{_plain(board.loom.id)}.svg": board_svg(plan, board).encode("utf-8") for board in boards}
    return {f"{NAME}.pdf": _pdf(plan, wishes), **files}


def _pdf(plan: Plan, wishes: Wishes) -> bytes:
    if wishes.board != "page":
        from ribway.sheets.boards.tiles import tiles_pdf

        return tiles_pdf(plan, wishes.paper, wishes.board == "gaps")
    return paper_pdf(LOOM_BOARDS, plan, paper_pages(LOOM_BOARDS, plan, wishes))


def _pages(plan: Plan, wishes: Wishes, frame: Frame, face: Face) -> tuple[Page, ...]:
    from ribway.sheets.boards.page import board_pages

    return board_pages(plan, wishes, frame, face)


def _plain(name: str) -> str:
    return "".join(sign if sign.isalnum() else "-" for sign in name.casefold()) or "loom"


def _grids(plan: Plan, _wishes: Wishes) -> dict[str, Grid]:
    columns = ("loom", "run", "device", "along_m", "across_m", "beyond_the_mark_m", "outside_of_bends_m")
    rows = tuple(
        (
            loom.id, end.run.id, end.device, round(end.spot[0], 4), round(end.spot[1], 4), round(end.beyond_m, 4),
            round(end.side_m, 4),
        )
        for loom in plan.looms
        if len(loom.runs) > 1
        for end in board_ends(plan, unfold(loom))
    )  # fmt: skip
    parts = {loom.id: board_records(plan, loom)[1].grid() for loom in plan.looms if len(loom.runs) > 1}
    names = next((grid.columns for grid in parts.values()), ())
    listed = tuple((loom, *row) for loom, grid in parts.items() for row in grid.rows)
    return {NAME: Grid(columns, rows), "loom-parts": Grid(("loom", *names), listed)}


LOOM_BOARDS = Paper(NAME, TITLE, grids=_grids, drawn=_pages, files=_files)
