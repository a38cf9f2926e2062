"""A small project, a server on it, and a real browser, started once."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from samples.live import SMALL, Server

NAMES = ("chromium", "chromium-browser", "google-chrome")
# No sandbox: tests may run as root. SwiftShader draws WebGL without a graphics card.
FLAGS = (
    "--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-quic", "--disable-sync",
)  # fmt: skip


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


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = next(filter(None, map(shutil.which, NAMES)), None)
    if path is None:
        pytest.fail("no Chromium found: make test installs it (Debian: apt-get install chromium fonts-dejavu-core)")
    with sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=path, args=list(FLAGS))
        yield started
        started.close()
