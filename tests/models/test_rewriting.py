"""Changing a project file in place: the change is made, and not a byte besides."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import read_project
from ribway.models.rewriting import Names, changed_text, rewrite

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"
GOOD = FILE.read_text(encoding="utf-8")


@pytest.fixture
def project(tmp_path: Path) -> Path:
    file = tmp_path / "project.yaml"
    file.write_bytes(FILE.read_bytes())
    return file


def diff(old: str, new: str) -> list[str]:
    """Removed and added lines."""
    lines = difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0)
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


@pytest.mark.parametrize(
    ("names", "value", "lines"),
    [
        (("devices", "fridge", "at", "back"), "2.5 m",
         ["-      back: 2.4 m   # to the left foot", '+      back: "2.5 m"   # to the left foot']),
        (("date",), "2025-02-01",
         ['-date: "2025-01-31"   # the day it was measured', '+date: "2025-02-01"   # the day it was measured']),
        (("devices", "fan", "at", "back"), "2 m",
         ["-    at: {wall: roof, back: 1.8 m}", '+    at: {wall: roof, back: "2 m"}']),
        (("devices", "fan", "at", "left"), "0.2 m",
         ["-    at: {wall: roof, back: 1.8 m}", '+    at: {wall: roof, back: 1.8 m, left: "0.2 m"}']),
        (("devices", "fan", "start_amps"), "9 A", ['+    start_amps: "9 A"']),
        (("devices", "fridge", "confirmed"), True, ["+    confirmed: true"]),
        (("shop", "tails", "thin"), "0.2 m", ['+    thin: "0.2 m"']),
        (("runs", "item 1", "via"), ["L4c", "L5c"], ["-    via: [L4c]", '+    via: ["L4c", "L5c"]']),
        (("devices", "fridge", "start_amps"), None, ["-    start_amps: 12 A"]),
        (("vehicle", "openings", "L4c", "size"), None, ["-      size: 38 mm"]),
        (("shop", "only"), None, ["-  only: [twin-2x2.5, twin-2x1.5, single-1x16]"]),
        (("vehicle", "ways", "over-L3", "at", "up"), "0.8 m",
         ["-      at: {wall: left, back: 1.4 m, up: 0.7 m}", '+      at: {wall: left, back: 1.4 m, up: "0.8 m"}']),
        (("shop", "arm_lenght"), None, []),
    ],
)  # fmt: skip
def test_one_change_is_one_change(names: Names, value: object, lines: list[str]) -> None:
    assert diff(GOOD, changed_text(GOOD, {names: value})) == lines


def test_a_group_is_changed_key_by_key_so_that_remarks_stay() -> None:
    new = changed_text(GOOD, {("devices", "fridge", "at"): {"wall": "floor", "back": "1 m", "right": "0.3 m"}})
    assert '      wall: "floor"\n      back: "1 m"   # to the left foot\n      right: "0.3 m"\n' in new
    assert "up: 300 mm" not in new


def test_a_thing_is_taken_out_whole() -> None:
    removed = diff(GOOD, changed_text(GOOD, {("alternatives", "no fan"): None}))
    assert [line[:1] for line in removed] == ["-"] * 4
    assert removed[0] == "-  - name: no fan"


def test_another_reader_of_yaml_sees_the_change_and_no_other() -> None:
    changes: dict[Names, object] = {
        ("devices", "board", "at", "up"): "4' 1/2\"",
        ("circuits", "main", "cable"): "#4 \\ 'x' ü",
        ("circuits", "fan", "fuse"): "4 A",
    }
    loader = YAML(typ="safe", pure=True)
    before, after = loader.load(GOOD), loader.load(changed_text(GOOD, changes))
    before["devices"][1]["at"]["up"] = "4' 1/2\""
    before["circuits"][0]["cable"] = "#4 \\ 'x' ü"
    before["circuits"][2]["fuse"] = "4 A"
    assert after == before


def test_windows_line_ends_stay() -> None:
    text = GOOD.replace("\n", "\r\n")
    new = changed_text(text, {("shop", "tails", "thin"): "0.2 m", ("shop", "slack"): "6 %"})
    assert new.count("\r\n") == new.count("\n") == text.count("\n") + 1


def test_rewrite_writes_a_backup_first_and_replaces_the_file(project: Path) -> None:
    project.chmod(0o640)
    backup = rewrite(project, {("devices", "fridge", "at", "back"): "2.5 m"})
    assert backup == project.with_name("project.yaml.bak-1")
    assert backup.read_text(encoding="utf-8") == GOOD
    assert read_project(project).devices[2].at.back == 2.5
    assert project.stat().st_mode & 0o777 == 0o640
    second = rewrite(project, {("devices", "fridge", "at", "back"): "2.6 m"})
    assert second == project.with_name("project.yaml.bak-2")
    assert sorted(item.name for item in project.parent.iterdir()) == [
        "project.yaml", "project.yaml.bak-1", "project.yaml.bak-2"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("names", "value", "words"),
    [
        (("devices", "frigde", "at", "back"), "2.5 m", "there is no frigde to change: did you mean fridge?"),
        (("devices", "fridge", "at", "back"), "2.5", "no unit"),
        (("devices", "fridge", "bakc"), "2 m", "the key bakc is unknown"),
        (("devices", "fridge"), None, "names the device fridge"),
        ((), "x", "there is no"),
    ],
)
def test_a_change_that_would_spoil_the_project_is_refused_and_nothing_written(
    project: Path, names: Names, value: object, words: str
) -> None:
    with pytest.raises(ProjectFaults) as caught:
        rewrite(project, {names: value})
    assert words in str(caught.value)
    assert project.read_text(encoding="utf-8") == GOOD
    assert [item.name for item in project.parent.iterdir()] == ["project.yaml"]


def test_a_value_shared_by_an_anchor_is_not_changed_behind_its_back() -> None:
    text = GOOD.replace("back: 2.4 m   #", "back: &far 2.4 m   #").replace("back: 1.8 m}", "back: *far }")
    with pytest.raises(ProjectFaults, match="change it by hand"):
        changed_text(text, {("devices", "fan", "at", "back"): "2 m"})
