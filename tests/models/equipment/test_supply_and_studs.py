"""When a device has power, and the screws its lugs go on: said in the sheet or the project, else the catalogue's."""

from __future__ import annotations

import csv
import io
from importlib.resources import files
from pathlib import Path

import pytest

from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import read_project

PROJECT = """\
ribway: 1
name: van
equipment: sheet.csv
vehicle:
  preset: medium-high
"""
ROWS = """\
House battery,house battery,left 0.6 m back 0.4 m up,
Fuse board,fuse board,left 0.9 m back 0.9 m up,
Fridge,compressor fridge,left 2.0 m back 0.4 m up,{fridge}
Smoke alarm,smoke alarm,roof 1.5 m back 0.2 m left,{alarm}
"""


def _read(folder: Path, fridge: str = "", alarm: str = "", more: str = "") -> dict[str, tuple[str | None, str | None]]:
    sheet = f"Name,Kind,Place,Supply\n{ROWS.format(fridge=fridge, alarm=alarm)}"
    (folder / "sheet.csv").write_text(sheet, encoding="utf-8")
    (folder / "van.yaml").write_text(PROJECT + more, encoding="utf-8")
    return {one.id: (one.supply, one.stud) for one in read_project(folder / "van.yaml").devices}


def test_the_sheet_says_when_a_device_has_power(tmp_path: Path) -> None:
    found = _read(tmp_path, fridge="Load-shed", alarm="")
    assert found["fridge"][0] == "load shed", "blind to capitals and dashes"
    assert found["smoke-alarm"][0] == "always", "as the catalogue has it"
    assert _read(tmp_path, alarm="main switch")["smoke-alarm"][0] == "main switch", "the sheet comes first"


@pytest.mark.parametrize(
    ("said", "words"),
    [("ignitoin", "did you mean ignition"), ("Fuse board", "what feeds it stands under Board")],
)
def test_another_word_is_refused(tmp_path: Path, said: str, words: str) -> None:
    with pytest.raises(ProjectFaults) as caught:
        _read(tmp_path, fridge=said)
    (fault,) = caught.value.faults
    assert "row 4" in fault.place
    assert "Supply" in fault.place
    assert words in fault.message


def test_studs_come_with_the_kind_and_are_assumed(tmp_path: Path) -> None:
    found = _read(tmp_path)
    assert (found["house-battery"][1], found["fridge"][1]) == ("M8", None)
    assumed = read_project(tmp_path / "van.yaml").assumed
    assert ("house-battery", "stud", "M8") in {(one.about, one.what, one.value) for one in assumed}


def test_every_stud_of_the_catalogue_has_its_source() -> None:
    text = (files("ribway.models.catalogue") / "studs.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert rows
    assert all(row["source"].startswith("common practice, no source") for row in rows)
