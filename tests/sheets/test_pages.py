"""Laid-out pages: nothing overflows, nothing overlaps, nothing is lost.

Widths are measured by Pillow, not by reportlab.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
import reportlab
from PIL import ImageFont

from ribway.models.plan.plan import Plan
from ribway.sheets.book import bound_pages
from ribway.sheets.catalogue import all_tables, chapters
from ribway.sheets.cover import cover
from ribway.sheets.fonts import face
from ribway.sheets.layout import lay_out
from ribway.sheets.marks import Box, Frame, Page, Text
from ribway.sheets.page import PAGE_HEIGHT, PAGE_WIDTH, surround
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.table import Column, Group, Table
from ribway.sheets.words import GLUE

MEASURED_AT = 1000
FRAME = Frame(40.0, 800.0, 40.0, 550.0)


@cache
def letters(bold: bool) -> ImageFont.FreeTypeFont:
    file = Path(reportlab.__file__).parent / "fonts" / ("VeraBd.ttf" if bold else "Vera.ttf")
    return ImageFont.truetype(str(file), MEASURED_AT, layout_engine=ImageFont.Layout.BASIC)


@cache
def per_letter(letter: str, bold: bool) -> float:
    return letters(bold).getlength(letter) / MEASURED_AT


def width(text: Text) -> float:
    """Width by the letters' own advances, without kerning."""
    return text.size * sum(per_letter(letter, text.bold) for letter in text.text)


def texts(page: Page) -> list[Text]:
    return [mark for mark in page.marks if isinstance(mark, Text)]


@pytest.fixture(scope="module", params=["sample_plan", "big_plan", "bare_plan"])
def pages(request: pytest.FixtureRequest) -> tuple[Page, ...]:
    plan = request.getfixturevalue(request.param)
    bare = bound_pages(plan, chapters(plan, Wishes()))
    return tuple(
        Page(page.opens, (*surround(plan, number, len(bare), face()), *page.marks))
        for number, page in enumerate(bare, start=1)
    )


def test_no_text_overflows_its_cell_or_the_page(pages: tuple[Page, ...]) -> None:
    for page in pages:
        for text in texts(page):
            assert text.x >= text.left - 0.05, text
            assert text.x + width(text) <= text.right + 0.05 * text.size / 10, text
            assert 0.0 < text.left < text.right < PAGE_WIDTH
            assert 15.0 < text.y < PAGE_HEIGHT - 15.0


def test_no_two_texts_overlap(pages: tuple[Page, ...]) -> None:
    for page in pages:
        for one, other in combinations(texts(page), 2):
            # Vera's capitals reach 0.73 of the size above the base line, its descenders 0.24 below.
            if one.y + 0.73 * one.size <= other.y - 0.24 * other.size:
                continue
            if other.y + 0.73 * other.size <= one.y - 0.24 * one.size:
                continue
            apart = one.x + width(one) <= other.x + 0.1 or other.x + width(other) <= one.x + 0.1
            assert apart, (one, other)


def test_letters_are_large_enough_for_a_workshop(pages: tuple[Page, ...]) -> None:
    assert min(text.size for page in pages for text in texts(page)) >= 9.0


def test_squares_to_tick_are_clear_of_letters(pages: tuple[Page, ...]) -> None:
    for page in pages:
        for box in page.marks:
            if isinstance(box, Box) and box.tick:
                assert box.width >= 12.0
                for text in texts(page):
                    level = box.y < text.y + text.size and text.y < box.y + box.height
                    assert not level or text.x + width(text) <= box.x or box.x + box.width <= text.x


@pytest.mark.parametrize("name", ["sample_plan", "big_plan"])
def test_every_row_is_on_paper_whole_with_its_squares(name: str, request: pytest.FixtureRequest) -> None:
    plan: Plan = request.getfixturevalue(name)
    for table in all_tables(plan):
        pages = lay_out([table], FRAME, face())
        printed = "".join("".join(text.text.split()) for page in pages for text in texts(page))
        for row in table.rows:
            due = "".join(face().printable("".join(row)).replace(GLUE, "").split())
            assert due in printed, row
        boxes = [index for index, column in enumerate(table.columns) if column.align == "box"]
        ticks = [mark for page in pages for mark in page.marks if isinstance(mark, Box) and mark.tick]
        assert len(ticks) == sum(row[index] == "" for row in table.rows for index in boxes)


def test_headings_and_bands_are_repeated_on_every_page(big_plan: Plan) -> None:
    table = next(table for table in all_tables(big_plan) if table.title == "Cut list")
    pages = lay_out([table], FRAME, face())
    assert len(pages) > 1
    for number, page in enumerate(pages):
        said = [text.text for text in texts(page)]
        assert said[0] == ("Cut list" if number == 0 else "Cut list, continued")
        assert "Piece" in said
        assert any(" in all" in line for line in said)


def narrow(rows: list[tuple[str, ...]], heading: str = "Band", follows: bool = False) -> Table:
    columns = (Column("What", strong=True), Column("Much"), Column("Seen", align="box"))
    return Table("Trial", columns, (Group("First", (("a", "b", ""),)), Group(heading, tuple(rows))), follows=follows)


@pytest.mark.parametrize("count", range(1, 40))
def test_no_band_is_left_alone_at_the_foot(count: int) -> None:
    columns = (Column("What"), Column("Seen", align="box"))
    first = Group("First", tuple((f"row {number}", "") for number in range(count)))
    second = Group("Second", (("last row", ""),))
    pages = lay_out([Table("Trial", columns, (first, second))], FRAME, face())
    for page in pages:
        said = [text.text for text in texts(page)]
        if "Second" in said:
            assert "last row" in said


def test_a_row_higher_than_a_page_goes_on_to_the_next() -> None:
    words = [f"word{number}" for number in range(600)]
    pages = lay_out([narrow([("tall", "\n".join(words), "")])], FRAME, face())
    said = [text.text for page in pages for text in texts(page)]
    assert [word for word in said if word.startswith("word")] == words
    assert min(text.y for page in pages for text in texts(page)) > FRAME.bottom
    assert sum(isinstance(mark, Box) and mark.tick for page in pages for mark in page.marks) == 2


def test_a_word_wider_than_the_page_is_broken_and_kept() -> None:
    word = "W" * 400
    pages = lay_out([narrow([(word, word, "")])], FRAME, face())
    assert sum(text.text.count("W") for page in pages for text in texts(page) if set(text.text) == {"W"}) == 800
    assert all(text.x + width(text) <= text.right + 0.1 for page in pages for text in texts(page))


def test_a_following_table_shares_a_page_if_all_of_it_fits() -> None:
    short, tall = narrow([("a", "b", "")], follows=True), narrow([("a", "b", "")] * 16, follows=True)
    assert len(lay_out([short, short], FRAME, face())) == 1
    assert [page.opens for page in lay_out([short, tall], FRAME, face())] == [("Trial",), ("Trial",)]


def test_a_following_table_is_parted_only_where_that_saves_a_page() -> None:
    short = narrow([("a", "b", "")], follows=True)
    pages = {count: len(lay_out([narrow([("a", "b", "")] * count)], FRAME, face())) for count in range(4, 60)}
    seen = set()
    for count in range(4, 40):
        tall = narrow([("a", "b", "")] * count, follows=True)
        found = lay_out([short, tall], FRAME, face())
        assert len(found) <= 1 + pages[count]
        parted = found[0].opens == ("Trial", "Trial") and len(found) > 1
        assert not parted or len(found) < 1 + pages[count], "not parted for nothing"
        assert sum(isinstance(mark, Box) and mark.tick for page in found for mark in page.marks) == count + 3
        seen.add((parted, len(found)))
    assert {(False, 1), (False, 2), (True, 2)} <= seen


def test_a_page_that_is_taken_in_part_is_given_back_first_and_filled_on() -> None:
    small, low = narrow([("a", "b", "")], follows=True), FRAME.bottom + 200.0
    (page,) = lay_out([small], FRAME, face(), low)
    assert max(text.y for text in texts(page)) < low
    empty, other = lay_out([small], FRAME, face(), FRAME.bottom + 20.0)
    assert (empty.opens, empty.marks, other.opens) == ((), (), ("Trial",))


def test_the_covers_list_cuts_no_title_short_however_few_there_are(sample_plan: Plan) -> None:
    contents = [("To check before cutting", 41), ("Spares and draw cords", 120), ("Labels", 0)]
    (page,) = cover(sample_plan, contents, FRAME, face())
    said = [text.text for text in texts(page)]
    assert {"To check before cutting", "Spares and draw cords", "Labels", "page 41", "page 120", "own file"} <= set(
        said
    )


def test_letters_that_the_typeface_lacks_are_replaced() -> None:
    printable = face().printable
    assert printable("10 Ω, 2.5 mm², 3 × 4, ≤ 5 °C, łódź") == "10 Ω, 2.5 mm², 3 × 4, ≤ 5 °C, łódz"
    assert printable("a → b\u2033") == 'a -> b"'
    assert printable("ř\u0141") == "rŁ"
    assert printable("\u0416\u4e2d") == "??"
    assert printable("a\u200bb\x00c\td") == "abc d"


def test_a_row_or_two_are_not_left_on_a_page_of_their_own() -> None:
    """Rows stand a little closer where that saves the last page; where it does not, they stay as they are."""
    columns = (Column("What"), Column("Seen", align="box"))

    def pages_of(count: int) -> tuple[Page, ...]:
        table = Table("Trial", columns, (Group("", tuple((f"row {number}", "") for number in range(count))),))
        return lay_out([table], FRAME, face())

    def ticks(page: Page) -> list[float]:
        return [mark.y for mark in page.marks if isinstance(mark, Box) and mark.tick]

    usual = next(count for count in range(1, 60) if len(pages_of(count + 4)) > 1)
    one = next(count for count in range(usual, 60) if len(pages_of(count)) > 1) - 1
    apart = ticks(pages_of(10)[0])[0] - ticks(pages_of(10)[0])[1]
    tight = ticks(pages_of(one)[0])[0] - ticks(pages_of(one)[0])[1]
    assert tight < apart, "the last rows were brought back by standing closer"
    assert tight >= 17.0, "a square of 13 pt and room for a pen about it"
    assert len(pages_of(one)) == 1
    many = pages_of(one + 12)
    assert len(many) == 2
    assert ticks(many[0])[0] - ticks(many[0])[1] == pytest.approx(apart)
