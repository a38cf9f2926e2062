"""Faults of a project with alternatives are told once, and a wrong kind of file is met with the command that takes it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan

GOOD = (Path(__file__).parents[1] / "samples" / "projects" / "small.yaml").read_text(encoding="utf-8")
Told = Callable[..., list[str]]


@pytest.fixture
def told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Told:
    """What a command says against the small project with some of its text changed, without the file's name."""

    def run(*changes: tuple[str, str], words: tuple[str, ...] = ("compare",)) -> list[str]:
        text = GOOD
        for old, new in changes:
            assert old in text
            text = text.replace(old, new, 1)
        file = tmp_path / "project.yaml"
        file.write_text(text, encoding="utf-8")
        out = tmp_path / "out"
        assert main([words[0], str(file), *words[1:], "--out", str(out)]) == 2
        said = capsys.readouterr()
        assert said.out == ""
        assert not out.exists()
        return [line.removeprefix(f"{file}: ") for line in said.err.splitlines()]

    return run


# old and new text of the base, and where its one fault stands
OF_THE_BASE = [
    ("{wall: floor, back: 0.4 m", "{wall: floor, back: 40 m", "devices / battery / at, line 38"),
    ("preset: long-high", "preset: long-hgh", "vehicle / preset, line 9"),
    ("watts: 36 W", "watts: 36000 W", "circuits / main, line 57"),  # figures differ from one alternative to the next
    ("via: [L4c]", "via: [L4q]", "runs / fridge / via, line 73"),
    ("to: [board]", "to: [boards]", "circuits / main / to / item 1, line 60"),
]


@pytest.mark.parametrize(("old", "new", "place"), OF_THE_BASE, ids=[case[2] for case in OF_THE_BASE])
def test_a_fault_of_the_base_is_told_once(told: Told, old: str, new: str, place: str) -> None:
    (said,) = told((old, new), (GOOD[GOOD.index("  - name: no fan") :], ""))  # one alternative is quicker than three
    assert said.startswith(f"{place}: ")
    assert "alternative" not in said


def test_a_fault_of_an_alternative_names_it(told: Told) -> None:
    off = ("at: {wall: right, back: 2.4 m, up: 0.3 m}", "at: {wall: right, back: 24 m, up: 0.3 m}")
    hungry = ("watts: 6 W", "watts: 6000 W")
    first, second = sorted(told(off, hungry))
    assert first.startswith("circuits / main, line 57: in the alternative second light: run main")
    assert second.startswith("devices / fridge / at, line 85: in the alternative fridge right: there is no metal")


def test_all_alternatives_broken(told: Told) -> None:
    said = told(
        ("at: {wall: right, back: 2.4 m, up: 0.3 m}", "at: {wall: right, back: 2.4}"),
        ("devices: {fan: null}", "devices: {fann: null}"),
        ("watts: 6 W", "watts: six"),
    )
    assert [line.split(" / ")[1] for line in said] == ["fridge right", "no fan", "second light"]


@pytest.mark.parametrize("words", [("plan",), ("compare",)])
def test_a_board_that_nothing_feeds_is_a_fault(told: Told, words: tuple[str, ...]) -> None:
    main_feed = GOOD[GOOD.index("  - id: main") : GOOD.index("  - id: fridge\n    name: Fridge\n    from")]
    (said,) = told((main_feed, ""), words=words)
    assert said == (
        "devices / board / id, line 39: nothing feeds the board board: add a circuit of kind dc from battery to it, "
        "since fridge, fan hang on it"
    )


def test_a_second_device_of_one_id_is_offered_a_free_one(told: Told) -> None:
    said = told(("  - id: fan\n    name: Roof", "  - id: fridge\n    name: Roof"))
    assert said[0] == (
        "devices / fridge / id, line 51: a second device is called fridge: give each its own id, this one fridge-2 for "
        "example"
    )
    assert all("fridge, fridge" not in line for line in said)


def test_a_project_where_a_plan_is_wanted(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "project.yaml"
    file.write_text(GOOD, encoding="utf-8")
    for path, is_one in ((file, "this is a project, and"), (tmp_path, "this folder holds a project, and no")):
        assert main(["audit", str(path)]) == 2
        said = capsys.readouterr().err
        assert said.startswith(f"{path}: {is_one}")
        assert said.endswith(f": ribway plan {path} --out DIR writes one\n")


@pytest.mark.parametrize("command", ["plan", "compare", "sheet"])
def test_a_plan_where_a_project_is_wanted(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    file = tmp_path / "plan.json"
    file.write_text(save_plan(sample_plan) + " " * 2_000_000, encoding="utf-8")  # bigger than any project may be
    for path, is_one in ((file, "this is a saved plan, not a project"), (tmp_path, "this folder holds a saved plan")):
        assert main([command, str(path)]) == 2
        said = capsys.readouterr().err
        assert said.startswith(f"{path}: {is_one}")
        assert f"ribway audit {path}" in said
