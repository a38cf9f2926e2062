"""The live page in a real browser: place, move, undo, save, reload, keep out, block; two windows; a killed server."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser, Page, expect
from ruamel.yaml import YAML

from samples.live import LONGEST_MS, SMALL, Seen, Server, opened, settled


def revision(page: Page) -> int:
    return int(page.evaluate("() => ribwayBench.state.revision"))


def run_of(page: Page, run: str) -> dict[str, list[str]]:
    found = page.evaluate("(id) => ribwayBench.plan.scene.runs.find((one) => one.id === id)", run)
    return {"openings": found["openings"], "lines": found["lines"]}


def on_canvas(page: Page, point: tuple[float, float, float]) -> tuple[float, float]:
    """Where a point of the van is in the window [px]."""
    x, y, _ = page.evaluate("(p) => ribwayBench.point(...p)", list(point))
    box = page.locator("#canvas").bounding_box()
    assert box is not None
    return box["x"] + x, box["y"] + y


def look_at(page: Page, wall: str) -> None:
    page.locator(f'#tools [data-view="{wall}"]').click()


def on_disk(file: Path) -> dict[str, list[dict[str, object]]]:
    found: dict[str, list[dict[str, object]]] = YAML(typ="safe").load(file)
    return found


def test_a_thing_is_placed_moved_by_pointing_taken_back_saved_and_there_after_a_reload(
    browser: Browser, server: Server, project: Path
) -> None:
    seen = Seen()
    page = opened(browser, server.address, seen=seen)

    # without a mouse: a lamp on the roof, fed from the board
    page.locator("#add-thing").focus()
    page.keyboard.press("Enter")
    page.locator(".of-things input[name=name]").fill("Lamp")
    page.locator(".of-things input[name=amps]").fill("0.5 A")
    page.locator(".of-things select[name=wall]").select_option("roof")
    page.locator(".of-things input[name=back]").fill("1.20 m")
    page.locator(".of-things input[name=back]").press("Enter")
    settled(page, 2)
    page.locator(".tab[data-panel=runs]").press("Enter")
    expect(page.locator(".of-runs tbody tr[data-id=lamp]")).to_contain_text("Fuse board")
    page.locator(".tab[data-panel=things]").press("Enter")

    # with the mouse: the fridge goes where the wall is pointed at
    before = run_of(page, "fridge")
    look_at(page, "right")
    page.locator("[data-thing=fridge]").click()
    page.get_by_role("button", name="point at the wall").click()
    page.mouse.click(*on_canvas(page, (-2.6, -0.85, 0.9)))
    settled(page, 3)
    moved = run_of(page, "fridge")
    assert moved["lines"] != before["lines"]
    point = page.evaluate("() => ribwayBench.plan.scene.devices.find((one) => one.id === 'fridge').point")
    assert abs(point[0] + 2.6) < 0.02
    assert abs(point[2] - 0.9) < 0.02

    page.locator("#undo").click()
    settled(page, 4)
    assert run_of(page, "fridge") == before
    page.locator("#redo").click()
    settled(page, 5)
    assert run_of(page, "fridge") == moved

    page.locator("#save").click()
    expect(page.locator("#about")).to_have_text(f"{project}, saved")
    devices = {one["id"]: one for one in on_disk(project)["devices"]}
    assert devices["lamp"]["at"] == {"wall": "roof", "back": "1.20 m"}
    assert devices["fridge"]["at"] == {"wall": "right", "back": "2.60 m", "up": "0.90 m"}
    assert "# under the bench" in project.read_text(encoding="utf-8")
    assert project.with_name("project.yaml.bak-1").read_text(encoding="utf-8") == SMALL

    page.reload()
    page.wait_for_function("() => window.ribwayBench?.plan")
    assert run_of(page, "fridge") == moved
    assert seen.complaints == []
    page.close()


def test_two_windows_a_keep_out_and_a_blocked_opening(browser: Browser, server: Server) -> None:
    seen = Seen()
    page, second = opened(browser, server.address, seen=seen), opened(browser, server.address)
    through = run_of(page, "fridge")["openings"]

    # blocked in one window: the other sees the cable go another way
    page.locator(".tab[data-panel=openings]").click()
    page.locator("#opening").select_option(through[0])
    page.get_by_role("button", name="blocked", exact=True).click()
    settled(page, 2)
    settled(second, 2)
    assert through[0] not in run_of(second, "fridge")["openings"]
    assert run_of(second, "fridge") == run_of(page, "fridge")

    # an edit made on what is no longer so is refused in words, and the new state comes with the refusal
    stale = second.evaluate(
        """async () => {
          const edit = { do: "take out device", id: "fridge" };
          const body = JSON.stringify({ revision: 1, edit });
          const answer = await fetch("/edit", { method: "POST", headers: { "Content-Type": "application/json" }, body });
          return [answer.status, await answer.json()];
        }"""
    )
    assert stale[0] == 409
    assert "changed in another window" in stale[1]["words"]
    assert stale[1]["state"]["revision"] == revision(page) == 2

    # two corners on a wall
    look_at(page, "left")
    page.locator(".tab[data-panel=keep-out]").click()
    page.get_by_role("button", name="point at two corners").click()
    page.mouse.click(*on_canvas(page, (-2.2, 0.85, 0.4)))
    page.mouse.click(*on_canvas(page, (-2.4, 0.85, 0.6)))
    page.locator(".of-keep-out input[name=name]").fill("shelf screws")
    page.locator(".of-keep-out input[name=name]").press("Enter")
    settled(page, 3)
    settled(second, 3)
    outline = second.evaluate("() => ribwayBench.plan.keepOuts[0]")
    assert (outline["name"], outline["corner"]["wall"], outline["opposite"]["wall"]) == ("shelf screws", "left", "left")
    assert second.evaluate("() => ribwayBench.view.keepOuts.length") == 1
    assert seen.complaints == []
    page.close()
    second.close()


def test_on_a_phone_under_its_own_rules_with_another_way_beside_it(browser: Browser, server: Server) -> None:
    """The page's policy in force, at 360 px: nothing is refused by it, and nothing is wider than the screen."""
    seen = Seen()
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.set_default_timeout(LONGEST_MS)
    page.on("console", lambda message: seen.complaints.append(message.text))
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    page.goto(server.address)
    expect(page.locator("#totals dd").first).to_contain_text("kg")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.locator(".tab[data-panel=ways]").click()
    page.get_by_label("show it beside: fridge on the left").click()
    expect(page.get_by_label("Figures side by side").locator("tbody tr").first).to_contain_text("kg")
    expect(page.locator("#second-canvas")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert seen.complaints == []
    page.close()


def test_a_killed_server_loses_nothing_and_a_file_changed_meanwhile_is_not_overwritten(
    browser: Browser, server: Server, project: Path
) -> None:
    page = opened(browser, server.address)
    page.locator("[data-thing=fridge]").click()
    page.locator(".of-things input[name=back]").fill("2.30 m")
    page.locator(".of-things input[name=back]").press("Enter")
    settled(page, 2)
    page.close()
    server.kill()
    assert project.read_text(encoding="utf-8") == SMALL

    server.start()
    page = opened(browser, server.address)
    expect(page.locator("#panels")).to_contain_text("not saved the last time are here again")
    assert page.evaluate("() => ribwayBench.plan.devices.find((one) => one.id === 'fridge').at.back") == "2.30 m"

    theirs = SMALL.replace("Small van", "Their van")
    project.write_text(theirs, encoding="utf-8")
    expect(page.locator("#banner")).to_contain_text("changed by somebody else")
    page.locator("#save").click()
    expect(page.locator("#panels")).to_contain_text("nothing was written")
    assert project.read_text(encoding="utf-8") == theirs
    page.get_by_role("button", name="take the file as it is now").click()
    expect(page.locator("h1")).to_have_text("Their van")
    assert "back: 2.30 m" in project.with_name("project.mine-1.yaml").read_text(encoding="utf-8")
    assert project.read_text(encoding="utf-8") == theirs
    page.close()


def test_what_cannot_be_planned_when_it_is_opened_is_put_right_in_its_form(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "project.yaml"
    file.write_text(SMALL.replace("{wall: right, back: 2.05 m", "{wall: right, back: 90 m"), encoding="utf-8")
    server = Server(file)
    page = opened(browser, server.address, width=1200)
    expect(page.locator("#faults")).to_contain_text("devices / fridge / at")
    page.locator("[data-thing=fridge]").click()
    back = page.locator(".of-things input[name=back]")
    expect(back).to_have_value("90 m")
    back.fill("2.05 m")
    back.press("Enter")
    page.wait_for_function("() => ribwayBench.plan.scene.runs.length > 0")
    expect(page.locator("#faults")).to_be_hidden()
    back.fill("80 m")
    back.press("Enter")
    expect(page.locator("#faults, .of-things .fault").first).to_be_visible()
    settled(page, 3)
    page.reload()
    page.locator("[data-thing=fridge]").click()
    expect(back).to_have_value("80 m")
    page.close()
    server.process.terminate()
    server.process.wait(10)
