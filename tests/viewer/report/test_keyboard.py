"""The report page without a mouse: every control is reached in order and seen to be, worked, and left again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from samples.live import LONGEST_MS

CONTROLS = "a[href], button, input, select, textarea, summary, [tabindex='0']"
NUMBERED = f"""() => [...document.querySelectorAll("{CONTROLS}")]
  .filter((one) => !one.disabled && one.checkVisibility({{ checkVisibilityCSS: true }}))
  .map((one, i) => {{ one.dataset.walk = String(i); return i; }}).length"""
BEGUN = "() => { document.activeElement.blur(); window.getSelection().removeAllRanges(); window.scrollTo(0, 0); }"
STANDING = """() => {
  const one = document.activeElement;
  const style = getComputedStyle(one);
  const box = one.getBoundingClientRect();
  const middle = Math.min(Math.max(box.top + box.height / 2, 1), innerHeight - 1);
  const over = document.elementFromPoint(box.left + box.width / 2, middle);
  return {
    at: Number(one.dataset.walk ?? -1),
    what: one.outerHTML.slice(0, 90), by: over?.outerHTML.slice(0, 90), left: box.left, top: box.top,
    ring: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2,
    inside: box.bottom > 0 && box.top < innerHeight,
    covered: !(over === one || one.contains(over) || over?.contains(one)),
  };
}"""


@pytest.fixture
def page(browser: Browser, page_file: Path) -> Iterator[Page]:
    """The page in a window that was opened last: one behind others may keep keys for itself when it comes to the front."""
    context = browser.new_context(viewport={"width": 1200, "height": 760}, offline=True)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("ribwayPage.visibleRuns().length > 0 && document.hasFocus()", timeout=LONGEST_MS)
    yield page
    context.close()


def test_the_whole_page_is_walked_with_the_tab_key(page: Page) -> None:
    count = page.evaluate(NUMBERED)
    assert count > 30
    page.evaluate(BEGUN)
    page.keyboard.press("Tab")
    seen = []
    for _ in range(count):
        at = page.evaluate(STANDING)
        assert at["ring"], at
        assert at["inside"], at
        assert not at["covered"], at
        seen.append(at["at"])
        page.keyboard.press("Tab")
    # in the order in which the page is read, none left out and none twice
    assert seen == list(range(count))
    page.locator(f"[data-walk='{count - 1}']").focus()
    page.keyboard.press("Shift+Tab")
    assert page.evaluate(STANDING)["at"] == count - 2


def test_controls_are_worked_with_enter_and_space(page: Page) -> None:
    view = page.locator('[data-view="right"]')
    view.focus()
    page.keyboard.press("Enter")
    expect(view).to_have_attribute("aria-pressed", "true")
    wall = page.locator("[data-wall]").first
    before = wall.get_attribute("aria-pressed")
    wall.focus()
    page.keyboard.press("Space")
    assert wall.get_attribute("aria-pressed") != before
    page.keyboard.press("Space")
    expect(wall).to_have_attribute("aria-pressed", str(before))
    tab = page.locator('.plan:not([hidden]) .tab[data-panel="openings"]')
    tab.focus()
    page.keyboard.press("Enter")
    expect(page.locator('.plan:not([hidden]) .panel[data-panel="openings"]')).to_be_visible()
    head = page.locator('.plan:not([hidden]) .panel[data-panel="openings"] button.sort').first
    head.focus()
    page.keyboard.press("Space")
    expect(page.locator('.plan:not([hidden]) .panel[data-panel="openings"] th').first).to_have_attribute(
        "aria-sort", "ascending"
    )
    loom = page.locator("[data-loom]").first
    loom.focus()
    page.keyboard.press("Space")
    assert not loom.is_checked()
    page.keyboard.press("Space")
    assert loom.is_checked()


def test_escape_lets_go_of_what_is_picked_wherever_the_focus_is(page: Page) -> None:
    row = page.locator(".plan:not([hidden]) .of-runs button.pick, .plan:not([hidden]) tbody button.pick").first
    for where in ("row", "readout", "tab"):
        row.focus()
        page.keyboard.press("Enter")
        expect(page.locator("#readout")).to_be_visible()
        if where == "readout":
            page.locator("#readout button").first.focus()
        if where == "tab":
            page.locator(".plan:not([hidden]) .tab").first.focus()
        page.keyboard.press("Escape")
        expect(page.locator("#readout")).to_be_hidden()
        assert page.evaluate("ribwayPage.picked") is None
        assert page.evaluate("document.activeElement !== document.body"), where
    # in a field it is the field's own key: what is picked stays
    row.focus()
    page.keyboard.press("Enter")
    page.locator(".plan:not([hidden]) .panel:not([hidden]) input.filter").focus()
    page.keyboard.press("Escape")
    expect(page.locator("#readout")).to_be_visible()
