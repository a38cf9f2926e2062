"""Any terminal will do: one of ASCII alone, a closed one, a full disk, a reader that has enough, and forty columns."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan
from ribway.streams import prepare_streams

COMMAND = [sys.executable, "-m", "ribway"]


@pytest.fixture
def foreign(sample_plan: Plan, tmp_path: Path) -> Path:
    """A saved plan whose names are of no single alphabet."""
    file = tmp_path / "plan.json"
    fridge = sample_plan.circuits[0].model_copy(update={"name": "Kühlbox 冷 3½″"})
    plan = sample_plan.model_copy(update={"circuits": (fridge, *sample_plan.circuits[1:])})
    file.write_text(save_plan(plan), encoding="utf-8")
    return file


def run(*words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    bare = {name: value for name, value in os.environ.items() if name in ("PATH", "PYTHONPATH", "SYSTEMROOT")}
    return subprocess.run([*COMMAND, *words], capture_output=True, check=False, env={**bare, **environment})


def test_a_terminal_of_ascii_without_a_home(foreign: Path, sample_plan: Plan) -> None:
    done = run("explain", str(foreign), sample_plan.circuits[0].id, PYTHONIOENCODING="ascii", LC_ALL="C")
    assert (done.returncode, done.stderr) == (0, b"")
    assert "Kuhlbox ? 31/2'" in done.stdout.decode("ascii").replace('"', "'")
    missing = run("explain", str(foreign), "Kühlbox", PYTHONIOENCODING="ascii", LC_ALL="C")
    assert missing.returncode == 2
    assert "no run and no circuit" in missing.stderr.decode("ascii")


def test_the_schema_is_ascii_whatever_the_encoding() -> None:
    assert run("schema", PYTHONIOENCODING="ascii").stdout == run("schema", PYTHONIOENCODING="utf-8").stdout


@pytest.mark.parametrize("columns", ["40", "1", "0", "x"])
def test_a_narrow_terminal(
    foreign: Path,
    sample_plan: Plan,
    columns: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert main(["explain", str(foreign), sample_plan.circuits[0].id]) == 0
    said = capsys.readouterr().out
    if columns == "40":
        assert max(len(line.rstrip()) for line in said.splitlines()) <= 40


def test_closed_streams_are_no_crash(foreign: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Python sets a stream to None when it was closed before the start (documentation of sys.stdout)."""
    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr(sys, "stderr", None)
    prepare_streams()
    assert main(["audit", str(foreign)]) == 0
    assert main(["audit", str(foreign.with_name("none.json"))]) == 2


@pytest.mark.parametrize("words", [("schema",), ("audit", "plan.json")])
def test_a_full_disk_is_not_the_users_fault(foreign: Path, words: tuple[str, ...]) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run([*COMMAND, *words], stdout=full, stderr=subprocess.PIPE, check=False, cwd=foreign.parent)
    assert done.returncode == 1
    assert done.stderr == b"standard output: cannot be written: the disk is full\n"


def test_a_reader_that_has_enough_of_a_table(foreign: Path) -> None:
    """Tables are printed by a library that would end the process by itself."""
    reading, writing = os.pipe()
    os.close(reading)
    words = [*COMMAND, "explain", str(foreign), "main"]
    done = subprocess.run(words, stdout=writing, stderr=subprocess.PIPE, check=False)
    os.close(writing)
    assert (done.returncode, done.stderr) == (141, b"")
