"""Whether an equipment sheet has devices in it yet."""

from __future__ import annotations

from pathlib import Path

from ribway.models.equipment.columns import find_header
from ribway.models.equipment.opening import read_grid
from ribway.models.equipment.row_reader import is_device
from ribway.models.project_faults import ProjectFaults


def is_filled(path: Path) -> bool:
    """Whether a sheet has a row for any device.

    Args:
        path: the sheet.

    Returns:
        False too for a sheet that is not there or cannot be read: whoever plans with it is told why.
    """
    try:
        grid = read_grid(path)
        header, _ = find_header(grid)
    except ProjectFaults:
        return False
    return header is not None and any(is_device(cells, header) for cells in grid.rows[header.row + 1 :])
