"""Cells of an OpenDocument spreadsheet (ISO/IEC 26300), read from its XML.

Readers made for numbers leave out cells that hold an error; here such a cell must be seen.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from xml.etree import ElementTree

from ribway.models.equipment.grid import Broken, Cell, Grid
from ribway.models.project_faults import ProjectFaults, whole_file

_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_CALC = "{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}"
_ERRORS = ("#REF!", "#NAME?", "#VALUE!", "#DIV/0!", "#N/A", "#NUM!", "#NULL!", "Err:")
MOST_ROWS, MOST_COLUMNS = 5000, 200


def ods_grid(data: bytes, file: str) -> Grid:
    """Read the cells of the first table.

    Args:
        data: the file's bytes.
        file: what to call it in faults.

    Returns:
        The cells; formulas by the value that was last computed.

    Raises:
        ProjectFaults: no spreadsheet that can be read.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            root = ElementTree.fromstring(archive.read("content.xml"))
    except (zipfile.BadZipFile, KeyError, ElementTree.ParseError, NotImplementedError, RuntimeError):
        message = "this spreadsheet cannot be read: save it again as .ods, without a password"
        raise ProjectFaults([whole_file(file, message, accepted="an .ods file")]) from None
    table = root.find(f".//{_TABLE}table")
    if table is None:
        raise ProjectFaults([whole_file(file, "this spreadsheet has no table", accepted="a table with rows")])
    rows: list[tuple[Cell, ...]] = []
    merged: list[tuple[int, int, int, int]] = []
    for element in table.iter(f"{_TABLE}table-row"):
        cells = tuple(_cells(element, len(rows), merged))
        # The last row of a sheet is often an empty one, repeated a million times.
        times = _number(element, "number-rows-repeated")
        rows.extend(
            [cells] * min(times, MOST_ROWS - len(rows))
            if any(cell != "" for cell in cells)
            else [()] * min(times, MOST_ROWS - len(rows))
        )
    while rows and not any(cell != "" for cell in rows[-1]):
        rows.pop()
    return Grid(file, tuple(rows), tuple(merged), table.get(f"{_TABLE}name", ""))


def _cells(row: ElementTree.Element, number: int, merged: list[tuple[int, int, int, int]]) -> Iterator[Cell]:
    column = 0
    for element in row:
        if element.tag not in (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell"):
            continue
        high, wide = _number(element, "number-rows-spanned"), _number(element, "number-columns-spanned")
        if high > 1 or wide > 1:
            merged.append((number, column, number + high - 1, column + wide - 1))
        value = _cell(element)
        for _ in range(min(_number(element, "number-columns-repeated"), MOST_COLUMNS - column)):
            yield value
            column += 1


def _number(element: ElementTree.Element, name: str) -> int:
    text = element.get(f"{_TABLE}{name}", "1")
    return int(text) if text.isdigit() else 1


def _cell(element: ElementTree.Element) -> Cell:
    shown = "\n".join(_paragraph(part) for part in element.findall(f"{_TEXT}p")).strip()
    kind = element.get(f"{_OFFICE}value-type", "")
    if element.get(f"{_CALC}value-type") == "error" or (element.get(f"{_TABLE}formula") and shown.startswith(_ERRORS)):
        return Broken(shown, "is an error that a formula gives: mend the formula, or write the value")
    if not kind and element.get(f"{_TABLE}formula"):
        asked = element.get(f"{_TABLE}formula", "")
        return Broken(asked, "is a formula that was never computed: open the file in a spreadsheet and save it")
    match kind:
        case "float" | "percentage" | "currency":
            return float(element.get(f"{_OFFICE}value", "nan"))
        case "boolean":
            return element.get(f"{_OFFICE}boolean-value") == "true"
        case "date":
            return _date(element.get(f"{_OFFICE}date-value", ""))
        case "time":
            return Broken(shown, "is a length of time")
    return shown


def _paragraph(element: ElementTree.Element) -> str:
    """The text of a paragraph; blanks in a row are written as one element with a count."""
    parts = [element.text or ""]
    for child in element:
        if child.tag == f"{_TEXT}s":
            parts.append(" " * int(child.get(f"{_TEXT}c", "1")))
        else:
            parts.append(_paragraph(child))
        parts.append(child.tail or "")
    return "".join(parts)


def _date(text: str) -> Cell:
    try:
        return datetime.fromisoformat(text) if "T" in text else date.fromisoformat(text)
    except ValueError:
        return Broken(text, "is a date")
