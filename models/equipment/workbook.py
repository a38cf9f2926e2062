"""The equipment sheet as a workbook: drop-down lists, a page of explanations, a page of kinds."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, get_args

from ribway.models.catalogue.kinds import Catalogue
from ribway.models.circuits import Supply
from ribway.models.equipment.columns import known_columns
from ribway.models.equipment.table import Change

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

_WIDTHS = {"name": 26, "kind": 30, "place": 34, "board": 20, "circuit": 18, "switch": 20, "notes": 36, "assumed": 44}
_WALLS = '"left,right,roof,floor,bulkhead"'
_YES_NO = '"yes,no"'
_SUPPLIES = f'"{",".join(get_args(Supply))}"'
_HOW = (
    "One row for each thing with a wire. Name, kind and place are enough; whatever is left empty is taken from the",
    "catalogue, and stays marked as assumed until you fill it in and write yes under Confirmed.",
    "Rows that begin with # are ignored, and so are columns whose header ribway does not know: they are yours.",
    "Batteries, boards, switches and panels are things too. What names no board is fed from the nearest one.",
    "A row of the kind zone is no thing but a place: write its name as the place of several things, and they lie there",
    "side by side.",
    "Lights of one wall or zone hang on one cable, behind the switch that they name.",
    "",
)


def workbook_bytes(rows: Sequence[Sequence[str]], catalogue: Catalogue, spare_rows: int = 0) -> bytes:
    """A new workbook.

    Args:
        rows: text of the cells; the first row is the header.
        catalogue: for the list of kinds.
        spare_rows: empty rows that get drop-down lists too.

    Returns:
        The file's bytes.
    """
    # The library is slow to load, and most commands write no sheet.
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Equipment"
    last = len(rows) + spare_rows
    for number, row in enumerate(rows, start=1):
        for column, text in enumerate(row, start=1):
            _put(sheet, number, column, text)
    for number in range(len(rows) + 1, last + 1):
        for column in range(1, len(rows[0]) + 1):
            sheet.cell(number, column).number_format = "@"
    _dress(sheet, rows[0])
    _explanations(book)
    kinds = _kinds(book, catalogue)
    _lists(sheet, rows[0], last, kinds)
    return _saved(book)


def changed_workbook(data: bytes, change: Change) -> bytes:
    """A workbook with a change made; everything else in it stays.

    Args:
        data: the file's bytes.
        change: what is different on its first worksheet.

    Returns:
        The new file's bytes; the same bytes if every cell holds what it should already.
    """
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(data))
    sheet = book.worksheets[0]
    wanted = {**{(change.header, place): title for place, title in change.columns.items()}, **change.cells}
    stale = {at: text for at, text in wanted.items() if (sheet.cell(at[0] + 1, at[1] + 1).value or "") != text}
    for (row, place), text in stale.items():
        _put(sheet, row + 1, place + 1, text)
    return _saved(book) if stale else data


def _saved(book: Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _put(sheet: Worksheet, row: int, column: int, text: str) -> None:
    """Text that stays text: no date is made of 10/3, and no formula of what begins with an equals sign."""
    cell = sheet.cell(row, column)
    cell.number_format = "@"
    cell.value = text or None
    if text:
        cell.data_type = "s"


def _dress(sheet: Worksheet, header: Sequence[str]) -> None:
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    keys = {column.title: column.key for column in known_columns().values()}
    for index, title in enumerate(header, start=1):
        cell = sheet.cell(1, index)
        cell.font = Font(bold=True)
        cell.alignment = Alignment(vertical="top")
        sheet.column_dimensions[get_column_letter(index)].width = _WIDTHS.get(keys.get(title, ""), 12)
    sheet.freeze_panes = "B2"


def _explanations(book: Workbook) -> None:
    from openpyxl.styles import Alignment, Font

    page = book.create_sheet("Explanations")
    for line in _HOW:
        page.append([line])
    page.append(["Column", "What stands in it"])
    for cell in page[page.max_row]:
        cell.font = Font(bold=True)
    for column in known_columns().values():
        page.append([column.title, column.what])
        page.cell(page.max_row, 2).alignment = Alignment(wrap_text=True, vertical="top")
    page.column_dimensions["A"].width = 20
    page.column_dimensions["B"].width = 100


def _kinds(book: Workbook, catalogue: Catalogue) -> str:
    """The page of kinds; returns the range of their names."""
    from openpyxl.styles import Font

    page = book.create_sheet("Kinds")
    page.append(["Kind", "Usual amps", "Start amps", "Leads that come with it", "Notes", "Source"])
    for cell in page[1]:
        cell.font = Font(bold=True)
    for kind in catalogue.kinds.values():
        usual = "from the plate" if kind.plate else " to ".join(dict.fromkeys((kind.amps_low, kind.amps)))
        leads = ", ".join(lead.name for lead in kind.leads)
        page.append([kind.name, usual, kind.start_amps, leads, kind.notes, kind.source])
    page.append(["zone", "", "", "", "no thing but a place: other rows may have its name as theirs", ""])
    for letter, width in zip("ABCDEF", (34, 16, 12, 40, 70, 50), strict=True):
        page.column_dimensions[letter].width = width
    return f"Kinds!$A$2:$A${len(catalogue.kinds) + 2}"


def _lists(sheet: Worksheet, header: Sequence[str], last: int, kinds: str) -> None:
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    titles = {column.key: column.title for column in known_columns().values()}
    names = f"$A$2:$A${last}"
    for key, source in (
        ("kind", kinds), ("wall", _WALLS), ("board", names), ("switch", names), ("supply", _SUPPLIES), ("confirmed", _YES_NO),
    ):  # fmt: skip
        if titles[key] not in header:
            continue
        letter = get_column_letter(list(header).index(titles[key]) + 1)
        # A list helps to choose and hinders nobody: other words are read too.
        choice = DataValidation(type="list", formula1=source, allow_blank=True, showErrorMessage=False)
        choice.add(f"{letter}2:{letter}{max(last, 2)}")
        sheet.add_data_validation(choice)
