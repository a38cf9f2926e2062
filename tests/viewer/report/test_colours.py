"""Contrast and targets of the pages: from the stylesheets, and of what a real browser shows, light and dark."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from samples.contrast import LARGE, TEXT, channels, contrast, faint_texts, small_targets

SHEETS = (("ribway.viewer.report", "page.css"), ("ribway.live.page", "bench.css"), ("ribway.viewer.draft", "page.css"))
TEXTS = ("ink", "quiet", "alarm", "focus")
GROUNDS = ("paper", "soft", "mark", "warn", "fresh")
# Worked with the formula elsewhere: https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio gives 21 as the greatest; #767676 is the
# lightest grey that has 4.5 on white (WebAIM, "Contrast and Color Accessibility").
KNOWN = (("#000000", "#ffffff", 21.0), ("#ffffff", "#ffffff", 1.0), ("#767676", "#ffffff", 4.54))


def texts() -> list[str]:
    return [files(place).joinpath(name).read_text(encoding="utf-8") for place, name in SHEETS]


def themes() -> list[dict[str, str]]:
    """The two sets of named colours."""
    rules = re.findall(r":root \{([^}]*)\}", texts()[0])
    return [dict(re.findall(r"--([a-z]+): (#[0-9a-f]{6});", rule)) for rule in rules]


@pytest.mark.parametrize(("one", "other", "ratio"), KNOWN)
def test_the_formula_itself(one: str, other: str, ratio: float) -> None:
    assert contrast(channels(one), channels(other)) == pytest.approx(ratio, abs=0.005)


def test_colours_stand_in_one_place_by_name() -> None:
    for text in texts():
        rest = re.sub(r":root \{[^}]*\}", "", text)
        assert re.findall(r"#[0-9a-f]{3,8}\b(?![^{]*\{)", rest) == []
        used = set(re.findall(r"(?<![-\w])(?:color|background|background-color): var\(--([a-z]+)\)", rest))
        assert used <= {*TEXTS, *GROUNDS}
        # What is a ground is never written in, but for paper in what is ink.
        written = set(re.findall(r"(?<![-\w])color: var\(--([a-z]+)\)", rest))
        assert written <= {*TEXTS, "paper"}
        for rule in re.findall(r"\{([^{}]*(?<![-\w])color: var\(--paper\)[^{}]*)\}", rest):
            assert "background: var(--ink)" in rule or rule.strip() == "color: var(--paper);"


def test_every_text_can_be_read_on_every_ground_light_and_dark() -> None:
    light, dark = themes()
    assert set(light) == set(dark) >= {*TEXTS, *GROUNDS, "line"}
    for theme in (light, dark):
        for text, ground in itertools.product(TEXTS, GROUNDS):
            assert contrast(channels(theme[text]), channels(theme[ground])) >= TEXT, (text, ground)
        assert contrast(channels(theme["paper"]), channels(theme["ink"])) >= TEXT
        for ground in GROUNDS:  # borders of fields and buttons
            assert contrast(channels(theme["line"]), channels(theme[ground])) >= LARGE, ground


@pytest.fixture(params=["light", "dark"])
def shown(request: pytest.FixtureRequest, browser: Browser, page_file: Path) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 360, "height": 740}, color_scheme=request.param, has_touch=True)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("ribwayPage.visibleRuns().length > 0")
    yield page
    context.close()


def test_what_the_page_shows_can_be_read_and_pressed_on_a_phone(shown: Page) -> None:
    shown.evaluate("() => document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    ground = shown.evaluate("() => getComputedStyle(document.documentElement).backgroundColor")
    dark = shown.evaluate("() => matchMedia('(prefers-color-scheme: dark)').matches")
    assert (ground == "rgb(20, 24, 28)") == dark
    for tab in shown.locator(".plan:not([hidden]) .tab").all():
        tab.click()
        if shown.locator(".plan:not([hidden]) .panel:not([hidden]) button.pick").count():
            shown.locator(".plan:not([hidden]) .panel:not([hidden]) button.pick").first.click()
        assert faint_texts(shown) == []
        assert small_targets(shown) == []
