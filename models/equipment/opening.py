"""A sheet's file, read by what it is and not by what its name says."""

from __future__ import annotations

import io
import lzma
import struct
import zipfile
import zlib
from pathlib import Path

from ribway.models.disk_words import disk_reason
from ribway.models.equipment.csv_grid import csv_grid
from ribway.models.equipment.grid import Grid
from ribway.models.equipment.ods_grid import ods_grid
from ribway.models.equipment.xlsx_grid import xlsx_grid
from ribway.models.project_faults import ProjectFaults, whole_file

MOST_BYTES = 10_000_000
MOST_UNPACKED = 100_000_000
SHEET_ENDINGS = (".xlsx", ".ods", ".csv")
ARCHIVE_ERRORS = (
    zipfile.BadZipFile, zlib.error, lzma.LZMAError, NotImplementedError, RuntimeError, EOFError, OSError, ValueError,
    LookupError, struct.error,
)  # fmt: skip
"""What the standard library is known to raise on damaged or locked archives."""
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


def read_grid(path: Path) -> Grid:
    """Read the cells of a sheet.

    Args:
        path: an XLSX, ODS or CSV file.

    Returns:
        The cells of its first worksheet.

    Raises:
        ProjectFaults: missing, unreadable, too big, or of another kind.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = disk_reason(error) if isinstance(error, OSError) else "this is no file name"
        why = (
            "there is no such sheet" if isinstance(error, FileNotFoundError) else f"the sheet cannot be read: {reason}"
        )
        raise ProjectFaults([whole_file(str(path), why, accepted=", ".join(SHEET_ENDINGS))]) from None
    return grid_of(data, str(path))


def grid_of(data: bytes, file: str) -> Grid:
    """Read the cells of a sheet's bytes.

    Args:
        data: the bytes.
        file: what to call the file in faults.

    Returns:
        The cells of the first worksheet.

    Raises:
        ProjectFaults: as for `read_grid`.
    """
    if len(data) > MOST_BYTES:
        message = f"the sheet is bigger than {MOST_BYTES / 1e6:g} MB, which is too big for a list of equipment"
        raise ProjectFaults([whole_file(file, message, accepted=f"{MOST_BYTES / 1e6:g} MB at most")])
    if data.startswith(_OLD_WORKBOOK):
        message = "this is an old .xls workbook, or one with a password: save it as .xlsx, .ods or .csv"
        raise ProjectFaults([whole_file(file, message, accepted=", ".join(SHEET_ENDINGS))])
    if not data.startswith(b"PK\x03\x04"):
        return csv_grid(data, file)
    damaged = whole_file(file, "the file is damaged or has a password: save it from a spreadsheet again, without one")
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        names = set(archive.namelist())
        unpacked = sum(item.file_size for item in archive.infolist())
    except ARCHIVE_ERRORS:
        raise ProjectFaults([damaged]) from None
    if unpacked > MOST_UNPACKED:
        message = f"unpacked, the sheet is bigger than {MOST_UNPACKED / 1e6:g} MB, too big for a list of equipment"
        raise ProjectFaults([whole_file(file, message)])
    try:
        sound = archive.testzip() is None
    except ARCHIVE_ERRORS:
        sound = False
    if not sound:
        raise ProjectFaults([damaged])
    if "xl/workbook.xml" in names:
        return xlsx_grid(data, file)
    if "content.xml" in names:
        return ods_grid(data, file)
    message = "this archive holds no spreadsheet: save the sheet as .xlsx, .ods or .csv"
    raise ProjectFaults([whole_file(file, message, accepted=", ".join(SHEET_ENDINGS))])
