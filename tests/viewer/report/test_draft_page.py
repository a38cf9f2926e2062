"""The page of a draft in a real browser: ticks, typed values, the picture, and the file of answers that is saved."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from ribway.models.review.answers import answered, read_answers_file
from ribway.models.review.review import Review, review_of
from ribway.viewer.draft.metal import Metal
from ribway.viewer.draft.page import ANSWERS_FILE, draft_page_text
from samples.draft import found_holes, hole

NASTY = '</script><img src=x onerror="window.harmed=1">'


def review() -> Review:
    return review_of(
        [*found_holes(), hole("L1c", 1.2, state="measured", mark="confirmed"), hole("R1a", 0.5, rowed=True)]
    )


def metal() -> list[Metal]:
    wall = np.array([[0, 0.9, 0], [-2, 0.9, 0], [-2, 0.9, 1.6], [0, 0.9, 1.6]])
    faces = np.array([[0, 1, 2], [0, 2, 3]], dtype=np.int32)
    return [Metal("left", "skin", "left", wall, faces), Metal("right", "skin", "right", wall * [1, -1, 1], faces)]


@pytest.fixture(scope="module")
def draft_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("draft") / "draft.html"
    file.write_text(draft_page_text(NASTY, "project.yaml", metal(), review()), encoding="utf-8", newline="\n")
    return file


@pytest.fixture
def page(browser: Browser, draft_file: Path) -> Iterator[Page]:
    """The page, opened anew; what it complains of or asks for fails the test that was at work."""
    context = browser.new_context(viewport={"width": 1200, "height": 800}, offline=True, accept_downloads=True)
    page = context.new_page()
    complaints: list[str] = []
    requests: set[str] = set()
    page.on("console", lambda message: complaints.append(message.text) if message.type != "log" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", lambda request: requests.add(request.url.split(":")[0]))
    page.goto(draft_file.as_uri())
    page.wait_for_function("window.ribwayDraft !== undefined")
    yield page
    assert complaints == []
    assert requests <= {"file", "blob"}
    context.close()


def field(page: Page, name: str, what: str) -> str:
    return f'input[data-hole="{name}"][data-what="{what}"]'


def saved_answers(page: Page, folder: Path) -> Path:
    with page.expect_download() as caught:
        page.click("#save")
    assert caught.value.suggested_filename == ANSWERS_FILE
    file = folder / ANSWERS_FILE
    caught.value.save_as(file)
    return file


def test_what_is_ticked_and_typed_comes_out_as_answers_that_ribway_takes(page: Page, tmp_path: Path) -> None:
    page.check(field(page, "L1a", "confirm"))
    page.fill(field(page, "L1a", "rename"), "low hole")
    page.check(field(page, "L1b", "confirm"))
    page.check(field(page, "L1b", "delete"))  # one or the other
    page.fill(field(page, "L1d", "forward"), "-2,5")
    page.fill(field(page, "L1d", "up"), "4 mm")
    expect(page.locator("#sums")).to_have_text("3 to look at, 2 confirmed, 1 deleted")
    after = answered(review(), read_answers_file(saved_answers(page, tmp_path)))
    assert [(one.name, one.mark) for one in after.holes] == [
        ("low hole", "confirmed"), ("L1b", "deleted"), ("L1d", "open"), ("window-left-1", "open"), ("L1c", "confirmed"),
        ("R1a", "open"),
    ]  # fmt: skip
    assert after.hole("L1d").moved_m == pytest.approx((-0.0025, 0.0, 0.004))
    assert page.evaluate("window.harmed") is None


def test_nothing_said_is_nothing_answered(page: Page, tmp_path: Path) -> None:
    page.check(field(page, "L1a", "confirm"))
    page.uncheck(field(page, "L1a", "confirm"))
    assert answered(review(), read_answers_file(saved_answers(page, tmp_path))) == review()


@pytest.mark.parametrize(("what", "text"), [("up", "three"), ("left", "501"), ("rename", "a/b"), ("forward", "1.2.3")])
def test_a_value_that_cannot_be_taken_is_shown_and_not_saved(page: Page, what: str, text: str) -> None:
    page.fill(field(page, "L1a", what), text)
    expect(page.locator("#save")).to_be_disabled()
    expect(page.locator("#bad")).to_contain_text("1 typed value")
    assert page.locator(field(page, "L1a", what)).get_attribute("aria-invalid") == "true"
    page.fill(field(page, "L1a", what), "")
    expect(page.locator("#save")).to_be_enabled()
    expect(page.locator("#bad")).to_have_text("")


def test_the_picture_and_the_list_point_at_each_other(page: Page) -> None:
    page.click('[data-view="left"]')
    page.wait_for_timeout(100)
    x, y, _ = page.evaluate("ribwayDraft.holeOnScreen('L1b')")
    page.locator("#canvas").click(position={"x": x, "y": y})
    assert page.locator("tr.picked").get_attribute("data-id") == "L1b"
    expect(page.locator("#readout b")).to_have_text("L1b: way, slot 20.0 x 45.0 mm")
    page.locator('tr[data-id="L1d"] button.pick').click()
    assert page.evaluate("ribwayDraft.picked") == "L1d"
    expect(page.locator("#readout")).to_contain_text("a candidate: 56 % sure")
    page.locator("#canvas").click(position={"x": 3, "y": 3})
    assert page.evaluate("ribwayDraft.picked") is None


def test_a_tick_changes_how_the_opening_is_drawn(page: Page) -> None:
    page.click('[data-view="left"]')
    shots = []
    for what in ("", "confirm", "delete"):
        if what:
            page.check(field(page, "L1a", what))
        page.wait_for_timeout(100)
        x, y, _ = page.evaluate("ribwayDraft.holeOnScreen('L1a')")
        shot = np.array(Image.open(io.BytesIO(page.locator("#canvas").screenshot())).convert("RGB")).astype(int)
        shots.append(shot[int(y) - 5 : int(y) + 6, int(x) - 5 : int(x) + 6].reshape(-1, 3).mean(axis=0))
    ring, full, grey = shots
    assert np.ptp(full) > np.ptp(ring) + 30  # a full dot has more colour than a ring
    assert np.ptp(grey) < 25


def test_openings_of_rows_have_no_fields_for_name_and_place(page: Page) -> None:
    assert page.locator('tr[data-id="R1a"] input').count() == 2
    assert page.locator('tr[data-id="L1a"] input').count() == 6


def test_ticks_stay_in_the_browser(page: Page) -> None:
    page.check(field(page, "L1d", "confirm"))
    page.reload()
    page.wait_for_function("window.ribwayDraft !== undefined")
    assert page.is_checked(field(page, "L1d", "confirm"))
    expect(page.locator("#sums")).to_have_text("4 to look at, 2 confirmed, 0 deleted")
