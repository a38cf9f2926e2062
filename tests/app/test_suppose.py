"""``ribway suppose``: what it says, what it refuses, and that it writes nothing unless it is asked to."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.plan_file import load_plan
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import read_project
from ribway.supposing import read_place, supposed

SAMPLE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return Path(shutil.copy(SAMPLE, tmp_path / "project.yaml"))


def test_a_move_is_told_run_by_run_and_not_written(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = file.read_bytes()
    assert main(["suppose", str(file), "--move", "fridge=back 2.3 m", "--anew-if-saves", "5 kg"]) == 0
    said = capsys.readouterr().out
    assert "Supposed: device fridge moved" in said
    assert "Longer" in said or "Shorter" in said
    assert "kg before" in said
    assert "the others stay where they were" in said
    assert file.read_bytes() == before
    assert list(file.parent.iterdir()) == [file]


def test_it_is_written_when_asked_and_agrees_with_a_plan_from_nothing(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = file.read_bytes()
    assert main(["suppose", str(file), "--move", "fridge=back 2.3 m", "--anew-if-saves", "0", "--write"]) == 0
    said = capsys.readouterr().out
    device = next(one for one in read_project(file).devices if one.id == "fridge")
    assert device.at.back == pytest.approx(2.3)
    assert (file.parent / "project.yaml.bak-1").read_bytes() == before
    out = file.parent / "plan"
    assert main(["plan", str(file), "--out", str(out), "--no-picture"]) == 0
    after_kg = float(said.split("kg before, ")[1].split(" kg after")[0])
    assert after_kg <= load_plan(out / "plan.json").totals.copper_kg + 0.0005


def test_only_what_is_said_of_a_place_changes() -> None:
    text = "devices:\n  - {id: lamp, at: {wall: roof, back: 1.1 m, left: 0.2 m}}  # over the bench\n"
    assert "{wall: roof, back: 1.4 m, left: 0.2 m}" in supposed(text, ["lamp=back 1.4 m"], [], [], "")
    crossed = supposed(text, ["lamp=right 0.3 m"], [], [], "")
    assert "right: 0.3 m" in crossed
    assert "left" not in crossed
    other = supposed(text, ["lamp=left, back 2 m, up 1 m"], [], [], "")
    assert "wall: left" in other
    assert "0.2 m" not in other
    assert "# over the bench" in other


def test_a_place_in_words() -> None:
    assert read_place("right, back 2.1 m, up 60 cm") == {"wall": "right", "back": "2.1 m", "up": "60 cm"}
    assert read_place("right 2.1 m back 0.6 m up") == {"wall": "right", "back": "2.1 m", "up": "0.6 m"}
    assert read_place("left 0.3 m") == {"left": "0.3 m"}
    with pytest.raises(ProjectFaults, match="'bak 2 m' says no place: did you mean back"):
        read_place("bak 2 m")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "nothing is supposed"),
        (("--move", "fridge"), "is no move"),
        (("--move", "fridge=back 99 m"), "fridge"),
        (("--take-out", "nobody"), "nobody"),
        (("--move", "fridge=back 2 m", "--anew-if-saves", "much"), "is no weight"),
    ],
)
def test_what_it_refuses(file: Path, words: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    before = file.read_bytes()
    try:
        code = main(["suppose", str(file), *words])
    except SystemExit as ended:
        code = int(str(ended.code))
    assert code == 2
    assert told in capsys.readouterr().err
    assert file.read_bytes() == before
