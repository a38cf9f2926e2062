"""``ribway sheet``: the equipment of a project as a sheet, notes and own columns kept."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from ribway.models.backup import replace_file
from ribway.models.catalogue.loading import load_catalogue
from ribway.models.disk_words import disk_reason
from ribway.models.equipment.csv_grid import separator_of
from ribway.models.equipment.from_file import Sheet
from ribway.models.equipment.opening import MOST_BYTES as MOST_SHEET_BYTES
from ribway.models.equipment.table import change_of, changed_grid, csv_bytes, fresh_grid, new_rows
from ribway.models.equipment.workbook import changed_workbook, workbook_bytes
from ribway.models.reading import project_file, read_raw
from ribway.outputs import OutputRefusedError
from ribway.speech import GOOD

DEFAULT_NAME = "equipment.xlsx"
ENDINGS = (".xlsx", ".csv")


def run(args: argparse.Namespace) -> int:
    """Write the sheet.

    Args:
        args: ``project``, ``out``.

    Returns:
        The exit code.
    """
    file = project_file(args.project)
    raw, sheet = read_raw(file)
    own = Path(sheet.grid.file) if sheet else None
    target: Path = args.out or own or file.with_name(DEFAULT_NAME)
    if target.suffix.lower() not in ENDINGS:
        raise OutputRefusedError(f"{target}: ribway writes sheets as .xlsx or .csv: name one with --out")
    if target.exists() and (own is None or target.resolve() != own.resolve()):
        raise OutputRefusedError(f"{target}: there is such a file already: move it away, or name another with --out")
    try:
        data = sheet_bytes(raw, sheet, target.suffix.lower())
        backup = replace_file(target, data)
    except OSError as error:
        raise OutputRefusedError(f"{target}: cannot be written: {disk_reason(error)}") from error
    kept = f", what was there is {backup.name}" if backup else ""
    print(f"written to {target}: {len(raw['devices'])} devices{kept}")
    if sheet is None:
        print(f"to use it, write into {file}:  equipment: {target.name}")
    return GOOD


def sheet_bytes(raw: dict[str, Any], sheet: Sheet | None, ending: str) -> bytes:
    """A project's equipment as a file.

    Args:
        raw: the project's data, its sheet in it.
        sheet: the sheet as it was read; None if the project has none.
        ending: ``.xlsx`` or ``.csv``.

    Returns:
        The file's bytes.
    """
    if sheet is None:
        rows = fresh_grid(new_rows(raw, ()))
        return csv_bytes(rows) if ending == ".csv" else workbook_bytes(rows, load_catalogue(), spare_rows=20)
    change = change_of(raw, sheet)
    with Path(sheet.grid.file).open("rb") as file:
        before = file.read(MOST_SHEET_BYTES)
    if ending == ".xlsx":
        if before.startswith(b"PK\x03\x04") and b"xl/workbook.xml" in before:
            return changed_workbook(before, change)
        return workbook_bytes(changed_grid(sheet, change), load_catalogue(), spare_rows=20)
    separator = "," if before.startswith(b"PK\x03\x04") else separator_of(before.decode("utf-8", errors="replace"))
    return csv_bytes(changed_grid(sheet, change), separator)
