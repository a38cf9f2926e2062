"""Loom boards: every length true on the board, in the PDF's own content and in the SVG."""

from __future__ import annotations

import io
import itertools
import math
import re

import pytest
from lxml import etree
from pypdf import PdfReader
from pypdf.generic import ContentStream

from ribway.models.plan.looms import LoomSection, PlanLoom
from ribway.models.plan.plan import Plan
from ribway.sheets.boards.ends import board_ends, ring_cuts
from ribway.sheets.boards.joining import SheetSet, Tile, cables_of
from ribway.sheets.boards.page import board_pages
from ribway.sheets.boards.paper import LOOM_BOARDS
from ribway.sheets.boards.sheet_size import PaperName
from ribway.sheets.boards.svg import board_svg
from ribway.sheets.boards.tiles import sets_of, tiles_pdf
from ribway.sheets.boards.unfold import LANE_M, Board, unfold
from ribway.sheets.fonts import face
from ribway.sheets.marks import Text
from ribway.sheets.page import frame_of
from ribway.sheets.paper.wishes import Wishes

PT_PER_M = 72 / 0.0254


def drawn_m(line: tuple[tuple[float, float], ...]) -> float:
    return sum(math.dist(a, b) for a, b in itertools.pairwise(line))


def section(
    name: str, branch: int, from_m: float, runs: tuple[str, ...], *points: tuple[float, float, float], begins: str = ""
) -> LoomSection:
    length = sum(math.dist(a, b) for a, b in itertools.pairwise(points))
    return LoomSection(
        name=name, branch=branch, begins=begins, from_m=from_m, to_m=from_m + length, runs=runs, openings=(),
        diameter_mm=10.0, loaded_conductors=2, points=points,
    )  # fmt: skip


@pytest.fixture
def forked(sample_plan: Plan) -> PlanLoom:
    """A trunk of 2 m round a corner; a branch leaves at 1.2 m, and another joins there from a device of its own."""
    sections = (
        section("T.1", 0, 0.0, ("one", "two"), (0, 0, 0), (0.7, 0, 0), (0.7, 0, 0.5)),
        section("T.2", 0, 1.2, ("one", "three"), (0.7, 0, 0.5), (1.5, 0, 0.5)),
        section("T.3", 1, 1.2, ("two",), (0.7, 0, 0.5), (0.7, 0.9, 0.5), begins="after H"),
        section("T.4", 2, 0.0, ("three",), (0, 2, 0.5), (0.7, 2, 0.5), begins="at Pump"),
        section("T.5", 2, 0.7, ("three",), (0.7, 2, 0.5), (0.7, 0, 0.5)),
    )
    return sample_plan.looms[0].model_copy(update={"sections": sections, "breakouts": ()})


def test_the_trunk_is_straight_and_every_length_is_true(forked: PlanLoom) -> None:
    board = unfold(forked)
    assert [one.section.name for one in board.laid][:2] == ["T.1", "T.2"]
    for one in board.laid:
        assert drawn_m(one.line) == pytest.approx(one.section.to_m - one.section.from_m)
        if one.section.branch == 0:
            assert {point[1] for point in one.line} == {0.0}
    by_name = {one.section.name: one for one in board.laid}
    assert by_name["T.3"].start == pytest.approx((1.2, 0.0))
    assert by_name["T.5"].end == pytest.approx((1.2, 0.0))
    assert by_name["T.4"].end == pytest.approx(by_name["T.5"].start)
    assert by_name["T.4"].start[0] < 0.0
    assert ring_cuts(board) == ()


def test_branches_lie_in_lanes_of_their_own(forked: PlanLoom) -> None:
    board = unfold(forked)
    lanes = {
        one.section.branch: {round(point[1], 6) for point in one.line if abs(point[1]) > 1e-9} for one in board.laid
    }
    assert lanes[1] | lanes[2] == {LANE_M, -LANE_M}


def test_branches_that_follow_one_another_share_a_lane_and_never_lie_on_each_other(sample_plan: Plan) -> None:
    """Six branches along a trunk of 6 m, each 0.5 m long, need one lane; six of 4 m need more, and none covers another."""

    def comb(long_m: float) -> Board:
        parts = [section(f"T.{k}", 0, float(k), ("t",), (k, 0, 0), (k + 1, 0, 0)) for k in range(6)]
        teeth = [
            section(f"B.{k}", k + 1, float(k), (f"b{k}",), (k, 0, 0), (k, 0, long_m), begins="after H")
            for k in range(6)
        ]
        return unfold(sample_plan.looms[0].model_copy(update={"sections": (*parts, *teeth), "breakouts": ()}))

    assert comb(0.5).extent.height == pytest.approx(LANE_M)
    board = comb(4.0)
    flat = [
        (one.section.branch, a, b)
        for one in board.laid
        for a, b in itertools.pairwise(one.line)
        if abs(a[1] - b[1]) < 1e-9
    ]
    for (one, a, b), (other, c, d) in itertools.combinations(flat, 2):
        if one != other and abs(a[1] - c[1]) < 1e-9:
            assert max(min(a[0], b[0]), min(c[0], d[0])) >= min(max(a[0], b[0]), max(c[0], d[0])) - 1e-9


def test_words_of_a_board_do_not_stand_on_one_another(sample_plan: Plan) -> None:
    letters = face()
    for loom in (one for one in sample_plan.looms if len(one.runs) > 1):
        for page in board_pages(
            sample_plan.model_copy(update={"looms": (loom,)}), Wishes(), frame_of(sample_plan), letters
        ):
            rooms = [
                (
                    one.x,
                    one.y - 0.2 * one.size,
                    one.x + letters.measure(one.text, one.size, one.bold),
                    one.y + 0.7 * one.size,
                )
                for one in page.marks
                if isinstance(one, Text)
            ]
            for (a, b, c, d), (e, f, g, h) in itertools.combinations(rooms, 2):
                assert c <= e or g <= a or d <= f or h <= b


def test_every_part_that_is_not_tiny_is_named_in_the_drawing(sample_plan: Plan) -> None:
    """Short parts between the circles of two ends too: above, below, or beside the line across."""
    near = [  # a trunk of 3 m with short branches to both sides of it, ends close to one another
        section(f"T.{k}", 0, float(k), ("t",), (k, 0, 0), (k + 1, 0, 0)) for k in range(3)
    ] + [section(f"B.{k}", k + 1, float(k), (f"b{k}",), (k, 0, 0), (k, 0, 0.25), begins="after H") for k in range(1, 3)]
    loom = sample_plan.looms[0].model_copy(update={"sections": tuple(near), "breakouts": (), "runs": ("a", "b")})
    (page, *_) = board_pages(sample_plan.model_copy(update={"looms": (loom,)}), Wishes(), frame_of(sample_plan), face())
    drawn = [one.text for one in page.marks if isinstance(one, Text) and one.give]
    assert {one.name for one in near} <= set(drawn)


def test_words_in_full_size_stand_whole_on_their_sheet(sample_plan: Plan) -> None:
    """Every text of every sheet begins and ends inside the sheet, by its place in the PDF and its width in the typeface."""
    reader = PdfReader(io.BytesIO(tiles_pdf(sample_plan)))
    letters, found = face(), []

    def seen(text: str, _cm: object, tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            found.append((text.strip(), tm[4], tm[5], size))

    checked = 0
    for page in reader.pages:
        found.clear()
        page.extract_text(visitor_text=seen)
        right, top = float(page.mediabox.width) - 28.0, float(page.mediabox.height) - 28.0
        for text, x, y, size in found:
            if ": leave" in text:
                checked += 1
                assert x >= 28.0
                assert x + letters.measure(text, size, False) <= right
                assert 28.0 <= y <= top - size
    assert checked


def test_parts_count_along_the_trunk_as_the_drawing_does(sample_plan: Plan) -> None:
    rows = LOOM_BOARDS.grids(sample_plan, Wishes())["loom-parts"]
    at = dict(zip(rows.columns, range(len(rows.columns)), strict=True))
    for loom in (one for one in sample_plan.looms if len(one.runs) > 1):
        mine = [row for row in rows.rows if row[0] == loom.id]
        assert [row[at["section"]] for row in mine] == [one.name for one in loom.sections]
        along = 0.0
        for row, one in zip(mine, loom.sections, strict=True):
            assert row[at["long_m"]] == pytest.approx(one.to_m - one.from_m, abs=1e-4)
            if one.branch == 0:
                along += one.to_m - one.from_m
                assert row[at["ends_along_trunk_m"]] == pytest.approx(along, abs=1e-4)


def test_a_page_counts_nothing_square_across(forked: PlanLoom) -> None:
    board = unfold(forked, 0.5, square_counts=False)
    for one in board.laid:
        along = sum(abs(b[0] - a[0]) for a, b in itertools.pairwise(one.line))
        assert along == pytest.approx(one.section.to_m - one.section.from_m)


def test_a_ring_is_cut_and_says_where_it_goes_on(forked: PlanLoom) -> None:
    more = section("T.6", 3, 2.1, ("two",), (0.7, 0.9, 0.5), (1.5, 0.9, 0.5), (1.5, 0, 0.5), begins="at Lamp")
    board = unfold(forked.model_copy(update={"sections": (*forked.sections, more)}))
    assert ("T.3", ("two",)) in {(cut.section, cut.runs) for cut in ring_cuts(board)}


def test_what_lies_on_the_board_and_beyond_it_is_the_cut_length(sample_plan: Plan) -> None:
    checked = 0
    for loom in sample_plan.looms:
        board = unfold(loom)
        ends = board_ends(sample_plan, board)
        for run in (one for one in sample_plan.runs if one.id in loom.runs):
            mine = [end for end in ends if end.run.id == run.id]
            assert {end.device for end in mine} == {run.from_, run.to}
            on_board = sum(s.to_m - s.from_m for s in loom.sections if run.id in s.runs)
            hanging = sum(end.beyond_m for end in mine)
            assert on_board + hanging >= run.cut_m - 1e-9
            assert all(
                end.beyond_m >= tail - 1e-9 for end, tail in zip(mine, (run.tail_a_m, run.tail_b_m), strict=True)
            )
            assert mine[1].side_m == run.loom_side_m
            checked += 1
    assert checked == len([run for run in sample_plan.runs if run.loom])


def lines_of(page: object, reader: PdfReader) -> list[list[tuple[float, float]]]:
    """The lines of a page's content, before any clipping."""
    found: list[list[tuple[float, float]]] = []
    for operands, operator in ContentStream(page["/Contents"].get_object(), reader).operations:  # type: ignore[index]
        if operator == b"m":
            found.append([(float(operands[0]), float(operands[1]))])
        if operator == b"l" and found:
            found[-1].append((float(operands[0]), float(operands[1])))
    return found


@pytest.mark.parametrize("gaps", [False, True])
@pytest.mark.parametrize("paper", ["a4", "a3", "a0"])
def test_sheets_in_full_size_are_in_full_size(sample_plan: Plan, paper: PaperName, gaps: bool) -> None:
    """Each part of each loom is drawn at its length on some sheet of its set, and every sheet has 100 mm to lay a ruler on, by
    the lines in the PDF's own content."""
    reader, sets = PdfReader(io.BytesIO(tiles_pdf(sample_plan, paper, gaps))), sets_of(sample_plan, paper, gaps)
    assert len(reader.pages) == sum(len(one.tiles) for one in sets)
    pages = iter(reader.pages)
    shown = []
    for one in sets:
        for number in range(1, len(one.tiles) + 1):
            page = next(pages)
            lengths = [drawn_m(tuple(line)) / PT_PER_M for line in lines_of(page, reader)]
            assert any(length == pytest.approx(0.1, abs=1e-5) for length in lengths), "the line to lay a ruler on"
            text = page.extract_text()
            assert "100 mm: lay a ruler here" in text
            assert f"sheet {number} of {len(one.tiles)}" in text
            if number == 1:
                for part in one.parts:
                    shown.append(part.board.loom.id)
                    for laid in part.board.loom.sections:
                        long = laid.to_m - laid.from_m
                        assert any(length == pytest.approx(long, abs=2e-5) for length in lengths), laid.name
    assert sorted(shown) == sorted(one.id for one in sample_plan.looms if len(one.runs) > 1)


@pytest.mark.parametrize("paper", ["a4", "letter", "a3", "a1"])
def test_neighbouring_sheets_overlap_by_what_is_marked(sample_plan: Plan, paper: PaperName) -> None:
    """One sheet's width less both margins and the overlap, 30 mm together, from each to the next, by the PDF's own page sizes."""
    reader = PdfReader(io.BytesIO(tiles_pdf(sample_plan, paper)))
    pages = iter(reader.pages)
    for one in sets_of(sample_plan, paper):
        sizes = {
            (float(page.mediabox.width), float(page.mediabox.height))
            for page in itertools.islice(pages, len(one.tiles))
        }
        ((wide, tall),) = sizes
        for a, b in itertools.combinations(one.tiles, 2):
            assert b.left - a.left == pytest.approx((b.column - a.column) * (wide / PT_PER_M - 0.030), abs=1e-6)
            assert a.top - b.top == pytest.approx((b.row - a.row) * (tall / PT_PER_M - 0.044), abs=1e-6)


def shown_on(tile: Tile, sheets: SheetSet, x: float, y: float) -> bool:
    wide, tall = sheets.size.inside_m
    return -1e-9 <= x - tile.left <= wide + 1e-9 and -1e-9 <= tile.top - y <= tall + 1e-9


@pytest.mark.parametrize("paper", ["a4", "letter", "a3", "a1"])
def test_everything_is_on_a_sheet_and_every_sheet_has_something(sample_plan: Plan, paper: PaperName) -> None:
    """Points every 2 mm along all bundles, looked for on all sheets."""
    for sheets in sets_of(sample_plan, paper):
        used = set()
        for part in sheets.parts:
            for a, b in (pair for one in cables_of(part) for pair in itertools.pairwise(one.line)):
                steps = max(1, math.ceil(math.dist(a, b) / 0.002))
                for step in range(steps + 1):
                    x, y = (a[k] + (b[k] - a[k]) * step / steps + part.shift[k] for k in (0, 1))
                    on = [tile for tile in sheets.tiles if shown_on(tile, sheets, x, y)]
                    assert on, (paper, part.board.loom.id, x, y)
                    used.update(on)
        assert used == set(sheets.tiles)


@pytest.mark.parametrize("paper", ["a4", "a3"])
def test_with_gaps_straight_bundles_alone_are_left_out_and_every_place_is_known(
    sample_plan: Plan, paper: PaperName
) -> None:
    """Every begin, end, bend and branch is on a sheet; the rows' gaps that sheets print are those between their crosses; and
    going along gaps and from sheet to sheet every sheet of a board is reached."""
    reader = PdfReader(io.BytesIO(tiles_pdf(sample_plan, paper, True)))
    pages = iter(reader.pages)
    all_sets, whole = sets_of(sample_plan, paper, True), sets_of(sample_plan, paper)
    assert sum(len(one.tiles) for one in all_sets) < sum(len(one.tiles) for one in whole)
    told = 0
    for sheets in all_sets:
        texts = {tile: next(pages).extract_text() for tile in sheets.tiles}
        for part in sheets.parts:
            for x, y in {(a + part.shift[0], b + part.shift[1]) for one in cables_of(part) for a, b in one.line}:
                assert any(shown_on(tile, sheets, x, y) for tile in sheets.tiles)
        wide = sheets.size.inside_m[0]
        graph: dict[Tile, set[Tile]] = {tile: set() for tile in sheets.tiles}
        for a, b in itertools.combinations(sheets.tiles, 2):
            beside = a.row == b.row and not any(
                one.row == a.row and a.column < one.column < b.column for one in sheets.tiles
            )
            if beside or (a.column == b.column and abs(a.row - b.row) == 1):
                graph[a].add(b)
                graph[b].add(a)
            if beside and b.column - a.column > 1:
                crosses = (b.left + 0.005) - (a.left + wide - 0.005)
                assert f"column {b.column} lies {1000 * crosses:.0f} mm away, cross to cross" in texts[a]
                assert f"column {a.column} lies {1000 * crosses:.0f} mm away, cross to cross" in texts[b]
                told += 1
        reached, new = set(), [sheets.tiles[0]]
        while new:
            tile = new.pop()
            if tile not in reached:
                reached.add(tile)
                new += graph[tile]
        if len(sheets.parts) == 1:
            assert reached == set(sheets.tiles)
    assert told


def test_bigger_paper_takes_fewer_sheets(sample_plan: Plan) -> None:
    counts = [sum(len(one.tiles) for one in sets_of(sample_plan, paper)) for paper in ("a4", "a3", "a2", "a1", "a0")]
    assert counts == sorted(counts, reverse=True)
    assert counts[-1] < counts[0] / 2


def test_the_svg_is_in_millimetres(sample_plan: Plan) -> None:
    board = unfold(next(one for one in sample_plan.looms if len(one.runs) > 1))
    root = etree.fromstring(board_svg(sample_plan, board).encode())
    width, box = root.get("width"), [float(one) for one in root.get("viewBox").split()]
    assert width == f"{box[2]:.2f}mm"
    lines = [
        [tuple(float(part) for part in pair.split(",")) for pair in one.get("points").split()]
        for one in root.iter("{http://www.w3.org/2000/svg}polyline")
    ]
    lengths = [sum(math.dist(a, b) for a, b in itertools.pairwise(line)) for line in lines]
    for one, length in zip(board.laid, lengths, strict=False):
        assert length == pytest.approx(1000 * (one.section.to_m - one.section.from_m), abs=0.03)
    for x, y in itertools.chain.from_iterable(lines):
        assert 0 <= x <= box[2]
        assert 0 <= y <= box[3]


def test_the_paper_says_each_end_with_what_hangs_beyond(sample_plan: Plan) -> None:
    files = LOOM_BOARDS.files
    assert files is not None
    made = files(sample_plan, Wishes())
    text = " ".join(
        "".join(page.extract_text() for page in PdfReader(io.BytesIO(made["loom-boards.pdf"])).pages).split()
    )
    for loom in (one for one in sample_plan.looms if len(one.runs) > 1):
        assert f"Loom {loom.id} on the board" in text
        assert f"loom-boards-{loom.id.lower()}.svg" in made
        assert all(f"{run}: leave" in text for run in loom.runs)


def test_the_scale_that_a_page_says_is_the_scale_that_its_pdf_draws(sample_plan: Plan) -> None:
    """Lines along the board in the PDF's own content, measured in points: each part of a loom is there at the page's scale."""
    files = LOOM_BOARDS.files
    assert files is not None
    reader = PdfReader(io.BytesIO(files(sample_plan, Wishes())["loom-boards.pdf"]))
    checked = 0
    for page in reader.pages:
        text = page.extract_text()
        title, scale = re.search(r"Loom (\S+) on the board", text), re.search(r"drawn 1 : ([0-9.]+)", text)
        if title is None or scale is None:
            continue
        loom = next(one for one in sample_plan.looms if one.id == title[1])
        per_m = PT_PER_M / float(scale[1].rstrip("."))
        along = [
            abs(b[0] - a[0]) for line in lines_of(page, reader) for a, b in itertools.pairwise(line) if a[1] == b[1]
        ]
        for one in loom.sections:
            assert any(abs(length - (one.to_m - one.from_m) * per_m) < 0.02 for length in along), one.name
            checked += 1
    assert checked == sum(len(one.sections) for one in sample_plan.looms if len(one.runs) > 1)


def test_an_unfinished_plan_says_so_on_each_sheet(sample_plan: Plan) -> None:
    plan = sample_plan.model_copy(update={"complete": False})
    assert all("NOT READY" in page.extract_text() for page in PdfReader(io.BytesIO(tiles_pdf(plan))).pages)
    assert "NOT READY" in board_svg(plan, Board(plan.looms[0], unfold(plan.looms[0]).laid))
