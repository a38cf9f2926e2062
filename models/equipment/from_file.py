"""The sheet that a project file names, read and put into the project's data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ribway.models.catalogue.loading import load_catalogue
from ribway.models.equipment.columns import Header, find_header
from ribway.models.equipment.expand import Expansion, expand
from ribway.models.equipment.grid import Grid, place_of
from ribway.models.equipment.joining import fed_by_file, join
from ribway.models.equipment.opening import read_grid
from ribway.models.equipment.outline import outline_of
from ribway.models.equipment.reading import read_rows
from ribway.models.equipment.row import EquipmentRow
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.schema import SHEET_KEY


@dataclass(frozen=True)
class Sheet:
    """A sheet as it was read.

    Attributes:
        grid: its cells.
        header: its header row.
        rows: its devices.
        expansion: what they come to in this project.
    """

    grid: Grid
    header: Header
    rows: tuple[EquipmentRow, ...]
    expansion: Expansion


def sheet_path(raw: Mapping[str, Any], folder: Path) -> Path | None:
    """The sheet that a project names.

    Args:
        raw: the project file's data.
        folder: where the project file lies.

    Returns:
        The sheet's path, or None if it names none.
    """
    name = raw.get(SHEET_KEY)
    return folder / name if isinstance(name, str) and name.strip() else None


def read_sheet(path: Path, raw: Mapping[str, Any], arm_m: float | None = None) -> Sheet:
    """Read a project's sheet.

    Args:
        path: the sheet.
        raw: the project's data: for its vehicle, and for boards that rows may name.
        arm_m: length of one arm measure [m].

    Returns:
        The sheet.

    Raises:
        ProjectFaults: every fault that the sheet has, each with its row and column.
    """
    grid, catalogue = read_grid(path), load_catalogue()
    rows, faults = read_rows(grid, catalogue, arm_m)
    header, _ = find_header(grid)
    if header is None:
        raise ProjectFaults(faults)
    own = raw.get("devices")
    devices = [entry for entry in own if isinstance(entry, dict)] if isinstance(own, list) else []
    expansion = expand(
        rows,
        catalogue,
        outline_of(raw.get("vehicle")),
        file=str(path),
        titles=header.titles,
        arm_m=arm_m,
        own=devices,
        fed=fed_by_file(raw),
    )
    # A name that leads nowhere may be that of a row with faults of its own.
    dangling = [fault for fault in expansion.faults if not faults or not _may_follow(fault, header)]
    if faults or dangling:
        raise ProjectFaults([*faults, *dangling])
    return Sheet(grid, header, rows, expansion)


def _may_follow(fault: Fault, header: Header) -> bool:
    return any(fault.place.endswith(f"column {header.title(key)}") for key in ("board", "switch", "circuit"))


def with_sheet(raw: dict[str, Any], folder: Path | None, arm_m: float | None) -> dict[str, Any]:
    """A project's data with the devices of its sheet in it.

    Args:
        raw: the project file's data; stays as it is.
        folder: where the project file lies; None if the data comes from code.
        arm_m: length of one arm measure [m].

    Returns:
        The data, unchanged if it names no sheet.

    Raises:
        ProjectFaults: the sheet cannot be used, or the data comes from code and names one.
    """
    if folder is None or (path := sheet_path(raw, folder)) is None:
        return raw
    return join(raw, read_sheet(path, raw, arm_m).expansion)


def row_place(raw: Mapping[str, Any], folder: Path, names: Sequence[str]) -> tuple[str, str, int] | None:
    """Where in the sheet a thing stands that the project file itself does not have.

    Args:
        raw: the project file's data, without the sheet's.
        folder: where the project file lies.
        names: key path as names, ``devices``, ``fridge``, ``at``.

    Returns:
        The sheet's file, "row 7, column Place" and the row; None if no row of the sheet is meant.
    """
    path = sheet_path(raw, folder)
    if path is None or len(names) < 2 or names[0] not in ("devices", "circuits"):
        return None
    try:
        sheet = read_sheet(path, raw)
    except ProjectFaults:
        return None
    row = sheet.expansion.rows.get(names[1])
    if row is None:
        return None
    column = sheet.header.title("place") if tuple(names[2:3]) == ("at",) else ""
    return str(path), place_of(row, column), row
