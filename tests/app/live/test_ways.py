"""Working in an alternative: its own edits, undo across ways, two ways beside each other with one camera."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from ruamel.yaml import YAML

from ribway.live.hub import Hub
from ribway.live.refusing import RefusedError
from samples.live import Seen, Server, opened, run_alone

LEFT = "fridge on the left"
MOVE = {"do": "move", "id": "fridge", "at": {"wall": "left", "back": "2.40 m", "up": "0.70 m"}}


def data(text: str) -> dict[str, Any]:
    found: dict[str, Any] = YAML(typ="safe").load(text)
    return found


def place(raw: dict[str, Any]) -> object:
    return next(one["at"] for one in raw["devices"] if one["id"] == "fridge")


def test_an_edit_in_an_alternative_stays_there_and_undo_takes_back_the_last_of_either(project: Path) -> None:
    """Nothing plans here: what is asked for is planned by processes that are never begun."""

    async def sitting() -> None:
        hub = Hub(project)
        hub.read()
        hub.crew.plan = lambda work, raw, revision: asked.append((work, revision))  # type: ignore[method-assign]
        asked: list[tuple[str, int]] = []
        state = await hub.open(LEFT, "")
        assert (state["here"], state["other"]) == (LEFT, "")
        asked.clear()
        state = await hub.edit(1, MOVE, LEFT)
        assert state["undo"] == f"move fridge ({LEFT})"
        assert asked == [(f"{LEFT} planned", 2)]  # the base is as it was: it is not planned again
        raw = data(hub._there().text)
        assert place(raw) == place(data(project.read_text(encoding="utf-8")))
        assert raw["alternatives"][0]["change"] == {"devices": {"fridge": {"at": MOVE["at"]}}}

        state = await hub.open("", LEFT)
        asked.clear()
        state = await hub.edit(state["revision"], {"do": "set device", "id": "fridge", "values": {"amps": "6 A"}}, "")
        assert {work for work, _ in asked} == {"plan", f"{LEFT} planned"}
        with pytest.raises(RefusedError) as stale:
            await hub.edit(state["revision"], MOVE, LEFT)
        assert stale.value.stale
        state = await hub.undo(state["revision"])
        assert state["undo"] == f"move fridge ({LEFT})"
        state = await hub.undo(state["revision"])
        assert (state["undo"], state["unsaved"]) == ("", False)

        state = await hub.edit(state["revision"], {"do": "add alternative", "name": "twin", "why": "to see"})
        assert (state["here"], state["other"], state["alternatives"][1]) == (
            "twin",
            "",
            {"name": "twin", "why": "to see"},
        )
        state = await hub.undo(state["revision"])
        assert state["here"] == ""
        assert "twin is no longer there" in state["said"]

    run_alone(sitting)


def camera(page: Page, which: str) -> list[float]:
    found: list[float] = page.evaluate(f"() => ribwayBench.{which}.camera.position.toArray()")
    return found


def test_two_ways_side_by_side_turn_together_and_differ_where_they_do(browser: Browser, server: Server) -> None:
    seen = Seen()
    page = opened(browser, server.address, width=1200, seen=seen)
    page.locator(".tab[data-panel=ways]").click()
    page.get_by_label(f"show it beside: {LEFT}").click()
    page.wait_for_function("() => ribwayBench.second && ribwayBench.other")
    page.get_by_label(f"work on it: {LEFT}").click()
    expect(page.locator("h1")).to_have_text(f"Small van – {LEFT}")
    page.wait_for_function("() => ribwayBench.other?.alternative === ''")
    left, right = (page.locator(one).bounding_box() for one in ("#canvas", "#second-canvas"))
    assert left is not None
    assert right is not None
    assert left["x"] + left["width"] <= right["x"]

    page.locator("#canvas").focus()
    before = camera(page, "view")
    page.keyboard.press("ArrowLeft")
    assert camera(page, "view") != before
    assert camera(page, "second") == pytest.approx(camera(page, "view"))
    page.locator("#second-canvas").focus()
    page.keyboard.press("+")
    assert camera(page, "view") == pytest.approx(camera(page, "second"))

    rows = page.get_by_label("Runs that differ").locator("tbody tr td:first-child").all_inner_texts()
    here, there = (
        {
            one["id"]: (one["metres"], one["cable"], one["openings"])
            for one in page.evaluate(f"() => ribwayBench.{which}.runs")
        }
        for which in ("plan", "other")
    )
    assert set(rows) == {run for run in {**here, **there} if here.get(run) != there.get(run)}
    assert "fridge" in rows

    # what is pressed in the picture beside is told as it is there, with names, and stands out in both
    x, y = page.evaluate(
        """() => {
          const { second } = ribwayBench;
          const line = second.lineOnScreen('fridge').filter(Boolean);
          return line.find(([x, y]) => second.at(x, y)?.id === 'fridge').slice(0, 2);
        }"""
    )
    page.locator("#second-canvas").click(position={"x": x, "y": y})
    expect(page.locator("#readout b")).to_contain_text("the base – fridge")
    for which in ("view", "second"):
        assert page.evaluate(f"() => [...ribwayBench.{which}.picked.runs]") == ["fridge"]
    expect(page.locator("#second-names")).to_contain_text("Fuse board")
    cut = next(one["cut"] for one in page.evaluate("() => ribwayBench.other.runs") if one["id"] == "fridge")
    expect(page.locator("#readout")).to_contain_text(f"cut {cut}")
    page.keyboard.press("Escape")
    expect(page.locator("#readout")).to_be_hidden()
    assert page.evaluate("() => ribwayBench.second.picked.runs.size") == 0

    # an edit here moves the fridge of this way only
    page.locator(".tab[data-panel=things]").click()
    page.locator("[data-thing=fridge]").click()
    page.locator(".of-things input[name=back]").fill("1.90 m")
    page.locator(".of-things input[name=back]").press("Enter")
    expect(page.locator("#undo")).to_have_text(f"undo: move fridge ({LEFT})")
    page.wait_for_function("() => ribwayBench.plan.revision === 2")
    at = "(plan) => plan.devices.find((one) => one.id === 'fridge').at.back"
    assert page.evaluate(f"() => ({at})(ribwayBench.plan)") == "1.90 m"
    assert page.evaluate(f"() => ({at})(ribwayBench.other)") == "2.05 m"
    assert seen.complaints == []
    page.close()
