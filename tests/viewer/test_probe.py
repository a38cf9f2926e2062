"""The trial drawing, with both outcomes brought about in real processes."""

from __future__ import annotations

import os
import platform
import subprocess
import sys

import pytest

from ribway.viewer.probe import WINDOW_VARIABLE, can_draw, choose_window


def run_as_command(environ: dict[str, str]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "ribway.viewer.probe"], env=environ, capture_output=True, text=True, check=False
    )


def test_a_machine_with_a_driver_can_draw() -> None:
    answer = can_draw()
    assert answer.ok, answer.sentence()
    assert (answer.reason, answer.advice) == ("", "")


def test_the_command_says_yes_with_exit_code_0() -> None:
    done = run_as_command(dict(os.environ))
    assert (done.returncode, done.stdout) == (0, "Pictures can be drawn on this machine.\n")


def test_a_window_that_vtk_does_not_have_is_reported_and_not_fatal() -> None:
    """VTK 9.4 and later tries each kind of window in turn; with none left it ends the process by a signal."""
    environ = dict(os.environ) | {WINDOW_VARIABLE: "vtkNoSuchRenderWindow"}
    answer = can_draw(environ)
    assert not answer.ok
    assert "SIG" in answer.reason or "exit code" in answer.reason
    assert answer.advice
    assert environ[WINDOW_VARIABLE] == "vtkNoSuchRenderWindow"


def test_the_command_says_no_with_exit_code_1_and_one_line() -> None:
    done = run_as_command(dict(os.environ) | {WINDOW_VARIABLE: "vtkNoSuchRenderWindow"})
    assert done.returncode == 1
    assert done.stdout.startswith("Pictures cannot be drawn on this machine: ")
    assert done.stdout.count("\n") == 1


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("import os, signal; os.kill(os.getpid(), signal.SIGSEGV)", "SIGSEGV"),
        ("raise SystemExit('the pixels read back are wrong')", "exit code 1 (the pixels read back are wrong)"),
        ("raise SystemExit(7)", "exit code 7"),
        ("import time; time.sleep(60)", "had not ended after 0.5 s"),
    ],
)
def test_each_way_a_drawing_fails_is_told(code: str, words: str) -> None:
    answer = can_draw(command=[sys.executable, "-c", code], time_limit_s=0.5 if "sleep" in code else 60.0)
    assert not answer.ok
    assert words in answer.reason


def test_a_command_that_is_not_there_is_told(tmp_path: object) -> None:
    answer = can_draw(command=[f"{tmp_path}/no-such-python"])
    assert not answer.ok
    assert "could not be started" in answer.reason


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ({}, {WINDOW_VARIABLE: "vtkEGLRenderWindow"}),
        ({WINDOW_VARIABLE: ""}, {WINDOW_VARIABLE: "vtkEGLRenderWindow"}),
        ({"DISPLAY": ":0"}, {"DISPLAY": ":0"}),
        ({"DISPLAY": ":0", WINDOW_VARIABLE: ""}, {"DISPLAY": ":0"}),
        ({WINDOW_VARIABLE: "vtkOSOpenGLRenderWindow"}, {WINDOW_VARIABLE: "vtkOSOpenGLRenderWindow"}),
    ],
)
def test_on_linux_the_window_is_chosen_where_nobody_chose(
    before: dict[str, str], after: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(platform, "system", lambda: "Linux")
    environ = dict(before)
    choose_window(environ)
    assert environ == after


def test_elsewhere_vtk_is_left_to_choose(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(platform, "system", lambda: "Darwin")
    environ = {WINDOW_VARIABLE: "", "HOME": "/"}
    choose_window(environ)
    assert environ == {"HOME": "/"}


def test_probing_loads_nothing_that_draws() -> None:
    code = (
        "import sys; from ribway.viewer.probe import can_draw; assert can_draw().ok;"
        "print([name for name in ('pyvista', 'vtk', 'vtkmodules', 'numpy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
