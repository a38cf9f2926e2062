"""Asking for help loads none of the heavy libraries, so that the command answers at once."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

HEAVY = {"networkx", "pyvista", "scipy", "trimesh", "vtk", "vtkmodules"}

# One line of -X importtime: `import time:   self [us] | cumulative | imported package`, indented by depth.
LINE = re.compile(r"^import time:\s+\d+ \|\s+\d+ \|\s+(?P<module>\S+)$", re.MULTILINE)


def modules_loaded(arguments: list[str], folder: Path) -> set[str]:
    """Names of the modules that `python ARGUMENTS` imports on its way to exit code 0, by Python's own record."""
    command = [sys.executable, "-X", "importtime", *arguments]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return {found["module"] for found in LINE.finditer(done.stderr)}


def packages(modules: set[str]) -> set[str]:
    return {name.partition(".")[0] for name in modules}


def test_help_loads_nothing_heavy(tmp_path: Path) -> None:
    loaded = modules_loaded(["-m", "ribway", "--help"], tmp_path)
    assert "ribway.cli" in loaded
    assert packages(loaded) & HEAVY == set()


def test_the_record_shows_a_heavy_library_when_one_is_loaded(tmp_path: Path) -> None:
    assert "networkx" in packages(modules_loaded(["-c", "import networkx"], tmp_path))
