"""The line that says on a terminal how far long work is."""

from __future__ import annotations

import io
import os
import pty
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from ribway import waiting_line as line
from samples.live import SMALL


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def shown(text: str) -> str:
    """What stands in the line of a terminal at last: a carriage return goes back to its start, signs write over signs."""
    cells: list[str] = []
    at = 0
    for sign in text:
        if sign == "\r":
            at = 0
            continue
        cells[at : at + 1] = [sign]
        at += 1
    return "".join(cells).rstrip()


def test_the_line_is_written_over_itself_and_gone_at_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(line, "AFTER_S", 0.0)
    monkeypatch.setattr(line, "EVERY_S", 0.0)
    terminal = Terminal()
    with line.waiting_line("planning", ("first", "second"), terminal) as told:
        told("first", 10, 20)
        assert shown(terminal.getvalue()) == "planning, 25%: first, 10 of 20"
        told("second", 0, 1)
        assert shown(terminal.getvalue()) == "planning, 50%: second"
    assert shown(terminal.getvalue()) == ""
    assert "\n" not in terminal.getvalue()


def test_a_line_is_never_wider_than_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(line, "AFTER_S", 0.0)
    monkeypatch.setenv("COLUMNS", "20")
    terminal = Terminal()
    with line.waiting_line("planning", ("first",), terminal) as told:
        told("first", 10, 20)
        assert shown(terminal.getvalue()) == "planning, 50%: firs"
    assert shown(terminal.getvalue()) == ""


def test_short_work_and_pipes_see_nothing() -> None:
    terminal, pipe = Terminal(), io.StringIO()
    for stream in (terminal, pipe):
        with line.waiting_line("planning", ("first",), stream) as told:
            told("first", 1, 2)
    assert (terminal.getvalue(), pipe.getvalue()) == ("", "")


def test_the_line_is_gone_before_a_fault_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(line, "AFTER_S", 0.0)
    terminal = Terminal()

    def work() -> None:
        with line.waiting_line("planning", ("first",), terminal) as told:
            told("first", 1, 2)
            raise ValueError("a fault")

    with pytest.raises(ValueError, match="a fault"):
        work()
    assert shown(terminal.getvalue()) == ""


def read(terminal: int) -> Iterator[str]:
    """What is written to a terminal until nobody holds it any more."""
    with suppress(OSError):
        while part := os.read(terminal, 65536):
            yield part.decode()


@pytest.mark.skipif(sys.platform == "win32", reason="has no pseudo-terminals")
def test_a_plan_on_a_terminal_says_how_far_it_is_and_prints_the_same(tmp_path: Path) -> None:
    project = tmp_path / "project.yaml"
    project.write_text(SMALL, encoding="utf-8")
    hurry = "import ribway.waiting_line as line; line.AFTER_S = line.EVERY_S = 0.0; "
    command = [sys.executable, "-c", hurry + "import sys; from ribway.cli import main; sys.exit(main())", "plan"]
    piped = subprocess.run(
        [*command, str(project)], capture_output=True, check=True, env={**os.environ, "COLUMNS": "90"}
    )
    assert piped.stderr == b""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [*command, str(project)], stdout=subprocess.PIPE, stderr=theirs, env={**os.environ, "COLUMNS": "90"}
    ) as process:
        os.close(theirs)
        said = "".join(read(ours))
        assert process.stdout is not None
        printed = process.stdout.read()
    os.close(ours)
    assert process.returncode == 0
    assert "planning, 0%: metal, bays and ways, 0 of 2" in said
    assert "checking the plan" in said
    assert shown(said) == ""
    assert printed == piped.stdout
