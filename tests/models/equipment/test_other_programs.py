"""Sheets saved by a spreadsheet program and by a second library, read like the plain text they were made from.

The files and how they were made: tests/data/sheets/README.md.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.models.catalogue.loading import load_catalogue
from ribway.models.equipment.opening import grid_of
from ribway.models.equipment.reading import read_rows
from ribway.models.equipment.row import EquipmentRow
from ribway.models.project_faults import Fault

TESTS = Path(__file__).parents[2]
SHEETS = TESTS / "data" / "sheets"
THIRTY = TESTS / "samples" / "projects" / "thirty_rows.csv"


def _read(file: Path) -> tuple[tuple[EquipmentRow, ...], list[Fault]]:
    return read_rows(grid_of(file.read_bytes(), file.name), load_catalogue())


@pytest.mark.parametrize("name", ["spreadsheet_program.ods", "spreadsheet_program.xlsx", "second_library.xlsx"])
def test_the_thirty_rows_are_the_same_whoever_saved_them(name: str) -> None:
    rows, faults = _read(SHEETS / name)
    plain, _ = _read(THIRTY)
    assert faults == []
    assert len(plain) == 30
    assert rows == plain


@pytest.mark.parametrize("name", ["formulas.xlsx", "formulas.ods"])
def test_formulas_count_as_what_they_came_to_and_errors_are_named(name: str) -> None:
    rows, faults = _read(SHEETS / name)
    (fridge,) = rows
    assert (fridge.name, fridge.amps, fridge.place.lengths["back"]) == ("Fridge", "4.5 A", "2.05 m")
    assert [(fault.line, fault.place.split(", ")[-1]) for fault in faults] == [(3, "column Amps"), (4, "column Amps")]
    assert all("formula" in fault.message for fault in faults)
