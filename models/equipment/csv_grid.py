"""Cells of a text file: comma, semicolon or tab, UTF-8 or the older Western encoding."""

from __future__ import annotations

import csv
import io
from collections import Counter

from ribway.models.equipment.grid import Grid
from ribway.models.project_faults import ProjectFaults, whole_file

_SEPARATORS = (",", ";", "\t")
_LINES_LOOKED_AT = 30


def csv_grid(data: bytes, file: str) -> Grid:
    """Read the cells of a text file.

    Args:
        data: the file's bytes.
        file: what to call it in faults.

    Returns:
        The cells, all of them text.

    Raises:
        ProjectFaults: a binary file, or quotes that do not close.
    """
    text = _decoded(data, file)
    # A newline inside a quoted cell moves later rows down, as a spreadsheet would not: rows are counted, not lines.
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator_of(text), strict=True)
    try:
        rows = tuple(tuple(cell.strip() for cell in row) for row in reader)
    except csv.Error:
        message = "this is no table of cells: check the quotation marks, or save it from a spreadsheet again"
        raise ProjectFaults([whole_file(file, message, line=reader.line_num)]) from None
    return Grid(file, rows)


def separator_of(text: str) -> str:
    """What parts the cells of a text file.

    Args:
        text: the file's text.

    Returns:
        Of comma, semicolon and tab the one that stands in most of the first lines outside quotation marks, and there
        most often as many times: a decimal comma stands in some lines only.
    """
    if text[:4].lower() == "sep=" and text[4:5] in _SEPARATORS:
        return text[4]
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip('"').startswith("#")]
    counts = [Counter(_outside_quotes(line)) for line in lines[:_LINES_LOOKED_AT]]

    def merit(sign: str) -> tuple[int, int]:
        most = Counter(count[sign] for count in counts if count[sign]).most_common(1)
        return (most[0][1], most[0][0]) if most else (0, 0)

    return max(_SEPARATORS, key=lambda sign: (*merit(sign), sign == ";"))


def _outside_quotes(line: str) -> str:
    return "".join(line.split('"')[::2])


def _decoded(data: bytes, file: str) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            return data.decode("utf-16")
        except UnicodeDecodeError:
            data = b"\0"
    if b"\0" in data:
        message = "this is a binary file, not a sheet: save it as .xlsx, .ods or .csv"
        raise ProjectFaults([whole_file(file, message, accepted=".xlsx, .ods or .csv")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Five bytes have no meaning in Windows-1252; Latin-1 gives every byte one.
        try:
            return data.decode("cp1252")
        except UnicodeDecodeError:
            return data.decode("latin-1")
