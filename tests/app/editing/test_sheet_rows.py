"""Rows of an equipment sheet amended and taken out; read again by openpyxl and the csv module alone."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.comments import Comment

from ribway.editing.sheet_rows import edit_sheet, save_sheet
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import read_project

ROWS = [
    ["My van", "", "", "", "", ""],
    ["Name", "Kind", "Place", "Amps", "Price", "Notes"],
    ["Battery", "house battery", "left 0.6 m back 0.3 m up", "", "900", "in the cupboard"],
    ["Board", "fuse board", "left 0.7 m back 0.8 m up", "", "80", ""],
    ["# later", "", "", "", "", ""],
    ["Fridge", "fridge", "right 2.05 m back 0.6 m up", "4.5 A", "499", "two; three"],
    ["Fan", "roof fan", "roof rear", "", "", ""],
]
RAW: dict[str, Any] = {"ribway": 1, "name": "van", "vehicle": {"preset": "medium-high"}}
AT = {"wall": "left", "back": "2.30 m", "up": "0.70 m"}


def van(folder: Path, name: str) -> tuple[Path, dict[str, Any]]:
    file = folder / name
    if file.suffix == ".csv":
        out = io.StringIO(newline="")
        csv.writer(out, delimiter=";").writerows(ROWS)
        file.write_text(out.getvalue(), encoding="utf-8")
    else:
        book = openpyxl.Workbook()
        sheet = book.active
        for row in ROWS:
            sheet.append(row)
        sheet["F6"].comment = Comment("measured twice", "me")
        sheet.column_dimensions["E"].width = 33
        book.create_sheet("Own")["B2"] = "=1+1"
        book.save(file)
    (folder / "project.yaml").write_text(
        f"ribway: 1\nname: van\nvehicle: {{preset: medium-high}}\nequipment: {name}\n", encoding="utf-8"
    )
    return file, RAW | {"equipment": name}


def cells(file: Path) -> list[list[str]]:
    if file.suffix == ".csv":
        return list(csv.reader(io.StringIO(file.read_text(encoding="utf-8-sig")), delimiter=";"))
    rows = openpyxl.load_workbook(file).worksheets[0].iter_rows(values_only=True)
    return [["" if cell is None else str(cell) for cell in row] for row in rows]


@pytest.mark.parametrize("name", ["equipment.csv", "equipment.xlsx"])
def test_a_row_is_amended_and_all_else_stays(tmp_path: Path, name: str) -> None:
    file, raw = van(tmp_path, name)
    before = file.read_bytes()
    after = edit_sheet(raw, tmp_path, "fridge", {"amps": "5 A", "at": AT, "confirmed": True})
    assert file.read_bytes() == before
    backup = save_sheet(file, before, after)
    assert backup is not None
    assert (backup.name, backup.read_bytes()) == (f"{name}.bak-1", before)
    found = cells(file)
    assert found[5] == ["Fridge", "fridge", "left 2.30 m back 0.70 m up", "5 A", "499", "two; three", "yes"]
    assert found[1] == [*ROWS[1], "Confirmed"]
    others = [0, 2, 3, 4, 6]
    assert [found[i][:6] for i in others] == [ROWS[i] for i in others]
    fridge = next(one for one in read_project(tmp_path / "project.yaml").devices if one.id == "fridge")
    assert (fridge.amps, fridge.confirmed, fridge.at.wall) == (5.0, True, "left")
    if name.endswith("xlsx"):
        book = openpyxl.load_workbook(file)
        assert book.worksheets[0]["F6"].comment.text == "measured twice"
        assert book.worksheets[0].column_dimensions["E"].width == 33
        assert book["Own"]["B2"].value == "=1+1"


@pytest.mark.parametrize("name", ["equipment.csv", "equipment.xlsx"])
def test_a_row_that_is_taken_out_stays_to_be_read_by_people(tmp_path: Path, name: str) -> None:
    file, raw = van(tmp_path, name)
    file.write_bytes(edit_sheet(raw, tmp_path, "fridge", None))
    assert cells(file) == [*ROWS[:5], ["# Fridge", *ROWS[5][1:]], ROWS[6]]
    assert "fridge" not in {one.id for one in read_project(tmp_path / "project.yaml").devices}


def test_places_in_parts_become_one_cell(tmp_path: Path) -> None:
    (tmp_path / "parts.csv").write_text(
        "Name,Kind,Wall,Back,Up\nBattery,house battery,left,0.6 m,0.3 m\nBoard,fuse board,left,0.7 m,0.8 m\n",
        encoding="utf-8",
    )
    (tmp_path / "parts.csv").write_bytes(edit_sheet(RAW | {"equipment": "parts.csv"}, tmp_path, "board", {"at": AT}))
    rows = list(csv.reader(io.StringIO((tmp_path / "parts.csv").read_text(encoding="utf-8-sig"))))
    assert rows[2] == ["Board", "fuse board", "", "", "", "left 2.30 m back 0.70 m up"]
    assert rows[1] == ["Battery", "house battery", "left", "0.6 m", "0.3 m", ""]


def test_what_cannot_be_done_is_said_and_nothing_is_written(tmp_path: Path) -> None:
    file, raw = van(tmp_path, "equipment.csv")
    before = file.read_bytes()
    with pytest.raises(ProjectFaults, match="did you mean fridge"):
        edit_sheet(raw, tmp_path, "frigde", None)
    with pytest.raises(ProjectFaults, match="no column for tail"):
        edit_sheet(raw, tmp_path, "fridge", {"tail": "0.2 m"})
    with pytest.raises(ProjectFaults, match="names no equipment sheet"):
        edit_sheet(RAW, tmp_path, "fridge", None)
    with pytest.raises(ProjectFaults, match="changed by somebody else"):
        save_sheet(file, before + b"x", before)
    assert file.read_bytes() == before
    assert list(tmp_path.glob("*.bak*")) == []
