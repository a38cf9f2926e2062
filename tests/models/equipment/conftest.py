"""Sheets and projects made from them, for all tests here."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ribway.models.catalogue.loading import load_catalogue
from ribway.models.equipment.expand import Expansion, expand
from ribway.models.equipment.opening import grid_of
from ribway.models.equipment.outline import outline_of
from ribway.models.equipment.reading import read_rows

ExpandIt = Callable[..., Expansion]
PROJECT = "ribway: 1\nname: van\nvehicle: {preset: medium-high}\nequipment: equipment.csv\n"


@pytest.fixture
def expand_it() -> ExpandIt:
    """Rows of a sheet as text, read without fault and expanded."""

    def expanded(text: str, **more: Any) -> Expansion:
        catalogue = load_catalogue()
        rows, faults = read_rows(grid_of(text.encode("utf-8"), "e.csv"), catalogue)
        assert [str(fault) for fault in faults] == []
        return expand(rows, catalogue, outline_of({"preset": "medium-high"}), file="e.csv", **more)

    return expanded


@pytest.fixture
def make_project(tmp_path: Path) -> Callable[..., Path]:
    """A project file and its sheet in a folder."""

    def made(sheet: str, more: str = "") -> Path:
        (tmp_path / "equipment.csv").write_text(sheet, encoding="utf-8")
        file = tmp_path / "project.yaml"
        file.write_text(PROJECT + more, encoding="utf-8")
        return file

    return made
