"""``ribway new``: from an empty folder to a plan and a cut list."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from ruamel.yaml import YAML

from ribway.arguments import PRESETS
from ribway.cli import main
from ribway.models.catalogue.loading import load_catalogue
from ribway.models.equipment.assumptions import assumptions
from ribway.models.equipment.opening import read_grid
from ribway.models.equipment.outline import presets
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import read_project
from ribway.router.planner import plan_project

THIRTY = Path(__file__).parents[1] / "samples" / "projects" / "thirty_rows.csv"


def test_it_makes_a_project_file_and_two_sheets(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / "my van"
    assert main(["new", str(folder)]) == 0
    assert sorted(item.name for item in folder.iterdir()) == ["equipment.csv", "equipment.xlsx", "project.yaml"]
    raw = YAML(typ="safe", pure=True).load(folder / "project.yaml")
    assert (raw["name"], raw["vehicle"]["preset"], raw["shop"]["units"]) == ("my van", "medium-high", "metric")
    assert raw["equipment"] == "equipment.xlsx"
    sheets = [
        [row for row in read_grid(folder / name).rows if any(row)] for name in ("equipment.xlsx", "equipment.csv")
    ]
    assert sheets[0] == sheets[1]
    assert len(sheets[0]) == 4


def test_the_placeholders_are_no_devices(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "van")]) == 0
    with pytest.raises(ProjectFaults, match=r"equipment\.xlsx: row 1: .*no device"):
        read_project(tmp_path / "van" / "project.yaml")


def test_the_workbook_offers_lists_and_explains_itself(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "van"), "--rows", "7"]) == 0
    book = openpyxl.load_workbook(tmp_path / "van" / "equipment.xlsx")
    sheet = book["Equipment"]
    header = {cell.value: cell.column_letter for cell in sheet[1]}
    lists = {str(one.sqref).split(":")[0]: one for one in sheet.data_validations.dataValidation}
    assert set(lists) == {f"{header[title]}2" for title in ("Kind", "Wall", "Board", "Switch", "Supply", "Confirmed")}
    assert str(lists[f"{header['Wall']}2"].formula1) == '"left,right,roof,floor,bulkhead"'
    assert str(lists[f"{header['Kind']}2"].sqref).endswith("11"), "header, three placeholders, seven rows"
    offered = [cell.value for cell in book["Kinds"]["A"][1:]]
    assert offered == [*load_catalogue().kinds, "zone"]
    explained = {row[0].value for row in book["Explanations"].iter_rows()}
    assert set(header) <= explained
    assert {cell.number_format for cell in sheet["A"] + sheet["B"]} == {"@"}, "text, so that 10/3 stays 10/3"


@pytest.mark.parametrize("units", ["metric", "feet and inches"])
@pytest.mark.parametrize("preset", PRESETS)
def test_every_new_project_takes_rows_and_remarks_that_are_taken_in(preset: str, units: str, tmp_path: Path) -> None:
    """The lines that are only remarks in the new file work when their mark is taken away."""
    folder = tmp_path / "van"
    assert main(["new", str(folder), "--preset", preset, "--units", units]) == 0
    (folder / "equipment.csv").write_text(
        "Name,Kind,Place\nBattery,house battery,left low\nBoard,fuse board,left low\nFridge,fridge,right rear low\n",
        encoding="utf-8",
    )
    file = folder / "project.yaml"
    text = file.read_text(encoding="utf-8").replace("equipment: equipment.xlsx ", "equipment: equipment.csv ")
    for remark in ("# parameters:", "#   length:", "#   waist_width:", "#   roof_edge_height:"):
        assert remark in text
        text = text.replace(
            remark, remark.replace("# ", "", 1).replace("#   ", "  ", 1) if remark[2] != " " else f"  {remark[4:]}"
        )
    for remark in ("# devices:", "#   - {id: fridge, amps", "# circuits:", "#   - {id: fridge, fuse"):
        assert remark in text
        text = text.replace(remark, remark[2:])
    file.write_text(text, encoding="utf-8")
    project = read_project(file)
    assert (project.vehicle.preset, project.shop.units) == (preset, units)
    assert set(project.vehicle.parameters) == {"length", "waist_width", "roof_edge_height"}
    (fridge,) = [device for device in project.devices if device.id == "fridge"]
    assert fridge.amps == 4.2


def test_the_presets_offered_are_those_there_are() -> None:
    assert set(PRESETS) == set(presets())


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "letters.txt").write_text("dear", encoding="utf-8")
    assert main(["new", str(tmp_path)]) == 2
    assert "letters.txt" in capsys.readouterr().err
    assert [item.name for item in tmp_path.iterdir()] == ["letters.txt"]
    assert main(["new", str(tmp_path / "letters.txt")]) == 2
    assert "this is no folder" in capsys.readouterr().err


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    folder = tmp_path / "empty"
    folder.mkdir()
    assert main(["new", str(folder)]) == 0
    assert (folder / "project.yaml").is_file()


@pytest.mark.parametrize("words", [["--preset", "tall"], ["--rows", "0"], ["--rows", "many"], ["--units", "cubits"]])
def test_wrong_words_end_with_code_2(words: list[str], tmp_path: Path) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["new", str(tmp_path / "van"), *words])
    assert ended.value.code == 2
    assert not (tmp_path / "van").exists()


def test_a_preset_and_thirty_rows_of_three_cells_give_a_whole_plan(tmp_path: Path) -> None:
    folder = tmp_path / "van"
    assert main(["new", str(folder)]) == 0
    (folder / "equipment.csv").write_bytes(THIRTY.read_bytes())
    file = folder / "project.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("equipment.xlsx ", "equipment.csv "), encoding="utf-8")
    project = read_project(file)
    assert len(project.devices) == 30
    plan = plan_project(project, folder)
    assert plan.complete
    assert [finding.message for finding in plan.findings if finding.level == "error"] == []
    reached = {end for run in plan.runs for end in (run.from_, run.to)}
    assert {device.id for device in project.devices} <= reached, "every thing has a wire"
    assert all(run.cut_m > 0 for run in plan.runs)
    by_circuit = {run.circuit for run in plan.runs}
    assert {circuit.id for circuit in project.circuits} <= by_circuit
    # Nothing of it is confirmed, and all of it is listed.
    listed = {one.about for one in assumptions(project)}
    assert {device.id for device in project.devices if device.amps is not None} <= listed
    rough = [row.split(",")[0] for row in THIRTY.read_text(encoding="utf-8").splitlines()[1:] if " m " not in row]
    assert {one.name for one in assumptions(project) if one.what == "place"} == set(rough)
