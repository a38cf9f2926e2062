"""``ribway compare`` with fewer sizes, another voltage and other plans beside the base; ``explain`` with other routes."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.cli import main
from ribway.other_shops import suppositions

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"


@pytest.fixture
def alone(tmp_path: Path) -> Path:
    """The small sample without its alternatives."""
    file = tmp_path / "project.yaml"
    file.write_text(FILE.read_text(encoding="utf-8").split("alternatives:")[0], encoding="utf-8")
    return file


def test_all_stand_side_by_side(alone: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["--sizes", "2", "--volts", "24", "--others", "1", "--differ", "1", "--within", "20%"]
    assert main(["compare", str(alone), *asked]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "2 sizes against the base:" in said
    assert "24 V against the base:" in said
    assert "24 V: battery: has to give 24 V" in said
    assert "other way 1: " in said
    assert "of DC cable" in said


def test_what_cannot_be_planned_is_told_and_the_rest_shown(alone: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = alone.read_text(encoding="utf-8").replace("    drop: 5 %\n", "    drop: 5 %\n    cable: 2x1.5\n")
    alone.write_text(text, encoding="utf-8")
    assert main(["compare", str(alone), "--sizes", "1"]) == 0
    told = capsys.readouterr()
    assert "Copper, least first" in told.out
    assert "1 size was not planned: " in told.err


def test_other_routes_of_a_run(alone: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", str(alone), "fan", "--others", "2"]) == 0
    said = capsys.readouterr().out
    assert "Other routes" in said
    assert " other  " in said


def test_a_rule_on_sizes_adds_a_line_without_it(alone: Path) -> None:
    from ribway.models.reading import read_project

    base = read_project(alone)
    kept = base.model_copy(update={"shop": base.shop.model_copy(update={"use_at_most": 2})})
    found, notes = suppositions(kept, [3], [])
    assert list(found) == ["3 sizes", "any sizes"]
    assert found["any sizes"].shop.use_at_most is None
    assert notes == ()
