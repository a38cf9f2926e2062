"""``ribway sheet``: a project's equipment as a sheet, which read again is the same project."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from ribway.cli import main
from ribway.models.project import Project
from ribway.models.reading import read_project

ROOT = Path(__file__).parents[2]
SHEET = """\
My van;;;;;
Name;Art;Ort;Strom (A);Preis;Bemerkung
Battery;house battery;left 0.6 m back 0.3 m up;;900;im Schrank
Board;fuse board;left 0.7 m back 0.8 m up;;80;
# later;;;;;
Fridge;Kühlschrank;right 2.05 m back 0.6 m up;4,5;499;"zwei; drei"
Fan;roof fan;roof rear;;;
"""
PROJECT = "ribway: 1\nname: van\nvehicle: {preset: medium-high}\n"


def project_in(folder: Path, sheet: str = "equipment.csv", more: str = "") -> Path:
    file = folder / "project.yaml"
    file.write_text(f"{PROJECT}equipment: {sheet}\n{more}", encoding="utf-8")
    return file


@pytest.fixture
def van(tmp_path: Path) -> Path:
    (tmp_path / "equipment.csv").write_text(SHEET, encoding="cp1252")
    return project_in(tmp_path)


def gist(project: Project) -> dict[str, Any]:
    return project.model_dump(exclude={"equipment"})


@pytest.mark.parametrize("name", ["back.csv", "back.xlsx"])
def test_a_sheet_written_and_read_again_is_the_same_project(van: Path, name: str) -> None:
    before = read_project(van)
    assert main(["sheet", str(van), "--out", str(van.parent / name)]) == 0
    project_in(van.parent, name)
    assert gist(read_project(van)) == gist(before)


def test_writing_it_in_place_keeps_notes_own_columns_and_remarks(van: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = read_project(van)
    assert main(["sheet", str(van)]) == 0
    assert "equipment.csv.bak-1" in capsys.readouterr().out
    assert (van.parent / "equipment.csv.bak-1").read_text(encoding="cp1252") == SHEET
    text = (van.parent / "equipment.csv").read_text(encoding="utf-8-sig")
    lines = text.splitlines()
    assert lines[1] == "Name;Art;Ort;Strom (A);Preis;Bemerkung;Assumed by ribway"
    assert lines[2].startswith("Battery;house battery;left 0.6 m back 0.3 m up;;900;im Schrank;")
    assert lines[4].startswith("# later")
    assert lines[5].startswith(
        'Fridge;Kühlschrank;right 2.05 m back 0.6 m up;4,5;499;"zwei; drei";"start amps 15 A; fuse 15 A"'
    )
    assert "place roof" in lines[6]
    assert "amps 5 A" in lines[6]
    assert gist(read_project(van)) == gist(before)
    assert main(["sheet", str(van)]) == 0
    assert (van.parent / "equipment.csv").read_text(encoding="utf-8-sig") == text
    assert not (van.parent / "equipment.csv.bak-2").exists(), "nothing changed, so nothing was written"


def test_devices_of_the_project_file_become_rows(van: Path) -> None:
    more = (
        "devices:\n  - {id: L9, name: Map light, amps: 0.2 A, at: {wall: roof, back: 0.6 m}}\n"
        "circuits:\n  - {id: C9, name: Map light, from: board, to: [L9]}\n"
    )
    project_in(van.parent, "equipment.csv", more)
    before = read_project(van)
    assert main(["sheet", str(van), "--out", str(van.parent / "all.csv")]) == 0
    last = (van.parent / "all.csv").read_text(encoding="utf-8-sig").splitlines()[-1]
    assert last.startswith("Map light;other;roof 0.6 m back;0.2 A;")
    assert "L9" in last
    project_in(van.parent, "all.csv", more)
    after = read_project(van)
    assert (after.devices, after.circuits, after.runs) == (before.devices, before.circuits, before.runs)


def test_a_workbook_keeps_its_other_pages_formats_and_formulas(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in (["Name", "Kind", "Place", "Price"], ["Battery", "house battery", "left 0.6 m back 0.3 m up", 900]):
        sheet.append(row)
    sheet.append(["Board", "fuse board", "left low", "=D2*2"])
    sheet["A2"].font = openpyxl.styles.Font(bold=True)
    book.create_sheet("Notes")["A1"] = "mine"
    book.save(tmp_path / "equipment.xlsx")
    file = project_in(tmp_path, "equipment.xlsx")
    before = read_project(file)
    assert main(["sheet", str(file)]) == 0
    again = openpyxl.load_workbook(tmp_path / "equipment.xlsx")
    assert again["Notes"]["A1"].value == "mine"
    assert (again.worksheets[0]["D3"].value, again.worksheets[0]["D2"].value) == ("=D2*2", 900)
    assert again.worksheets[0]["A2"].font.bold
    assert again.worksheets[0]["E1"].value == "Assumed by ribway"
    written = (tmp_path / "equipment.xlsx").read_bytes()
    assert main(["sheet", str(file)]) == 0
    assert (tmp_path / "equipment.xlsx").read_bytes() == written, "nothing to change, so nothing is written"
    assert gist(read_project(file)) == gist(before)


@pytest.mark.parametrize("demo", ["survey-van", "inch-van"])
@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_project_without_a_sheet_gets_one_that_changes_nothing(demo: str, ending: str, tmp_path: Path) -> None:
    folder = tmp_path / demo
    shutil.copytree(ROOT / "docs" / "demo" / demo, folder)
    file = folder / "project.yaml"
    before = read_project(file)
    assert main(["sheet", str(folder), "--out", str(folder / f"all.{ending}")]) == 0
    file.write_text(file.read_text(encoding="utf-8") + f"\nequipment: all.{ending}\n", encoding="utf-8")
    after = read_project(file)
    # But for the studs of lugs, which only the catalogue knows and which are marked as assumed.
    studs = {device.id for device in after.devices if device.stud is not None} - {
        device.id for device in before.devices if device.stud is not None
    }
    assert studs == {one.about for one in after.assumed if one.what == "stud"}
    devices = tuple(one.model_copy(update={"stud": None}) if one.id in studs else one for one in after.devices)
    assert (devices, after.circuits, after.runs) == (before.devices, before.circuits, before.runs)


def test_changing_one_row_changes_that_device_only(van: Path) -> None:
    before = read_project(van)
    sheet = van.parent / "equipment.csv"
    sheet.write_text(SHEET.replace("roof rear", "roof front"), encoding="cp1252")
    after = read_project(van)
    changed = [a.id for a, b in zip(before.devices, after.devices, strict=True) if a != b]
    assert changed == ["fan"]
    assert after.circuits == before.circuits


def test_no_file_is_overwritten_that_is_not_the_projects_sheet(van: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = van.parent / "letters.xlsx"
    other.write_bytes(b"dear")
    assert main(["sheet", str(van), "--out", str(other)]) == 2
    assert "there is such a file already" in capsys.readouterr().err
    assert other.read_bytes() == b"dear"
    assert main(["sheet", str(van), "--out", str(van.parent / "all.ods")]) == 2
    assert ".xlsx or .csv" in capsys.readouterr().err
    assert main(["sheet", str(van), "--out", str(van.parent / "none" / "all.csv")]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_a_text_that_looks_like_a_formula_stays_text(tmp_path: Path) -> None:
    sheet = "Name,Kind,Place,Notes\nBattery,house battery,left low,=1+1\nBoard,fuse board,left low,\n"
    (tmp_path / "equipment.csv").write_text(sheet, encoding="utf-8")
    assert main(["sheet", str(project_in(tmp_path)), "--out", str(tmp_path / "all.xlsx")]) == 0
    cell = openpyxl.load_workbook(tmp_path / "all.xlsx").worksheets[0]["D2"]
    assert (cell.value, cell.data_type) == ("=1+1", "s")


EDITS: dict[str, tuple[str, str, set[str], set[str]]] = {
    "another place": ("roof rear", "roof front", {"fan"}, set()),
    "another current": (";4,5;", ";5,5;", {"fridge"}, set()),
    "another board's name": ("Board;fuse", "Board 2;fuse", {"board", "board-2"}, {"board", "board-2", "fridge", "fan"}),
    "a row more": (
        "Fan;roof fan",
        "Lamp;reading light;left rear high;;12;new\nFan;roof fan",
        {"lamp"},
        {"left.lights"},
    ),
    "a row less": ("Fan;roof fan;roof rear;;;\n", "", {"fan"}, {"fan"}),
}


@pytest.mark.parametrize(("old", "new", "devices", "circuits"), EDITS.values(), ids=list(EDITS))
def test_reading_an_edited_sheet_again_changes_what_was_edited_and_keeps_notes(
    van: Path, old: str, new: str, devices: set[str], circuits: set[str]
) -> None:
    before = read_project(van)
    assert old in SHEET
    sheet = van.parent / "equipment.csv"
    sheet.write_text(SHEET.replace(old, new), encoding="cp1252")
    after = read_project(van)
    assert _differing(before.devices, after.devices) == devices
    assert _differing(before.circuits, after.circuits) == circuits
    assert main(["sheet", str(van)]) == 0
    kept = sheet.read_text(encoding="utf-8-sig")
    assert gist(read_project(van)) == gist(after)
    for line in SHEET.replace(old, new).splitlines():
        cells = line.rstrip(";")
        assert cells in kept, "every cell of the user's own stays, notes, prices and remarks among them"


def _differing(before: Any, after: Any) -> set[str]:
    one, other = ({thing.id: thing for thing in things} for things in (before, after))
    return {name for name in {*one, *other} if one.get(name) != other.get(name)}
