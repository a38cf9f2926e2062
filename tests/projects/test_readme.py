"""What README and the page on the project file show is what comes out: examples planned, answers compared by line."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from ribway.cli import main

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
PROJECT_FILE = ROOT / "docs" / "project-file.md"


def blocks(page: Path) -> list[str]:
    """Indented blocks of a page, without their indent."""
    found = re.findall(r"(?:^    .*\n(?:\n(?=    ))?)+", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return ["\n".join(line[4:].rstrip() for line in block.rstrip("\n").split("\n")) for block in found]


def block_with(words: str, page: Path = README) -> str:
    return next(block for block in blocks(page) if words in block)


@pytest.fixture
def project(tmp_path: Path) -> Path:
    file = tmp_path / "first.yaml"
    file.write_text(block_with("vehicle: {preset") + "\n", encoding="utf-8")
    return file


def printed(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *words: str) -> list[str]:
    monkeypatch.setenv("COLUMNS", "88")
    assert main(list(words)) == 0
    return [line.rstrip() for line in capsys.readouterr().out.splitlines()]


def test_the_plan_it_prints(project: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    found = printed(capsys, monkeypatch, "plan", str(project))
    shown = [line for line in block_with("Cable, cut lengths").splitlines() if line]
    assert shown
    assert [line for line in shown if line not in found] == []


def test_the_reckoning_it_prints(
    project: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    found = printed(capsys, monkeypatch, "explain", str(project), "lamps-1")
    shown = [line for line in block_with("slack along the way").splitlines() if line]
    assert shown
    assert [line for line in shown if line not in found] == []


def test_the_ways_it_shows(project: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """The block of ways laid over the first van: every kind is used and said, and the plan passes its audit."""
    first = YAML(typ="safe").load(project)
    more = YAML(typ="safe").load(block_with("kind: inside", PROJECT_FILE))
    first["vehicle"] = more["vehicle"]
    first["runs"] = more["runs"]
    for key in ("devices", "circuits"):
        first[key] += more[key]
    YAML(typ="safe").dump(first, project)
    found = "\n".join(printed(capsys, monkeypatch, "plan", str(project)))
    for words in (
        "taped by hand",
        "ways named by hand: lamps-2",
        "lie outside the model for 1.80 m",
        "in furniture galley",
    ):
        assert words in " ".join(found.split())
    explained = " ".join("\n".join(printed(capsys, monkeypatch, "explain", str(project), "charge")).split())
    assert "engine space, 50 °C" in explained
