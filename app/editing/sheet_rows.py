"""Edits of the equipment sheet that a project names: a row amended or taken out, notes and own columns kept."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ribway.editing.changes import Raw
from ribway.models.backup import replace_file
from ribway.models.equipment.columns import known_columns
from ribway.models.equipment.csv_grid import separator_of
from ribway.models.equipment.from_file import Sheet, read_sheet, sheet_path
from ribway.models.equipment.grid import written
from ribway.models.equipment.opening import MOST_BYTES
from ribway.models.equipment.table import Change, changed_grid, csv_bytes
from ribway.models.equipment.thing import place_words_of
from ribway.models.equipment.workbook import changed_workbook
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault, ProjectFaults

ENDINGS = (".xlsx", ".csv")
IGNORED = "# "
"""What a row's name begins with that is in the sheet and no longer in the plan."""
_PLACE = ("wall", "back", "up", "left", "right")
_COLUMNS = ("name", "kind", "amps", "watts", "start_amps", "supply", "zone", "notes")


def take_out_row(sheet: Sheet, device: str) -> Change:
    """Take a device out of a sheet: its row stays with all that is written in it, marked so that it is not read.

    Args:
        sheet: the sheet as it was read.
        device: the device's id.

    Returns:
        The change.

    Raises:
        ProjectFaults: no row of the sheet is that device.
    """
    row = _row(sheet, device)
    place = sheet.header.places["name"]
    return Change(sheet.header.row, {}, {(row, place): IGNORED + written(sheet.grid.rows[row][place])})


def amend_row(sheet: Sheet, device: str, values: Mapping[str, Any]) -> Change:
    """Write values of a device into its row.

    Args:
        sheet: the sheet as it was read.
        device: the device's id.
        values: text by key as in the project file: ``name``, ``kind``, ``amps``, ``watts``, ``start_amps``, ``supply``,
            ``zone``, ``notes``, ``confirmed`` (yes or no), ``at`` (a place on a wall); empty or None empties the cell.

    Returns:
        The change; a column that the sheet lacks is made.

    Raises:
        ProjectFaults: no row of the sheet is that device, or a value has no column.
    """
    row = _row(sheet, device)
    texts = {key: str(value) if value else "" for key, value in values.items() if key in _COLUMNS}
    if "confirmed" in values:
        texts["confirmed"] = "yes" if values["confirmed"] else ""
    if isinstance(values.get("at"), Mapping):
        # Where the sheet parts wall and measures, the whole place goes into one cell, and the others are emptied.
        texts |= {key: "" for key in _PLACE if key in sheet.header.places} | {"place": place_words_of(values["at"])}
    odd = sorted(set(values) - set(_COLUMNS) - {"confirmed", "at"})
    if odd:
        message = f"an equipment sheet has no column for {odd[0]}: write it into the project file"
        raise ProjectFaults([Fault(sheet.grid.file, f"row {row + 1}", odd[0], ", ".join(_COLUMNS), message)])
    places, width = dict(sheet.header.places), max(len(cells) for cells in sheet.grid.rows)
    columns: dict[int, str] = {}
    for key, text in texts.items():
        if text and key not in places:
            places[key], columns[width] = width, known_columns()[key].title
            width += 1
    return Change(sheet.header.row, columns, {(row, places[key]): text for key, text in texts.items() if key in places})


def changed_bytes(sheet: Sheet, change: Change, before: bytes) -> bytes:
    """A sheet's file with a change made.

    Args:
        sheet: the sheet as it was read.
        change: the change.
        before: the file's bytes.

    Returns:
        The new bytes; of a workbook everything else stays, of a text file its separator and all cells.

    Raises:
        ProjectFaults: it is neither XLSX nor CSV.
    """
    path = Path(sheet.grid.file)
    if before.startswith(b"PK\x03\x04") and b"xl/workbook.xml" in before:
        return changed_workbook(before, change)
    if path.suffix.lower() == ".csv" and not before.startswith(b"PK\x03\x04"):
        return csv_bytes(changed_grid(sheet, change), separator_of(before.decode("utf-8", errors="replace")))
    message = "ribway changes sheets that are .xlsx or .csv: save it as one of them, or change it there yourself"
    raise ProjectFaults([Fault(str(path), "", path.suffix, ", ".join(ENDINGS), message)])


def edit_sheet(
    raw: Raw, folder: Path, device: str, values: Mapping[str, Any] | None, arm_m: float | None = None
) -> bytes:
    """The file of a project's sheet with a row amended or taken out.

    Args:
        raw: the project file's data.
        folder: where it lies.
        device: the device's id.
        values: as for `amend_row`; None takes the row out.
        arm_m: length of one arm measure [m].

    Returns:
        The sheet's new bytes; another reading of them finds what was there, changed so.

    Raises:
        ProjectFaults: the project names no sheet, the sheet cannot be used, or has no such row.
    """
    path = sheet_path(raw, folder)
    if path is None:
        raise ProjectFaults([Fault("", "equipment", "", "", "the project names no equipment sheet")])
    sheet = read_sheet(path, raw, arm_m)
    change = take_out_row(sheet, device) if values is None else amend_row(sheet, device, values)
    with path.open("rb") as file:
        return changed_bytes(sheet, change, file.read(MOST_BYTES))


def save_sheet(path: Path, before: bytes, after: bytes) -> Path | None:
    """Put a changed sheet in its file's place, what was there kept beside it.

    Args:
        path: the sheet.
        before: what the change started from.
        after: the new bytes.

    Returns:
        The backup; None if there was nothing to write.

    Raises:
        ProjectFaults: the sheet is no longer what the change started from.
        OSError: the folder cannot be written to; the file is as it was.
    """
    if path.read_bytes() != before:
        message = "the sheet was changed by somebody else meanwhile: nothing was written; look at it, and do it again"
        raise ProjectFaults([Fault(str(path), "", "", "", message)])
    return replace_file(path, after)


def _row(sheet: Sheet, device: str) -> int:
    """Position of a device's row, counted from 0."""
    rows = {one.id: one.row - 1 for one in sheet.rows}
    if device in rows:
        return rows[device]
    meant = nearest_word(device, list(rows))
    advice = f"did you mean {meant}?" if meant else f"there are {', '.join(rows) or 'none'}"
    message = f"no row of the sheet is {device}: {advice}"
    raise ProjectFaults([Fault(sheet.grid.file, "", device, ", ".join(rows), message)])
