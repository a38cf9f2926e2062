"""Cells of an XLSX file, with what formulas left behind."""

from __future__ import annotations

import io
import zipfile
from datetime import date, time, timedelta
from xml.etree.ElementTree import ParseError

from ribway.models.equipment.grid import Broken, Cell, Grid
from ribway.models.project_faults import ProjectFaults, whole_file

_READ_ERRORS = (
    zipfile.BadZipFile, ParseError, LookupError, ValueError, TypeError, AttributeError, NotImplementedError, RuntimeError,
    EOFError, OSError,
)  # fmt: skip
"""What openpyxl is known to raise on damaged files."""


def xlsx_grid(data: bytes, file: str) -> Grid:
    """Read the cells of the first worksheet.

    Args:
        data: the file's bytes.
        file: what to call it in faults.

    Returns:
        The cells; formulas by the value that was last computed.

    Raises:
        ProjectFaults: no workbook that can be read.
    """
    # The library is slow to load, and most commands read no sheet.
    import openpyxl
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        values = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
        formulas = openpyxl.load_workbook(io.BytesIO(data))
    except (*_READ_ERRORS, InvalidFileException):
        message = "this workbook is damaged inside: save it from a spreadsheet again as .xlsx"
        raise ProjectFaults([whole_file(file, message, accepted="an .xlsx file")]) from None
    if not values.worksheets:
        raise ProjectFaults([whole_file(file, "this workbook has no worksheet", accepted="a worksheet with rows")])
    sheet, asked = values.worksheets[0], formulas.worksheets[0]
    rows = tuple(
        tuple(
            _cell(cell.value, cell.data_type, other.data_type, other.value) for cell, other in zip(*pair, strict=True)
        )
        for pair in zip(sheet.iter_rows(), asked.iter_rows(), strict=True)
    )
    merged = tuple(
        (span.min_row - 1, span.min_col - 1, span.max_row - 1, span.max_col - 1) for span in sheet.merged_cells.ranges
    )
    return Grid(file, rows, merged, sheet.title)


def _cell(value: object, kind: str, asked_kind: str, asked: object) -> Cell:
    if kind == "e":
        return Broken(str(value), "is an error that a formula gives: mend the formula, or write the value")
    if value is None:
        if asked_kind == "f":
            return Broken(
                str(asked), "is a formula that was never computed: open the file in a spreadsheet and save it"
            )
        return ""
    if isinstance(value, bool | date | time):
        return value
    if isinstance(value, int | float):
        return float(value)
    if isinstance(value, timedelta):
        return Broken(str(value), "is a length of time")
    return str(value).strip()
