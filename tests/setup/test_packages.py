"""What pyproject.toml says is packed, against the folders on disk and against a wheel that was really built."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
import zipfile
from fnmatch import fnmatch
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
ROOMS = {"app": "ribway"} | {room: f"ribway.{room}" for room in ("models", "router", "sheets", "sizing", "viewer")}


def settings() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]


def files_of(room: str) -> list[Path]:
    """All files of a room but the interpreter's own, relative to the room."""
    found = (path.relative_to(ROOT / room) for path in (ROOT / room).rglob("*") if path.is_file())
    return sorted(path for path in found if "__pycache__" not in path.parts)


def package_of(room: str, file: Path) -> str:
    return ".".join((ROOMS[room], *file.parent.parts))


def test_every_room_is_mapped_to_its_import_name() -> None:
    assert settings()["package-dir"] == {name: room for room, name in ROOMS.items()}


def test_the_listed_packages_are_the_folders_on_disk() -> None:
    listed = settings()["packages"]
    on_disk = {package_of(room, file) for room in ROOMS for file in files_of(room)}
    assert (on_disk - set(listed), set(listed) - on_disk) == (set(), set()), "to be added, to be taken away"
    assert listed == sorted(on_disk)


def test_every_folder_with_code_is_a_package() -> None:
    with_code = {
        file.parent for room in ROOMS for file in map(Path(room).joinpath, files_of(room)) if file.suffix == ".py"
    }
    without_init = [str(folder) for folder in sorted(with_code) if not (ROOT / folder / "__init__.py").is_file()]
    assert without_init == []


def test_every_data_file_matches_a_pattern() -> None:
    patterns = settings()["package-data"]["*"]
    strays = [
        f"{room}/{file}"
        for room in ROOMS
        for file in files_of(room)
        if file.suffix != ".py" and not any(fnmatch(file.name, pattern) for pattern in patterns)
    ]
    assert strays == []


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel a user gets, built from a copy so that nothing is left in the checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    source = folder / "source"
    for room in ROOMS:
        shutil.copytree(ROOT / room, source / room, ignore=shutil.ignore_patterns("__pycache__"))
    for file in ("pyproject.toml", "LICENSE", "README.md"):
        if (ROOT / file).exists():
            shutil.copy(ROOT / file, source)
    command = [sys.executable, "-m", "pip", "wheel", "--no-deps", "--no-build-isolation", "--no-index"]
    done = subprocess.run([*command, "-w", folder, source], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    (built,) = folder.glob("ribway-*.whl")
    return built


def test_the_wheel_holds_every_file_of_every_room_and_nothing_else(wheel: Path) -> None:
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    wanted = {f"{ROOMS[room].replace('.', '/')}/{file.as_posix()}" for room in ROOMS for file in files_of(room)}
    assert packed == wanted
    assert "ribway/py.typed" in packed


def test_the_wheel_brings_the_command_and_the_licence(wheel: Path) -> None:
    archive = zipfile.ZipFile(wheel)
    (entry_points,) = [name for name in archive.namelist() if name.endswith("/entry_points.txt")]
    assert "ribway = ribway.cli:main" in archive.read(entry_points).decode()
    assert any(name.endswith("/licenses/LICENSE") for name in archive.namelist())
