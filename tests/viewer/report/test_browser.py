"""The report page in a real browser: what is drawn, picked, switched, typed, printed, and shown on a phone."""

from __future__ import annotations

import io
import json
from pathlib import Path

import numpy as np
import pypdf
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, Playwright

from ribway.models.plan.plan import Plan

PICKED = ".plan:not([hidden]) tr.picked"
APART_PX = 30
NEAR_HUE = 40


def settle(page: Page) -> None:
    """Wait until what was asked for is drawn."""
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def canvas_pixels(page: Page) -> np.ndarray:
    settle(page)
    return np.array(Image.open(io.BytesIO(page.locator("#canvas").screenshot())).convert("RGB")).astype(int)


def like(pixels: np.ndarray, colour: str) -> np.ndarray:
    """Which pixels have a colour's hue: compared without lightness, since lamps and edges change that."""
    wanted = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)])
    return np.abs((pixels - pixels.mean(-1, keepdims=True)) - (wanted - wanted.mean())).max(-1) < NEAR_HUE


def lonely_spot(page: Page, run: str, plan: Plan) -> tuple[float, float]:
    """A spot on a run's drawn line that is far from all others and from all devices, on the canvas [px]."""
    own = [spot[:2] for spot in page.evaluate("(id) => ribwayPage.runOnScreen(id)", run) if spot]
    rest = [page.evaluate("([x, y, z]) => ribwayPage.point(x, y, z)", device.point) for device in plan.devices]
    for other in plan.runs:
        if other.id != run:
            rest += page.evaluate("(id) => ribwayPage.runOnScreen(id)", other.id)
    far = np.array([spot[:2] for spot in rest if spot])
    gaps = np.linalg.norm(np.array(own)[:, None] - far[None], axis=2).min(axis=1)
    best = int(np.argmax(gaps))
    assert gaps[best] > APART_PX
    return own[best][0], own[best][1]


def test_it_asks_for_nothing_and_no_name_does_harm(page: Page, opened: tuple, page_file: Path) -> None:  # type: ignore[type-arg]
    assert opened[1].requests == [page_file.as_uri()]
    assert page.evaluate("window.harmed") is None
    assert page.locator("img").count() == 1
    assert "onerror" in page.locator('tr[data-id="battery"], .of-runs tbody').first.inner_text()


@pytest.mark.parametrize("view", ["overview", "right"])
def test_a_run_that_is_pointed_at_is_found_in_the_table(page: Page, page_plans: tuple[Plan, Plan], view: str) -> None:
    base = page_plans[0]
    page.click(f'[data-view="{view}"]')
    pixels = canvas_pixels(page)
    run = next(run for run in base.runs if run.kind == "ac")
    x, y = lonely_spot(page, run.id, base)
    # What is drawn there, by the picture's own pixels, is a cable of that run's loom.
    colour = next(loom.colour for loom in base.looms if run.id in loom.runs)
    spot = pixels[int(y) - 3 : int(y) + 4, int(x) - 3 : int(x) + 4]
    assert like(spot, colour).any()
    page.locator("#canvas").click(position={"x": x, "y": y})
    assert page.locator(PICKED).get_attribute("data-id") == run.id
    assert page.locator("#readout b").inner_text().startswith(f"{run.id}:")
    page.locator("#canvas").click(position={"x": 3, "y": 3})
    assert page.locator(PICKED).count() == 0


def test_a_row_that_is_clicked_makes_its_run_stand_out(page: Page, page_plans: tuple[Plan, Plan]) -> None:
    base = page_plans[0]
    run = next(run for run in base.runs if run.kind == "ac")
    other = next(loom.colour for loom in base.looms if run.id not in loom.runs)
    before = like(canvas_pixels(page), other).sum()
    page.locator(f'.of-runs:visible tr[data-id="{run.id}"] button.pick').click()
    after = like(canvas_pixels(page), other).sum()
    assert page.evaluate("[...ribwayPage.view.picked.runs]") == [run.id]
    assert before > 100
    assert after < before / 3  # all others fade
    page.keyboard.press("Enter")
    assert page.evaluate("[...ribwayPage.view.picked.runs]") == []


def test_a_loom_that_is_switched_off_is_not_drawn(page: Page, page_plans: tuple[Plan, Plan]) -> None:
    base = page_plans[0]
    loom = base.looms[0]
    box = page.locator(f'[data-loom="{loom.id}"]:visible')
    before = like(canvas_pixels(page), loom.colour).sum()
    box.uncheck()
    hidden = like(canvas_pixels(page), loom.colour).sum()
    assert set(page.evaluate("ribwayPage.visibleRuns()")) == {run.id for run in base.runs} - set(loom.runs)
    box.check()
    assert hidden < before / 10
    assert like(canvas_pixels(page), loom.colour).sum() == before


def test_a_walls_metal_can_be_taken_away(page: Page) -> None:
    with_metal = canvas_pixels(page)
    page.click('[data-wall="left"]')
    without = canvas_pixels(page)
    page.click('[data-wall="left"]')
    assert (with_metal != without).any(axis=-1).sum() > 1000
    assert (canvas_pixels(page) == with_metal).all()


def test_tables_are_sorted_and_searched(page: Page, page_plans: tuple[Plan, Plan]) -> None:
    runs = page_plans[0].runs
    panel = page.locator(".of-runs:visible")
    by_length = [run.cut_m for run in sorted(runs, key=lambda run: run.cut_m)]
    sort = panel.locator("button.sort", has_text="Cut length")
    ids = "rows => rows.map(row => row.dataset.id)"
    cut = {run.id: run.cut_m for run in runs}
    for wanted in (by_length, by_length[::-1]):
        sort.click()
        assert [cut[name] for name in panel.locator("tbody tr").evaluate_all(ids)] == wanted
    panel.locator(".filter").fill(runs[1].id)
    assert runs[1].id in panel.locator("tbody tr:visible").evaluate_all(ids)
    assert panel.locator("tbody tr:visible").count() < len(runs)
    panel.locator(".filter").fill("")
    assert panel.locator("tbody tr:visible").count() == len(runs)


def test_alternatives_are_switched(page: Page, page_plans: tuple[Plan, Plan]) -> None:
    base, other = page_plans
    page.click('[data-show="1"]')
    row = page.locator(f'.of-runs:visible tr[data-id="{base.runs[0].id}"]')
    assert f"{other.runs[0].cut_m:.2f} m" in row.inner_text()
    page.click('.plan:visible .tab[data-panel="figures"]')
    assert page.locator(".of-figures:visible th").all_inner_texts() == ["Figure", "base", "longer"]


def test_what_is_typed_survives_a_reload_and_is_saved_to_a_file(page: Page, page_plans: tuple[Plan, Plan]) -> None:
    run = page_plans[0].runs[0].id
    row = f'.of-runs:visible tr[data-id="{run}"]'
    page.locator(f"{row} td.entry input").first.fill("=0,013")
    page.locator(f"{row} td.entry input").last.fill('3.42 "m"')
    page.locator(f"{row} td.tick input").check()
    page.reload()
    page.wait_for_function("ribwayPage.visibleRuns().length > 0")
    assert page.locator(f"{row} td.entry input").first.input_value() == "=0,013"
    assert page.locator(f"{row} td.tick input").is_checked()
    page.click('[data-show="1"]')
    assert not page.locator(f"{row} td.tick input").is_checked()  # another plan has notes of its own
    page.click('[data-show="0"]')
    saved = {}
    for kind in ("csv", "json"):
        with page.expect_download() as download:
            page.click(f'[data-export="{kind}"]')
        saved[kind] = Path(download.value.path()).read_text(encoding="utf-8-sig")
    notes = {note["what"]: note["value"] for note in json.loads(saved["json"])["notes"]}
    assert notes == {"done": True, "length as run": '3.42 "m"', "ohms found": "=0,013"}
    lines = saved["csv"].splitlines()
    assert lines[0] == "plan,alternative,revision,table,about,what,value"
    assert f'Sample box,base,A,runs,{run},length as run,"3.42 ""m"""' in lines
    assert f'Sample box,base,A,runs,{run},ohms found,"\'=0,013"' in lines  # no formula for a spreadsheet


def test_it_prints_with_all_tables_and_the_picture(page: Page, page_plans: tuple[Plan, Plan]) -> None:
    printed = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=True)))
    words = "\n".join(sheet.extract_text() for sheet in printed.pages)
    for title in ("Runs", "Cut list", "Openings", "Circuits", "Looms", "Cautions", "Cut length", "Mind the edge."):
        assert title in words
    assert all(run.id in words for run in page_plans[0].runs)
    assert printed.pages[0].mediabox.width > printed.pages[0].mediabox.height
    pictures = [image.image for sheet in printed.pages for image in sheet.images]
    assert any(image is not None and np.array(image.convert("L")).std() > 5 for image in pictures)


def test_the_picture_and_the_heads_stay_while_a_table_is_read(page: Page) -> None:
    """The tools scroll away; picture, then heads, then rows stand one below the other, none over another."""
    page.evaluate("document.querySelector('.plan:not([hidden]) .of-runs table').scrollIntoView()")
    page.mouse.wheel(0, 60)
    settle(page)
    box = "(name) => { const b = document.querySelector(name).getBoundingClientRect(); return [b.top, b.bottom]; }"
    tools, picture = page.evaluate(box, "#tools"), page.evaluate(box, "#picture")
    head = page.evaluate(box, ".plan:not([hidden]) .of-runs thead th")
    assert tools[1] <= 1
    assert picture[0] == pytest.approx(0, abs=2)
    assert picture[1] <= head[0] <= picture[1] + 30
    assert head[1] < 0.75 * 760  # the rows keep a quarter of the screen at least


def test_the_first_sheet_holds_the_picture_and_the_whole_legend(page: Page, page_plans: tuple[Plan, Plan]) -> None:
    printed = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=True)))
    first = printed.pages[0]
    assert len(first.images) == 1
    words = first.extract_text()
    assert all(f"{loom.id}" in words for loom in page_plans[0].looms)
    assert "opening with room left" in words


def test_on_a_phone_nothing_sticks_out_and_fingers_find_their_mark(
    browser: Browser, page_file: Path, page_plans: tuple[Plan, Plan]
) -> None:
    context = browser.new_context(
        viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True, device_scale_factor=2, offline=True
    )
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("ribwayPage.visibleRuns().length > 0")
    settle(page)
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    buttons = page.locator("button:visible")
    sizes = [box for box in (one.bounding_box() for one in buttons.all()) if box]
    assert min(box["height"] for box in sizes) >= 44  # WCAG 2.2, 2.5.5 target size: 44 by 44 CSS pixels
    assert min(box["width"] for box in sizes) >= 44
    run = next(run for run in page_plans[0].runs if run.kind == "ac")
    x, y = lonely_spot(page, run.id, page_plans[0])
    page.locator("#canvas").tap(position={"x": x + 8, "y": y})  # a thumb is never quite there
    assert page.locator("#readout b").inner_text().startswith(f"{run.id}:")
    page.locator("#readout button", has_text="find in table").tap()
    assert page.evaluate("document.activeElement.closest('tr').dataset.id") == run.id
    page.locator("#to-picture").tap()
    assert page.evaluate("document.activeElement.id") == "canvas"
    page.keyboard.press("Tab")
    assert page.evaluate("getComputedStyle(document.activeElement).outlineWidth") == "4px"
    context.close()


def test_without_webgl_the_tables_stay(playwright_driver: Playwright, chromium_path: str, page_file: Path) -> None:
    bare = playwright_driver.chromium.launch(executable_path=chromium_path, args=["--no-sandbox", "--disable-3d-apis"])
    page = bare.new_page()
    page.goto(page_file.as_uri())
    assert "cannot draw in 3D" in page.locator("#no-picture").inner_text()
    assert not page.locator("#canvas").is_visible()
    page.click('.plan:visible .tab[data-panel="openings"]')
    assert page.locator(".of-openings:visible tbody tr").count() == 2
    bare.close()


def test_without_scripts_all_tables_can_be_read(browser: Browser, page_file: Path) -> None:
    context = browser.new_context(java_script_enabled=False, offline=True)
    page = context.new_page()
    page.goto(page_file.as_uri())
    for name in ("runs", "cuts", "openings", "circuits", "looms"):
        assert page.locator(f".of-{name}:visible tbody tr").count() > 0
    context.close()
