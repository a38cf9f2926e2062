"""Quick hands: what is pressed before the server has answered is done in turn, once, and in the way that was looked at."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from samples.live import LONGEST_MS, SMALL, Held, Server, at_rest, opened, settled

LEFT = "fridge on the left"


def type_place(page: Page, thing: str, back: str) -> None:
    page.locator(f"[data-thing={thing}]").click()
    page.locator(".of-things input[name=back]").fill(back)
    page.locator(".of-things input[name=back]").press("Enter")


def test_save_and_undo_wait_for_the_edit_before_them(browser: Browser, server: Server, project: Path) -> None:
    page = opened(browser, server.address, width=1200)
    held = Held(page, "/edit")
    type_place(page, "board", "1.30 m")
    held.wait()
    page.keyboard.press("Control+s")  # there is nothing to save yet, as far as the page knows
    held.let_go()
    page.wait_for_function("() => ribwayBench.state.said.startsWith('Saved')")
    assert "back: 1.30 m" in project.read_text(encoding="utf-8")
    expect(page.locator("#about")).to_have_text(f"{project}, saved")

    held = Held(page, "/edit")
    type_place(page, "board", "1.40 m")
    held.wait()
    page.locator("#canvas").focus()
    page.keyboard.press("Control+z")
    held.let_go()
    page.wait_for_function("() => ribwayBench.state.redo === 'move board'")
    expect(page.locator("#about")).to_have_text(f"{project}, saved")
    expect(page.locator(".said")).to_have_text("")
    page.close()


def test_enter_pressed_twice_adds_one_thing(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    held = Held(page, "/edit")
    page.locator("#add-thing").click()
    page.locator(".of-things input[name=name]").fill("Lamp")
    page.locator(".of-things input[name=amps]").fill("0.5 A")
    page.locator(".of-things select[name=wall]").select_option("roof")
    page.locator(".of-things input[name=back]").fill("1.20 m")
    for _ in range(2):
        page.locator(".of-things input[name=back]").press("Enter")
    held.wait()
    page.locator(".tab[data-panel=keep-out]").click()
    for name, value in (("name", "shelf"), ("corner-back", "2.20 m"), ("corner-up", "0.40 m"),
                        ("opposite-back", "2.40 m"), ("opposite-up", "0.60 m")):  # fmt: skip
        page.locator(f".of-keep-out input[name={name}]").fill(value)
    for _ in range(2):
        page.locator(".of-keep-out input[name=opposite-up]").press("Enter")
    page.locator(".of-keep-out input[name=name]").fill("window")  # the next one, while the first is under way
    held.let_go()
    settled(page, 3)
    at_rest(page)
    assert page.evaluate("() => ribwayBench.state.revision") == 3
    assert page.evaluate("() => ribwayBench.plan.devices.map((one) => one.name)") == [
        "Battery", "Fuse board", "Fridge", "Lamp",
    ]  # fmt: skip
    assert page.evaluate("() => ribwayBench.plan.keepOuts.map((one) => one.name)") == ["shelf"]
    expect(page.locator(".of-keep-out .fault")).to_be_hidden()
    expect(page.locator(".of-keep-out input[name=name]")).to_have_value("window")
    page.close()


def test_an_edit_is_made_in_the_way_that_is_shown_or_not_at_all(browser: Browser, server: Server) -> None:
    """Another window opens another way; here its plan is not there yet, and the base is still looked at."""
    page = opened(browser, server.address, width=1200)
    at_rest(page)
    held = Held(page, f"/plan?alternative={LEFT.replace(' ', '%20')}")
    page.evaluate(
        """(here) => fetch("/ways", { method: "POST", headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ here, beside: null }) })""",
        LEFT,
    )
    held.wait()
    type_place(page, "board", "1.30 m")
    expect(page.locator(".of-things .fault")).to_contain_text("in another window meanwhile")
    assert page.evaluate("() => ribwayBench.state.undo") == ""
    held.let_go()
    expect(page.locator("h1")).to_have_text(f"Small van – {LEFT}")
    page.close()


def test_what_is_refused_is_said_until_something_else_is_done(browser: Browser, server: Server, project: Path) -> None:
    page = opened(browser, server.address, width=1200)
    type_place(page, "board", "1.30 m")
    settled(page, 2)
    project.write_text(SMALL.replace("Small van", "Their van"), encoding="utf-8")
    page.wait_for_function("() => ribwayBench.state.disk === 'changed'")
    page.locator("#save").click()
    said = page.locator(".said")
    expect(said).to_contain_text("nothing was written")
    for number in (1, 2):  # the server says something else meanwhile
        page.evaluate("() => fetch('/keep-copy', { method: 'POST', headers: { 'Content-Type': 'application/json' } })")
        page.wait_for_function(
            "(name) => ribwayBench.state.said.includes(name)", arg=f"mine-{number}", timeout=LONGEST_MS
        )
        expect(said).to_contain_text("nothing was written")
    page.locator("#undo").click()
    expect(said).to_have_text("")
    page.close()


def test_what_was_pointed_at_and_undone_at_once_stands_where_the_plan_has_it(browser: Browser, server: Server) -> None:
    """Both plans are of the same scene: the picture would not be drawn anew for the second."""
    page = opened(browser, server.address, width=1200)
    at_rest(page)
    stands = "() => ribwayBench.view.devices.find((one) => one.device.id === 'fridge').place.slice()"
    before = page.evaluate(stands)
    held = Held(page, "/plan?alternative=")
    page.locator('#tools [data-view="right"]').click()
    page.locator("[data-thing=fridge]").click()
    page.get_by_role("button", name="point at the wall").click()
    x, y, _ = page.evaluate("() => ribwayBench.point(-2.6, -0.85, 0.9)")
    page.locator("#canvas").click(position={"x": x, "y": y})
    assert page.evaluate(stands) != before
    page.wait_for_function("() => ribwayBench.state.undo === 'move fridge'")
    page.locator("#undo").click()
    page.wait_for_function("() => !ribwayBench.state.undo && !ribwayBench.state.busy.length")
    held.let_go()
    settled(page, 3)
    assert page.evaluate(stands) == before
    page.close()


def test_a_plan_that_did_not_come_is_asked_for_again(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    at_rest(page)
    lost: list[str] = []

    def lose_one(route: object) -> None:
        lost.append(route.request.url)  # type: ignore[attr-defined]
        route.abort() if len(lost) == 1 else route.continue_()  # type: ignore[attr-defined]

    page.route("**/plan?alternative=fridge*", lose_one)
    page.locator(".tab[data-panel=ways]").click()
    page.get_by_label(f"show it beside: {LEFT}").click()
    page.wait_for_function("() => ribwayBench.second && ribwayBench.other")
    at_rest(page)
    assert len(lost) >= 2
    page.close()


def test_other_metal_is_a_view_of_its_own_that_looks_where_the_one_before_looked(
    browser: Browser, server: Server
) -> None:
    page = opened(browser, server.address, width=1200)
    at_rest(page)
    page.locator('#tools [data-view="left"]').click()
    page.evaluate("() => { window.before = ribwayBench.view; }")
    page.evaluate(
        """() => fetch("/edit", { method: "POST", headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ revision: ribwayBench.state.revision,
            edit: { do: "value", names: ["vehicle", "preset"], value: "medium-high" } }) })"""
    )
    page.wait_for_function("() => ribwayBench.view !== window.before")
    assert page.evaluate("() => ribwayBench.view.view.name") == "left"
    expect(page.locator('#tools [data-view="left"]')).to_have_attribute("aria-pressed", "true")
    at_rest(page)
    places = "() => [before, ribwayBench.view].map((one) => one.camera.position.toArray())"
    first = page.evaluate(places)
    box = page.locator("#canvas").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 200, box["y"] + 150)
    page.mouse.down()
    page.mouse.move(box["x"] + 260, box["y"] + 180, steps=4)
    page.mouse.up()
    then = page.evaluate(places)
    assert then[0] == first[0]  # what is no longer seen does not hear the mouse
    assert then[1] != first[1]
    page.close()
