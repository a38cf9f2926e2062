"""Sheets as other programmes write them: one workbook library, one OpenDocument library, and plain text, read alike."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from odf.text import P

from ribway.models.catalogue.loading import load_catalogue
from ribway.models.equipment.grid import Broken
from ribway.models.equipment.opening import MOST_BYTES, grid_of, read_grid
from ribway.models.equipment.reading import read_rows
from ribway.models.equipment.row import EquipmentRow
from ribway.models.equipment.workbook import workbook_bytes
from ribway.models.project_faults import ProjectFaults

Value = str | float | bool | date | None
THIRTY = Path(__file__).parents[2] / "samples" / "projects" / "thirty_rows.csv"
TABLE: list[list[Value]] = [
    ["Name", "Kind", "Place", "Amps", "Back (m)", "Confirmed", "Circuit", "Notes"],
    ["Fridge", "Kühlschrank", "right 0.6 m up", 4.5, 2.05, True, 7.0, "two  blanks"],
    ["Fan", "roof fan", "roof", "3 A", "2 m", "no", "", "=sum"],
    [None, None, None, None, None, None, None, None],
    ["Lamp", "light", "roof rear", None, None, None, None, "ünïcode"],
]


def xlsx(table: list[list[Value]]) -> bytes:
    book = openpyxl.Workbook()
    for row, values in enumerate(table, start=1):
        for column, value in enumerate(values, start=1):
            cell = book.worksheets[0].cell(row, column)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def ods_cell(value: Value) -> TableCell:
    if value is None:
        return TableCell()
    if isinstance(value, bool):
        cell = TableCell(valuetype="boolean", booleanvalue=str(value).lower())
    elif isinstance(value, float):
        cell = TableCell(valuetype="float", value=value)
    elif isinstance(value, date):
        cell = TableCell(valuetype="date", datevalue=value.isoformat())
    else:
        cell = TableCell(valuetype="string")
    cell.addElement(P(text=str(value)))
    return cell


def ods_of(rows: list[TableRow]) -> bytes:
    document = OpenDocumentSpreadsheet()
    table = Table(name="Things")
    for row in rows:
        table.addElement(row)
    document.spreadsheet.addElement(table)
    out = io.BytesIO()
    document.write(out)
    return out.getvalue()


def ods(table: list[list[Value]]) -> bytes:
    rows = []
    for values in table:
        row = TableRow()
        for value in values:
            row.addElement(ods_cell(value))
        rows.append(row)
    # As a spreadsheet ends its files: a million empty rows in one element.
    last = TableRow(numberrowsrepeated=1048000)
    last.addElement(TableCell(numbercolumnsrepeated=1024))
    return ods_of([*rows, last])


def text(table: list[list[Value]]) -> bytes:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=";").writerows([["" if value is None else value for value in row] for row in table])
    return out.getvalue().encode("cp1252")


def rows_of(data: bytes) -> tuple[EquipmentRow, ...]:
    rows, faults = read_rows(grid_of(data, "sheet"), load_catalogue())
    assert [str(fault) for fault in faults] == []
    return rows


def faults_of(data: bytes) -> dict[str, str]:
    return {fault.place: fault.message for fault in read_rows(grid_of(data, "sheet"), load_catalogue())[1]}


def test_three_formats_of_two_libraries_and_plain_text_are_read_alike() -> None:
    workbook, document, plain = rows_of(xlsx(TABLE)), rows_of(ods(TABLE)), rows_of(text(TABLE))
    assert [row.name for row in workbook] == ["Fridge", "Fan", "Lamp"]
    assert (workbook[0].amps, workbook[0].circuit, workbook[0].confirmed) == ("4.5 A", "7", True)
    assert dict(workbook[0].place.lengths) == {"up": "0.6 m", "back": "2.05 m"}
    assert [row.row for row in workbook] == [2, 3, 5]

    def gist(rows: tuple[EquipmentRow, ...]) -> list[object]:
        # A number has no written form: 7.0 in text is 7 in a workbook.
        return [
            (row.name, row.kind, row.place, row.amps, row.circuit.removesuffix(".0"), row.confirmed) for row in rows
        ]

    assert gist(document) == gist(workbook)
    assert gist(plain) == gist(workbook)


def test_the_thirty_rows_are_the_same_in_every_format() -> None:
    with THIRTY.open(encoding="utf-8", newline="") as file:
        table: list[list[Value]] = [list(row) for row in csv.reader(file)]
    plain = rows_of(THIRTY.read_bytes())
    assert len(plain) == 30
    assert rows_of(xlsx(table)) == plain
    assert rows_of(ods(table)) == plain
    assert rows_of(workbook_bytes([[str(value) for value in row] for row in table], load_catalogue(), 5)) == plain


def test_a_wrong_ending_does_not_matter(tmp_path: Path) -> None:
    file = tmp_path / "equipment.csv"
    file.write_bytes(xlsx(TABLE))
    assert read_grid(file).rows[1][0] == "Fridge"


@pytest.mark.parametrize("make", [xlsx, ods])
def test_a_date_where_a_current_should_be(make: object) -> None:
    table: list[list[Value]] = [["Name", "Kind", "Place", "Amps"], ["Fan", "roof fan", "roof rear", date(2026, 3, 10)]]
    data = xlsx(table) if make is xlsx else ods(table)
    said = faults_of(data)["row 2, column Amps"]
    assert "2026-03-10" in said
    assert "format the cell as text" in said


@pytest.mark.parametrize("make", [xlsx, ods])
def test_a_number_where_words_should_be(make: object) -> None:
    table: list[list[Value]] = [["Name", "Kind", "Place"], [5.0, True, 2.5], ["Fan", "roof fan", "roof rear"]]
    found = faults_of(xlsx(table) if make is xlsx else ods(table))
    assert list(found) == ["row 2, column Name", "row 2, column Kind", "row 2, column Place"]
    assert "the number 5 stands where Name should be words" in found["row 2, column Name"]
    assert "the yes/no value yes" in found["row 2, column Kind"]


def test_formulas_in_a_workbook() -> None:
    """A formula that gives an error, or that nobody ever computed, is not an empty cell that the catalogue fills."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in (
        ["Name", "Kind", "Place", "Amps"],
        ["Fan", "roof fan", "roof rear", "#REF!"],
        ["Two", "fan", "roof", "=1+2"],
    ):
        sheet.append(row)
    sheet["D2"].data_type = "e"
    out = io.BytesIO()
    book.save(out)
    found = faults_of(out.getvalue())
    assert "#REF!" in found["row 2, column Amps"]
    assert "never computed" in found["row 3, column Amps"]


def test_formulas_in_an_open_document() -> None:
    def row(cell: TableCell) -> TableRow:
        made = TableRow()
        for value in ("Fan", "roof fan", "roof rear"):
            made.addElement(ods_cell(value))
        made.addElement(cell)
        return made

    head = TableRow()
    for title in ("Name", "Kind", "Place", "Amps"):
        head.addElement(ods_cell(title))
    error = TableCell(formula="of:=[.Z9]/0", valuetype="string", stringvalue="")
    error.addElement(P(text="#DIV/0!"))
    good = TableCell(formula="of:=1+2", valuetype="float", value=3)
    good.addElement(P(text="3"))
    grid = grid_of(ods_of([head, row(error), row(TableCell(formula="of:=1+2")), row(good)]), "sheet")
    first, second, third = (line[3] for line in grid.rows[1:])
    assert isinstance(first, Broken)
    assert first.found == "#DIV/0!"
    assert isinstance(second, Broken)
    assert "never computed" in second.why
    assert third == 3.0


def test_merged_cells_of_both_formats_are_named() -> None:
    book = openpyxl.load_workbook(
        io.BytesIO(xlsx([["Name", "Kind", "Place", "Zone"], ["A", "fan", "roof", "bed"], ["B", "fan", "roof", None]]))
    )
    book.worksheets[0].merge_cells("D2:D3")
    out = io.BytesIO()
    book.save(out)
    assert "2 rows and 1 columns are merged" in faults_of(out.getvalue())["row 2, column Zone"]
    head, one, two = TableRow(), TableRow(), TableRow()
    for title in ("Name", "Kind", "Place", "Zone"):
        head.addElement(ods_cell(title))
    for row, name in ((one, "A"), (two, "B")):
        for value in (name, "fan", "roof"):
            row.addElement(ods_cell(value))
    merged = TableCell(numberrowsspanned=2, numbercolumnsspanned=1, valuetype="string")
    merged.addElement(P(text="bed"))
    one.addElement(merged)
    two.addElement(CoveredTableCell())
    assert "2 rows and 1 columns are merged" in faults_of(ods_of([head, one, two]))["row 2, column Zone"]


def test_a_file_that_is_too_big_is_refused_before_it_is_unpacked() -> None:
    with pytest.raises(ProjectFaults, match="bigger than 10 MB"):
        grid_of(b"x" * (MOST_BYTES + 1), "sheet")


def test_a_missing_sheet_is_named(tmp_path: Path) -> None:
    with pytest.raises(ProjectFaults, match="there is no such sheet"):
        read_grid(tmp_path / "none.xlsx")
