"""Fixtures that every test may use."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright

# The hand-made samples are a plain folder beside the tests; it goes last, so that it shadows nothing.
sys.path.append(str(Path(__file__).parent))

from ribway.models.plan.plan import Plan
from samples.plan import sample_plan as make_sample_plan

CHROMIUMS = ("chromium", "chromium-browser", "google-chrome")
# No sandbox: tests may run as root. SwiftShader draws WebGL without a graphics card.
FLAGS = (
    "--no-sandbox",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-quic",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def sample_plan() -> Plan:
    """A small, consistent plan made by hand: two looms, four runs, of them one AC and one data. Frozen, so shared."""
    return make_sample_plan()


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """The system's Chromium; the tests fail where there is none."""
    found = next(filter(None, map(shutil.which, CHROMIUMS)), None)
    if found is None:
        pytest.fail("no Chromium found: make test installs it (Debian: apt-get install chromium fonts-dejavu-core)")
    return found


@pytest.fixture(scope="session")
def playwright_driver() -> Iterator[Playwright]:
    """The browser's driver. Its loop goes on in the thread of the tests, so a process can hold only one: this one."""
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def browser(playwright_driver: Playwright, chromium_path: str) -> Iterator[Browser]:
    """A real browser, started once."""
    started = playwright_driver.chromium.launch(executable_path=chromium_path, args=list(FLAGS))
    yield started
    started.close()
