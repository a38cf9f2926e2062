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

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import LoomSection, PlanLoom
from ribway.sheets.boards.drawing import draw_board
from ribway.sheets.boards.ends import board_ends, ring_cuts
from ribway.sheets.boards.page import board_pages
from ribway.sheets.boards.paper import LOOM_BOARDS
from ribway.sheets.boards.svg import board_svg
from ribway.sheets.boards.tiles import tiles_of, tiles_pdf
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


def test_words_in_full_size_stand_whole_on_their_sheet(sample_plan: Plan) -> None:
    """Every text of every sheet begins and ends inside the sheet, by its place in the PDF and its width in the typeface."""
    reader = PdfReader(io.BytesIO(tiles_pdf(sample_plan)))
    letters, found = face(), []

    def seen(text: str, _cm: object, tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            found.append((text.strip(), tm[4], size))

    for page in reader.pages:
        page.extract_text(visitor_text=seen)
    ends = [one for one in found if ": leave" in one[0]]
    assert ends
    for text, x, size in ends:
        assert x >= 28.0
        assert x + letters.measure(text, size, False) <= 841.89 - 28.0


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


def test_sheets_in_full_size_are_in_full_size(sample_plan: Plan) -> None:
    loom = next(one for one in sample_plan.looms if len(one.runs) > 1)
    reader = PdfReader(io.BytesIO(tiles_pdf(sample_plan)))
    assert len(reader.pages) == sum(
        len(tiles_of(unfold(one), draw_board(sample_plan, unfold(one))))
        for one in sample_plan.looms
        if len(one.runs) > 1
    )
    first = lines_of(reader.pages[0], reader)
    lengths = [drawn_m(tuple(line)) / PT_PER_M for line in first]
    for one in loom.sections:
        assert any(length == pytest.approx(one.to_m - one.from_m, abs=2e-5) for length in lengths), one.name
    assert any(length == pytest.approx(0.1, abs=1e-5) for length in lengths), "the line to lay a ruler on"
    text = reader.pages[0].extract_text()
    assert "100 mm: lay a ruler here" in text
    assert f"sheet 1 of {len(tiles_of(unfold(loom), draw_board(sample_plan, unfold(loom))))}" in text


def test_neighbouring_sheets_overlap_by_what_is_marked(sample_plan: Plan) -> None:
    """The board's origin on two sheets of a row lies one sheet's width less the overlap apart: 277 - 10 mm."""
    loom = max((one for one in sample_plan.looms if len(one.runs) > 1), key=lambda one: one.length_m)
    tiles = [tile for tile in tiles_of(unfold(loom), draw_board(sample_plan, unfold(loom))) if tile.row == 1]
    assert len(tiles) >= 2
    for before, after in itertools.pairwise(tiles):
        assert (after.left - before.left) / (after.column - before.column) == pytest.approx(0.267)


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
