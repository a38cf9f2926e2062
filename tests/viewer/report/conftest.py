"""The page of a small plan with an alternative, opened once for all tests."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from ribway.models.palette import loom_colour
from ribway.models.plan.plan import Plan
from ribway.viewer.report.body import Notice
from ribway.viewer.report.page import page_text
from samples.live import LONGEST_MS

NASTY = '</script><img src=x onerror="window.harmed=1">'
BEGIN = """() => {
  window.scrollTo(0, 0);
  if (document.querySelector('[data-show="1"][aria-pressed="true"]')) document.querySelector('[data-show="0"]').click();
  document.querySelector('#readout button')?.click();
  document.querySelector('[data-view="overview"]').click();
  document.querySelector('.plan:not([hidden]) .tab[data-panel="runs"]').click();
}"""
NOTICES = {index: [Notice("Mind the edge.", "A grommet first.")] for index in (0, 1)}


@dataclass
class Seen:
    """What a page did that it should not do."""

    complaints: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)


def watched(page: Page) -> Seen:
    """Write down all complaints and requests of a page."""
    seen = Seen()
    page.on("console", lambda message: seen.complaints.append(message.text) if message.type != "log" else None)
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    page.on("request", lambda request: seen.requests.append(request.url))
    return seen


@pytest.fixture(scope="session")
def page_plans(sample_plan: Plan) -> tuple[Plan, Plan]:
    """The small plan with a device of a harmful name, and an alternative with one longer run."""
    first = sample_plan.devices[0].model_copy(update={"name": NASTY})
    # The palette's own colours: what tells looms apart in the picture.
    looms = tuple(
        loom.model_copy(update={"colour": loom_colour(index)}) for index, loom in enumerate(sample_plan.looms)
    )
    base = sample_plan.model_copy(update={"devices": (first, *sample_plan.devices[1:]), "looms": looms})
    run = base.runs[0].model_copy(update={"cut_m": base.runs[0].cut_m + 0.5})
    return base, base.model_copy(update={"alternative": "longer", "runs": (run, *base.runs[1:])})


@pytest.fixture(scope="session")
def page_file(page_plans: tuple[Plan, Plan], tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("page") / "page.html"
    file.write_text(page_text(page_plans, NOTICES), encoding="utf-8", newline="\n")
    return file


@pytest.fixture(scope="session")
def opened(browser: Browser, page_file: Path) -> Iterator[tuple[Page, Seen]]:
    """The page on a wide screen."""
    context = browser.new_context(viewport={"width": 1200, "height": 760}, offline=True, accept_downloads=True)
    context.set_default_timeout(LONGEST_MS)
    page = context.new_page()
    seen = watched(page)
    page.goto(page_file.as_uri())
    page.wait_for_function("ribwayPage.visibleRuns().length > 0")
    yield page, seen
    context.close()


@pytest.fixture
def page(opened: tuple[Page, Seen]) -> Iterator[Page]:
    """The open page, put back to how it begins; what it complains of fails the test that was at work."""
    page, seen = opened
    page.evaluate(BEGIN)
    yield page
    assert seen.complaints == []
