"""All lists of a plan as one workbook: a sheet for each, its numbers as numbers."""

from __future__ import annotations

import io
import math
import zipfile
from collections.abc import Mapping
from datetime import datetime

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from ribway.models.plan.plan import Plan
from ribway.sheets.csv_file import Value, plain_spaces, plan_marks
from ribway.sheets.page import NOT_READY
from ribway.sheets.paper.record import Grid

MOST_NAME = 31
"""Letters that a sheet's name may have (ECMA-376, 18.2.19 as spreadsheet programs hold it)."""
_HEAD_ROW = 3
_NARROW, _WIDE = 8.0, 60.0
_LINE_PT = 13.5
"""Height of a line [pt]: spreadsheets do not all find it by themselves."""
_ON_ONE_LINE = Alignment(wrap_text=False)
"""Over empty cells to its right, and not cut in a narrow first column."""
_TOP = Alignment(vertical="top")
_WRAPPED = Alignment(vertical="top", wrap_text=True)
_EPOCH = datetime(1980, 1, 1)  # the least that a zip file can say: the bytes depend on nothing but the plan


def workbook_bytes(plan: Plan, grids: Mapping[str, Grid]) -> bytes:
    """The workbook.

    Args:
        plan: the plan; an unfinished one is marked NOT READY over each sheet.
        grids: by the names of the sheets.

    Returns:
        The file's bytes, the same for the same plan.

    Raises:
        ValueError: a name is too long for a sheet.
    """
    book = Workbook()
    book.remove(book.worksheets[0])
    book.properties.creator = "ribway"
    book.properties.title = plan.name
    book.properties.created = book.properties.modified = _EPOCH
    head = " | ".join(f"{key} {value}" for key, value in plan_marks(plan).items() if value)
    for name, grid in grids.items():
        if len(name) > MOST_NAME:
            raise ValueError(f"<{name}> has {len(name)} letters, and a sheet's name has {MOST_NAME} at most")
        _fill(book.create_sheet(name), head, grid, plan.complete)
    out = io.BytesIO()
    book.save(out)
    return _without_clock(out.getvalue())


def _fill(sheet: Worksheet, head: str, grid: Grid, ready: bool) -> None:
    _write(sheet, 1, 1, head)
    sheet.cell(1, 1).font = Font(bold=True, size=12, color="000000" if ready else "8B0000")
    sheet.cell(1, 1).alignment = _ON_ONE_LINE
    if not ready:
        _write(
            sheet, 2, 1, f"{NOT_READY}: this plan is not safe or not finished. Cut, drill and connect nothing by it."
        )
        sheet.cell(2, 1).font = Font(bold=True, size=14, color="8B0000")
        sheet.cell(2, 1).alignment = _ON_ONE_LINE
    for column, key in enumerate(grid.columns, start=1):
        _write(sheet, _HEAD_ROW, column, key)
        cell = sheet.cell(_HEAD_ROW, column)
        cell.font, cell.fill = Font(bold=True), PatternFill("solid", fgColor="D9D9D9")
        texts = [key, *(str(row[column - 1]) for row in grid.rows if row[column - 1] is not None)]
        wide = max(len(line) for text in texts for line in text.split("\n"))
        sheet.column_dimensions[get_column_letter(column)].width = min(_WIDE, max(_NARROW, 1.15 * wide + 2.0))
    for number, row in enumerate(grid.rows, start=_HEAD_ROW + 1):
        for column, value in enumerate(row, start=1):
            _write(sheet, number, column, value)
        lines = max((_lines(value) for value in row if isinstance(value, str)), default=1)
        if lines > 1:
            sheet.row_dimensions[number].height = _LINE_PT * lines
    sheet.freeze_panes = f"B{_HEAD_ROW + 1}"
    last = get_column_letter(max(1, len(grid.columns)))
    sheet.auto_filter.ref = f"A{_HEAD_ROW}:{last}{max(_HEAD_ROW + len(grid.rows), _HEAD_ROW)}"
    sheet.page_setup.orientation, sheet.page_setup.fitToHeight = "landscape", 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_title_rows = f"{_HEAD_ROW}:{_HEAD_ROW}"


def _lines(text: str) -> int:
    """Lines that a wrapped text takes in a column of the greatest width."""
    return sum(max(1, math.ceil(1.15 * len(line) / _WIDE)) for line in text.split("\n"))


def _write(sheet: Worksheet, row: int, column: int, value: Value) -> None:
    """A value as what it is; a text is never taken for a formula."""
    written = ("yes" if value else "no") if isinstance(value, bool) else value
    if written is None:
        return
    place = sheet.cell(row, column, written)
    place.alignment = _TOP
    if isinstance(value, str):
        place.value = plain_spaces(value)
        place.data_type = "s"
        if len(value) > _WIDE or "\n" in value:
            place.alignment = _WRAPPED


def _without_clock(data: bytes) -> bytes:
    """The same archive with one date on all its parts, the date of saving in it too."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            part = zipfile.ZipInfo(info.filename, _EPOCH.timetuple()[:6])
            part.compress_type, part.external_attr = zipfile.ZIP_DEFLATED, 0o600 << 16
            content = old.read(info.filename)
            if info.filename == "docProps/core.xml":
                content = _CORE
            new.writestr(part, content)
    return out.getvalue()


_CORE = (
    b"<?xml version='1.0' encoding='UTF-8'?><cp:coreProperties "
    b'xmlns:cp="http://schemas.openxmlformats.org/package/2006/metadata/core-properties" '
    b'xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:creator>ribway</dc:creator></cp:coreProperties>'
)
