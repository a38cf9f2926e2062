"""A small project and a server on it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from samples.live import SMALL, Server


@pytest.fixture
def project(tmp_path: Path) -> Path:
    file = tmp_path / "van" / "project.yaml"
    file.parent.mkdir()
    file.write_text(SMALL, encoding="utf-8")
    return file


@pytest.fixture
def server(project: Path) -> Iterator[Server]:
    found = Server(project)
    yield found
    found.process.terminate()
    found.process.wait(10)
