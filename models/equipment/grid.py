"""A spreadsheet as cells: what stands where, with what a spreadsheet did to it kept visible."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time

from ribway.models.project_faults import Fault


@dataclass(frozen=True)
class Broken:
    """A cell whose contents are lost.

    Attributes:
        found: what stands there, ``#REF!``.
        why: the rest of a sentence that begins with the cell.
    """

    found: str
    why: str


Cell = str | float | bool | date | time | Broken


@dataclass(frozen=True)
class Grid:
    """The cells of one worksheet.

    Attributes:
        file: the file's path as the user gave it, for faults.
        rows: cells row by row from the sheet's first; empty cells are empty text.
        merged: ranges of merged cells as first row, first column, last row, last column, counted from 0.
        sheet: the worksheet's name; empty in a text file.
    """

    file: str
    rows: tuple[tuple[Cell, ...], ...]
    merged: tuple[tuple[int, int, int, int], ...] = ()
    sheet: str = ""


def written(cell: Cell) -> str:
    """A cell as a person sees it.

    Args:
        cell: the cell.

    Returns:
        Text without blanks around it; numbers with no needless zeros.
    """
    if isinstance(cell, Broken):
        return cell.found
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.12g}"
    return cell.strip() if isinstance(cell, str) else cell.isoformat()


def place_of(row: int, column: str = "") -> str:
    """Where a cell is, for a fault.

    Args:
        row: counted from 1, as spreadsheets do.
        column: the column's header; empty for the row as a whole.

    Returns:
        "row 7, column Amps".
    """
    return f"row {row}, column {column}" if column else f"row {row}"


def fault_at(file: str, row: int, column: str, found: str, accepted: str, message: str) -> Fault:
    """A fault of one cell.

    Args:
        file: the sheet's file.
        row: counted from 1; 0 if it is the whole file.
        column: the column's header; empty for the row as a whole.
        found: what was found.
        accepted: what would have been accepted.
        message: one sentence that says both.

    Returns:
        The fault.
    """
    return Fault(file, place_of(row, column) if row else "", found, accepted, message, row)
