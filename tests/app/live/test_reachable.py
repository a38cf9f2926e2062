"""The live page for everybody: read light and dark, pressed with gloves, walked through with the keyboard alone."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from samples.contrast import faint_texts, small_targets
from samples.live import Server, at_rest, opened, settled

PANELS = ("things", "keep-out", "openings", "runs", "looms", "findings", "circuits", "ways", "papers")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_panel_can_be_read_and_pressed_on_a_phone(browser: Browser, server: Server, scheme: str) -> None:
    page = opened(browser, server.address, width=360)
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.locator("#more").evaluate("(one) => { one.open = true; }")
    for panel in PANELS:
        page.locator(f".tab[data-panel={panel}]").click()
        if panel == "things":
            page.locator("[data-thing=fridge]").click()
        if panel == "runs":
            page.locator(".of-runs button.pick").first.click()
        assert faint_texts(page) == [], panel
        assert small_targets(page) == [], panel
    page.close()


def test_what_undo_takes_back_is_read_whole_on_a_phone(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=360)
    head = "() => document.getElementById('head').offsetHeight"
    where = "fridge on the left"
    page.locator(".tab[data-panel=ways]").click()
    page.get_by_label(f"work on it: {where}").click()
    expect(page.locator("h1")).to_contain_text(where)
    at_rest(page)
    before = page.evaluate(head)
    page.evaluate(
        """async (here) => {
          const post = async (path, body) => (await fetch(path, { method: "POST",
            headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) })).json();
          for (const amps of ["6 A", "7 A"]) {
            const { revision } = ribwayBench.state;
            await post("/edit", { revision, here, edit: { do: "set device", id: "fridge", values: { amps } } });
            while (ribwayBench.state.revision === revision) await new Promise((go) => setTimeout(go, 10));
          }
          await post("/undo", { revision: ribwayBench.state.revision });
        }""",
        where,
    )
    expect(page.locator("#redo")).to_have_text(f"do again: change fridge ({where})")
    expect(page.locator("#undo")).to_have_text(f"undo: change fridge ({where})")
    at_rest(page)
    for button in ("undo", "redo"):
        assert page.locator(f"#{button}").evaluate(
            "(one) => one.scrollWidth <= one.clientWidth && one.scrollHeight <= one.clientHeight"
        ), button
    assert page.evaluate(head) == before
    page.close()


@pytest.mark.parametrize("width", [360, 800, 1200])
def test_nothing_moves_when_work_begins_and_ends(browser: Browser, server: Server, width: int) -> None:
    """Planning begins and ends many times in a sitting: what a thumb is about to press stays where it is."""
    page = opened(browser, server.address, width=width)
    page.locator("[data-thing=fridge]").click()
    at_rest(page)
    page.evaluate(
        """() => {
          window.seen = [];
          const look = () => window.seen.push([document.getElementById('work').children.length,
            document.getElementById('bench').getBoundingClientRect().top + scrollY]);
          look();
          new MutationObserver(look).observe(document.getElementById('work'), { childList: true, subtree: true });
        }"""
    )
    page.locator(".of-things input[name=back]").fill("2.30 m")
    page.locator(".of-things input[name=back]").press("Enter")
    settled(page, 2)
    at_rest(page)
    seen = page.evaluate("() => window.seen")
    assert {0, 1} <= {lines for lines, _ in seen}
    assert len({top for _, top in seen}) == 1
    page.close()


def test_the_whole_page_is_walked_with_the_tab_key(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    at_rest(page)  # till then a button is there that stops the work
    page.locator("[data-thing=fridge]").click()
    wanted = page.evaluate(
        """() => [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')]
          .filter((one) => !one.disabled && one.checkVisibility({ checkVisibilityCSS: true }))
          .map((one, i) => { one.dataset.walk = String(i); return String(i); })"""
    )
    page.evaluate(
        "() => { document.activeElement.blur(); window.getSelection().removeAllRanges(); window.scrollTo(0, 0); }"
    )
    seen: list[str] = []
    for _ in range(len(wanted) + 5):
        page.keyboard.press("Tab")
        at = page.evaluate(
            """() => {
              const one = document.activeElement;
              const style = getComputedStyle(one);
              const box = one.getBoundingClientRect();
              const inside = box.bottom > 0 && box.top < innerHeight;
              const ring = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
              return { at: one.dataset.walk ?? '', ring, inside };
            }"""
        )
        if at["at"]:
            assert at["ring"], at
            assert at["inside"], at
            seen.append(at["at"])
    assert set(wanted) <= set(seen)

    # all of a small job without a mouse: to the lists past the picture, a tab, a thing, a new place, undo
    page.locator(".skip").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "side"
    page.locator("[data-thing=board]").focus()
    page.keyboard.press("Enter")
    back = page.locator(".of-things input[name=back]")
    back.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("1.30 m")
    page.keyboard.press("Enter")
    settled(page, 2)
    page.locator("#undo").focus()
    page.keyboard.press("Enter")
    settled(page, 3)
    expect(page.locator("#undo")).to_be_disabled()
    page.close()
