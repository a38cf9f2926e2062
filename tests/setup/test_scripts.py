"""The set-up scripts, run as a person's shell runs them: what they say where something is missing, and the pins."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def run_sh(
    script: str, *arguments: str, path: Path | None = None, **variables: str
) -> subprocess.CompletedProcess[str]:
    """Run one of the scripts with `path` in front on PATH, and nothing behind it but the system's own tools."""
    environ = {"PATH": f"{path}:/usr/bin:/bin" if path else os.environ["PATH"], **variables}
    return subprocess.run(
        ["sh", str(ROOT / ".ci" / script), *arguments], env=environ, capture_output=True, text=True, check=False
    )


def put_command(folder: Path, name: str, text: str) -> None:
    file = folder / name
    file.write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
    file.chmod(0o755)


@pytest.fixture
def no_python(tmp_path: Path) -> Path:
    """A folder for PATH in which every name a Python goes by tells an old version and runs nothing, as a stale shim."""
    folder = tmp_path / "bin"
    folder.mkdir()
    for name in ("python", "python3", *(f"python3.{minor}" for minor in range(11, 15))):
        put_command(folder, name, '[ "$1" = --version ] && echo "Python 3.9.2"')
    return folder


def test_without_a_suitable_python_it_says_so_in_one_line(no_python: Path, tmp_path: Path) -> None:
    done = run_sh("venv.sh", str(tmp_path / "venv"), path=no_python)
    assert done.returncode == 1
    assert done.stderr.startswith("ribway: no Python 3.11 or newer found (Python 3.9.2)")
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "venv").exists()


def test_a_python_that_was_named_must_run(no_python: Path, tmp_path: Path) -> None:
    done = run_sh("venv.sh", str(tmp_path / "venv"), path=no_python, PYTHON=str(no_python / "python3"))
    assert done.returncode == 1
    assert "is not a Python 3.11 or newer" in done.stderr


def test_a_shim_that_does_not_run_is_passed_over_and_the_next_makes_the_environment(
    no_python: Path, tmp_path: Path
) -> None:
    put_command(no_python, "python3.11", f'exec "{Path(sys.executable).resolve()}" "$@"')
    folder = tmp_path / "venv"
    done = run_sh("venv.sh", str(folder), path=no_python)
    assert done.returncode == 0, done.stderr
    version = subprocess.run([folder / "bin" / "python", "-m", "pip", "--version"], capture_output=True, check=False)
    assert version.returncode == 0
    again = run_sh("venv.sh", str(folder), path=no_python)
    assert (again.returncode, again.stderr) == (0, "")


def test_a_need_that_is_met_is_not_mentioned() -> None:
    done = run_sh("system.sh", sys.prefix, "gl", "ngspice")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_an_unknown_need_is_an_error() -> None:
    done = run_sh("system.sh", sys.prefix, "steam")
    assert done.returncode == 1
    assert done.stderr == "ribway: no such need: steam\n"


def test_every_dependency_has_a_lower_bound_that_can_be_pinned() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    done = subprocess.run([sys.executable, ROOT / ".ci" / "lowest.py"], capture_output=True, text=True, check=True)
    pins = done.stdout.splitlines()
    assert [pin.replace("==", ">=", 1) for pin in pins] == [" ".join(line.split()) for line in asked]
