"""Each paper as a file of its own, and all lists as one workbook."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from typing import Any

import pytest
from lxml import etree
from openpyxl import load_workbook
from pypdf import PdfReader

from ribway.models.plan.plan import Plan
from ribway.sheets.catalogue import PAPERS, NoSuchPaperError, all_files, papers_named
from ribway.sheets.csv_file import plan_marks
from ribway.sheets.fonts import face
from ribway.sheets.paper.wishes import FORMATS, Wishes
from ribway.sheets.words import GLUE


def files_of(plan: Plan) -> dict[str, bytes]:
    return dict(all_files(plan, Wishes(), PAPERS, FORMATS))


def test_every_paper_opens_and_says_which_plan_it_is(sample_plan: Plan) -> None:
    files = files_of(sample_plan)
    tables = [paper for paper in PAPERS if paper.files is None]
    assert len(tables) >= 7
    for paper in tables:
        reader = PdfReader(io.BytesIO(files[f"{paper.name}.pdf"]))
        assert reader.metadata is not None
        assert paper.title in (reader.metadata.title or "")
        for number, page in enumerate(reader.pages, start=1):
            text = page.extract_text()
            assert "Sample box" in text
            assert "revision A, 2025-01-31" in text
            assert f"page {number} of {len(reader.pages)}" in text


def test_every_cell_of_every_table_is_read_back_from_its_pdf(sample_plan: Plan) -> None:
    """By pypdf, which knows nothing of how the page was made; letters that the typeface lacks are left out of both."""
    files = files_of(sample_plan)
    for paper in (one for one in PAPERS if one.files is None):
        reader = PdfReader(io.BytesIO(files[f"{paper.name}.pdf"]))
        text = "".join("".join(page.extract_text().split()) for page in reader.pages)
        cells = {cell for table in paper.tables(sample_plan, Wishes()) for row in table.rows for cell in row}
        for cell in cells:
            for word in face().printable(cell).replace(GLUE, " ").split():
                assert word in text, (paper.name, cell)


def test_an_unfinished_plan_says_so_on_each_page_and_sheet(sample_plan: Plan) -> None:
    plan = sample_plan.model_copy(update={"complete": False})
    for name, data in files_of(plan).items():
        if name.endswith(".pdf"):
            assert all("NOT READY" in page.extract_text() for page in PdfReader(io.BytesIO(data)).pages), name
        if name.endswith(".csv"):
            _, *rows = csv.reader(io.StringIO(data.decode()))
            assert all(any("NOT READY" in cell for cell in row) for row in rows if len(row) > 5), name
        if name.endswith(".xlsx"):
            for sheet in load_workbook(io.BytesIO(data)):
                assert "NOT READY" in str(sheet["A2"].value)
                assert not sheet["A2"].alignment.wrap_text, (
                    "wrapped in a narrow first column it would show its first word"
                )
                assert not sheet["A1"].alignment.wrap_text


def test_the_workbook_holds_what_the_csv_files_hold_numbers_as_numbers(sample_plan: Plan) -> None:
    files = files_of(sample_plan)
    book = load_workbook(io.BytesIO(files["papers.xlsx"]))
    for name in book.sheetnames:
        head, *rows = list(csv.reader(io.StringIO(files[f"{name}.csv"].decode())))
        sheet = list(book[name].iter_rows(min_row=3, values_only=True))
        assert list(sheet[0]) == head[: len(sheet[0])]
        assert len(sheet) - 1 == len(rows)
        for row, cells in zip(rows, sheet[1:], strict=True):
            for text, cell in zip(row, cells, strict=False):
                if isinstance(cell, int | float):
                    assert float(text) == pytest.approx(cell)
                else:
                    assert text.lstrip("'") == (cell or "")
    cuts = book["cut-list"]
    column = next(cell.column for cell in cuts[3] if cell.value == "cut_m")
    assert sorted(cuts.cell(row, column).value for row in range(4, cuts.max_row + 1)) == sorted(
        run.cut_m for run in sample_plan.runs for _ in range(run.pieces)
    )


def test_no_text_of_the_workbook_is_a_formula(sample_plan: Plan) -> None:
    devices = tuple(one.model_copy(update={"name": '=HYPERLINK("x")'}) for one in sample_plan.devices)
    files = files_of(sample_plan.model_copy(update={"devices": devices}))
    book = load_workbook(io.BytesIO(files["papers.xlsx"]))
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}
    assert "f" not in kinds


def test_the_same_plan_gives_the_same_bytes(sample_plan: Plan) -> None:
    assert files_of(sample_plan) == files_of(sample_plan)


def test_a_plan_with_nothing_in_it_has_all_its_papers(bare_plan: Plan) -> None:
    for name, data in files_of(bare_plan).items():
        if name.endswith(".pdf"):
            assert len(PdfReader(io.BytesIO(data)).pages) >= 1, name


def test_names_of_papers_are_plain_and_a_wrong_one_is_said() -> None:
    assert all(re.fullmatch(r"[a-z-]+", paper.name) for paper in PAPERS)
    assert [one.name for one in papers_named(["labels", "cut-list"])] == ["cut-list", "labels"]
    with pytest.raises(NoSuchPaperError, match=r"no paper called <lables>: did you mean labels.*cut-list"):
        papers_named(["lables"])


def test_the_workbook_is_read_by_its_standard_alone(sample_plan: Plan) -> None:
    """By zip and XML as ECMA-376 part 1 has them (18.2, 18.3.1.4, 18.3.1.53), with no spreadsheet library: all cells of every
    sheet are those of the CSV files."""
    files = files_of(sample_plan)
    main = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
    relation = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
    with zipfile.ZipFile(io.BytesIO(files["papers.xlsx"])) as packed:
        book = etree.fromstring(packed.read("xl/workbook.xml"))
        links = {
            one.get("Id"): one.get("Target") for one in etree.fromstring(packed.read("xl/_rels/workbook.xml.rels"))
        }
        sheets = 0
        for sheet in book.iter(f"{main}sheet"):
            target = str(links[sheet.get(relation)])
            tree = etree.fromstring(packed.read(target.lstrip("/") if target.startswith("/") else f"xl/{target}"))
            head, *rows = list(csv.reader(io.StringIO(files[f"{sheet.get('name')}.csv"].decode())))
            wide = len(head) - len(plan_marks(sample_plan))
            found = [_cells(row, main, wide) for row in tree.iter(f"{main}row") if int(str(row.get("r"))) >= 3]
            assert found[0] == head[:wide]
            for cells, row in zip(found[1:], rows, strict=True):
                for cell, text in zip(cells, row, strict=False):
                    assert cell == text.lstrip("'") or float(cell) == pytest.approx(float(text)), (
                        sheet.get("name"),
                        cell,
                    )
            sheets += 1
    assert sheets > 20


def _cells(row: Any, main: str, wide: int) -> list[str]:
    """The texts of a row's cells, empty where there is none."""
    texts = [""] * wide
    for cell in row.iter(f"{main}c"):
        letters = re.match("[A-Z]+", cell.get("r"))
        place = sum((ord(sign) - 64) * 26**power for power, sign in enumerate(reversed(letters[0] if letters else "")))
        if place > wide:
            continue
        if cell.get("t") == "inlineStr":
            texts[place - 1] = "".join(part.text or "" for part in cell.iter(f"{main}t"))
            continue
        value = cell.find(f"{main}v")
        text = "" if value is None else value.text
        texts[place - 1] = {"0": "no", "1": "yes"}[text] if cell.get("t") == "b" else text
    return texts
