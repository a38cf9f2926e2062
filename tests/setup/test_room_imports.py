"""Which way imports run, read from the source text: each room and the audit import only what they are allowed to.

The order of rooms and stages is import-linter's job (pyproject.toml). Here is what needs an allow-list: that no room
imports the front door, whose modules are `ribway` itself, and that the audit shares no code with what it checks.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ALLOWED = {
    "models": ("ribway.models",),
    "sizing": ("ribway.sizing", "ribway.models"),
    "router": ("ribway.router", "ribway.sizing", "ribway.models"),
    "sheets": ("ribway.sheets", "ribway.models"),
    "viewer": ("ribway.viewer", "ribway.models"),
}
AUDIT = ("ribway.router.audit", "ribway.models")


def imported_names(source: str) -> Iterator[str]:
    """Every name of ribway that a source text imports, in full: `from ribway.a import b` gives `ribway.a.b`."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [f"{'.' * node.level}{node.module or ''}.{alias.name}" for alias in node.names]
        else:
            continue
        yield from (name for name in names if name.startswith(".") or name.partition(".")[0] == "ribway")


def offences(files: list[Path], allowed: tuple[str, ...]) -> list[str]:
    """Imports of ours outside the allowed packages, as `file: name`."""
    return [
        f"{file}: {name}"
        for file in files
        for name in imported_names(file.read_text(encoding="utf-8"))
        if not any(name == package or name.startswith(f"{package}.") for package in allowed)
    ]


@pytest.mark.parametrize("room", sorted(ALLOWED))
def test_a_room_imports_only_the_rooms_below_it(room: str) -> None:
    files = sorted((ROOT / room).rglob("*.py"))
    assert files
    assert offences(files, ALLOWED[room]) == []


def test_the_audit_imports_only_the_models() -> None:
    files = [*(ROOT / "router").glob("audit.py"), *sorted((ROOT / "router").glob("audit/**/*.py"))]
    assert files, "router/audit.py, which checks a plan from scratch, is missing"
    assert offences(files, AUDIT) == []


@pytest.mark.parametrize(
    ("line", "is_offence"),
    [
        ("from ribway.models.plan import plan", False),
        ("import ribway.sizing.drop", False),
        ("import numpy", False),
        ("from ribway import models", False),
        ("from ribway import cli", True),
        ("import ribway", True),
        ("import ribway.cli", True),
        ("from ribway.router.paths import search", True),
        ("from ribway.modelsx import thing", True),
        ("from ..models import plan", True),
        ("def later():\n    import ribway.viewer.scene", True),
    ],
)
def test_the_reading_itself(line: str, is_offence: bool, tmp_path: Path) -> None:
    file = tmp_path / "module.py"
    file.write_text(line + "\n", encoding="utf-8")
    assert bool(offences([file], ALLOWED["sizing"])) is is_offence
