"""A project file that names a sheet: the sheet's devices in it, its own word before the sheet's."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ribway.models.alternatives import alternative_project
from ribway.models.equipment.assumptions import assumptions
from ribway.models.named_faults import faults_at_names
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_data, read_project
from ribway.models.schema import project_schema

MakeProject = Callable[..., Path]
SHEET = """\
Name,Kind,Place,Amps,Switch
Battery,house battery,left 0.6 m back 0.3 m up,,
Board,fuse board,left 0.7 m back 0.8 m up,,
Fridge,fridge,right 2.05 m back 0.6 m up,,
Fan,roof fan,roof rear,2 A,
Lamp 1,light,roof front,,S
Lamp 2,light,roof rear,,S
S,light switch,right 1.74 m back 1.2 m up,,
"""


def test_the_sheets_devices_are_the_projects(make_project: MakeProject) -> None:
    project = read_project(make_project(SHEET))
    assert [device.id for device in project.devices] == ["battery", "board", "fridge", "fan", "lamp-1", "lamp-2", "s"]
    assert {circuit.id for circuit in project.circuits} == {"board", "fridge", "fan", "s.lights"}
    assert project.equipment == "equipment.csv"


def test_the_file_changes_single_values_of_the_sheets_devices(make_project: MakeProject) -> None:
    more = (
        "devices:\n  - {id: fan, watts: 40 W, confirmed: true, at: {back: 3.0 m}}\n  - {id: fridge, amps: 4 A}\n"
        "circuits:\n  - {id: fridge, fuse: 10 A}\n"
    )
    project = read_project(make_project(SHEET, more))
    devices = {device.id: device for device in project.devices}
    assert len(devices) == 7
    assert (devices["fan"].watts, devices["fan"].amps, devices["fan"].at.wall, devices["fan"].at.back) == (
        40.0,
        None,
        "roof",
        3.0,
    )
    assert (devices["fridge"].amps, devices["fridge"].start_amps) == (4.0, 15.0)
    (fridge,) = [circuit for circuit in project.circuits if circuit.id == "fridge"]
    assert (fridge.fuse, fridge.loads) == (10.0, ("fridge",))
    # What the file says is no longer assumed from the catalogue, and the place is no longer a rough one.
    assert {(one.about, one.what) for one in project.assumed if one.about in ("fan", "fridge")} == {
        ("fridge", "start_amps")
    }


def test_a_load_that_the_file_feeds_is_not_fed_twice(make_project: MakeProject) -> None:
    more = "circuits:\n  - {id: C1, name: Lamp, from: board, to: [lamp-1]}\n"
    project = read_project(make_project(SHEET, more))
    feeding = [circuit.id for circuit in project.circuits if "lamp-1" in circuit.loads]
    assert feeding == ["C1"]
    (rest,) = [circuit for circuit in project.circuits if circuit.id == "s.lights"]
    assert rest.loads == ("s", "lamp-2"), "the other lamp keeps its cable"


def test_a_row_may_hang_on_a_board_of_the_file(make_project: MakeProject) -> None:
    more = (
        "devices:\n  - {id: rear, name: Rear board, kind: board, at: {wall: left, back: 3.2 m, up: 0.8 m}}\n"
        "circuits:\n  - {id: M2, name: Feeder, from: board, to: [rear]}\n"
    )
    project = read_project(make_project(SHEET.replace("roof rear,2 A,", "roof 3.4 m back,2 A,"), more))
    assert {circuit.id: circuit.source for circuit in project.circuits}["fan"] == "rear"


def test_alternatives_change_what_stands_in_the_sheet(make_project: MakeProject) -> None:
    more = "alternatives:\n  - {name: less, change: {devices: {fan: {amps: 1 A}}}}\n"
    file = make_project(SHEET, more)
    amps = {device.id: device.amps for device in alternative_project(file, "less").devices}
    assert amps["fan"] == 1.0
    assert {device.id: device.amps for device in read_project(file).devices}["fan"] == 2.0


def test_faults_of_sheet_and_file_come_together(make_project: MakeProject) -> None:
    file = make_project(SHEET.replace("roof fan,roof rear", "roof fnn,roof raer"), "shopp: {}\n")
    with pytest.raises(ProjectFaults) as refusal:
        read_project(file)
    said = sorted((fault.file.rsplit("/", 1)[1], fault.place) for fault in refusal.value.faults)
    assert said == [
        ("equipment.csv", "row 5, column Kind"),
        ("equipment.csv", "row 5, column Place"),
        ("project.yaml", "shopp, line 5"),
    ]


def test_faults_of_the_files_own_entries_keep_their_lines(make_project: MakeProject) -> None:
    more = "devices:\n  - {id: fan, amps: 3}\n  - {id: pump, name: Pump, at: {wall: lft, back: 1 m, up: 1 m}}\n"
    with pytest.raises(ProjectFaults) as refusal:
        read_project(make_project(SHEET, more))
    assert [fault.place for fault in refusal.value.faults] == [
        "devices / fan / amps, line 6",
        "devices / pump / at / wall, line 7",
    ]


def test_a_place_that_the_shell_refuses_is_placed_in_the_sheet(make_project: MakeProject) -> None:
    file = make_project(SHEET)
    (fault,) = faults_at_names(file, "", [("devices / fridge / at", "off the metal", "elsewhere", "not there")])
    assert (Path(fault.file).name, fault.place, fault.line) == ("equipment.csv", "row 4, column Place", 4)


def test_a_missing_sheet_and_data_without_a_folder_are_named(make_project: MakeProject, tmp_path: Path) -> None:
    file = make_project(SHEET)
    (tmp_path / "equipment.csv").unlink()
    with pytest.raises(ProjectFaults, match=r"equipment\.csv: there is no such sheet"):
        read_project(file)
    with pytest.raises(ProjectFaults, match="devices"):
        check_data({"ribway": 1, "name": "x", "vehicle": {"preset": "medium-high"}, "equipment": "equipment.csv"})


def test_the_schema_asks_for_devices_or_a_sheet() -> None:
    """Draft 2020-12, held by an independent validator."""
    from jsonschema import Draft202012Validator

    check = Draft202012Validator(project_schema())
    bare = {"ribway": 1, "name": "x", "vehicle": {"preset": "medium-high"}}
    assert check.is_valid({**bare, "equipment": "equipment.xlsx"})
    assert not check.is_valid(bare)
    assert not check.is_valid({**bare, "devices": [{"id": "a", "name": "A", "at": {"wall": "roof", "back": "1 m"}}]})


def test_everything_that_nobody_confirmed_is_listed(make_project: MakeProject) -> None:
    more = "devices:\n  - {id: board, amps: 30 A}\n  - {id: battery, confirmed: true}\n"
    project = read_project(make_project(SHEET, more))
    found = {(one.about, one.what): one for one in assumptions(project)}
    assert found["fridge", "running current"].value == "6 A"
    assert "compressor fridge" in found["fridge", "running current"].source
    assert "no source" in found["fridge", "running current"].source
    place = found["lamp-2", "place"]
    assert place.name == "Lamp 2"
    assert 0.3 <= place.error_m <= 1.2
    assert "roof rear" in place.source
    assert found["fan", "running current"].source == "written down, not read off the plate"
    assert found["board", "running current"].value == "30 A"
    assert ("battery", "place") not in found
    confirmed = read_project(make_project(SHEET, "devices:\n  - {id: fan, confirmed: true, at: {back: 3 m}}\n"))
    assert [one for one in assumptions(confirmed) if one.about == "fan"] == []


def test_what_is_assumed_is_never_marked_confirmed(make_project: MakeProject) -> None:
    project = read_project(
        make_project(SHEET.replace("Amps,Switch", "Amps,Switch,Confirmed").replace(",\n", ",,yes\n"))
    )
    confirmed = {device.id for device in project.devices if device.confirmed}
    assert not confirmed & {one.about for one in project.assumed if one.what in ("amps", "place")}
