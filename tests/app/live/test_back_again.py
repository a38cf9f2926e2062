"""A server that was killed and started again at its address: pages that were open go on by themselves, with what it has now."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from samples.live import LONGEST_MS, SMALL, Server, at_rest, opened, settled


def come_back(page: Page, sitting: str) -> None:
    page.wait_for_function(
        "(sitting) => ribwayBench.state.sitting !== sitting && ribwayBench.shown.plan.startsWith(ribwayBench.state.sitting)",
        arg=sitting,
    )
    at_rest(page)


def sitting_of(page: Page) -> str:
    return str(page.evaluate("() => ribwayBench.state.sitting"))


def test_pages_show_what_the_new_server_has(browser: Browser, server: Server, project: Path) -> None:
    """Its plans are numbered from 1 again: what is kept of the old server's must not be taken for them."""
    page, second = opened(browser, server.address, width=1200), opened(browser, server.address)
    page.locator(".tab[data-panel=runs]").click()
    expect(page.locator(".of-runs tbody")).to_contain_text("Fridge")
    at_rest(page)
    at_rest(second)
    page.locator(".tab[data-panel=things]").click()
    page.locator("[data-thing=fridge]").click()
    page.locator(".of-things input[name=amps]").fill("7 A")  # not sent yet
    before = sitting_of(page)
    server.kill()
    expect(page.locator(".said")).to_contain_text("does not answer")
    page.locator(".of-things input[name=amps]").press("Enter")
    expect(page.locator(".of-things .fault")).to_contain_text("does not answer")
    project.write_text(SMALL.replace("name: Fridge, at", "name: Cold box, at"), encoding="utf-8")
    server.start()
    for each in (page, second):
        come_back(each, before)
        expect(each.locator("[data-thing=fridge]")).to_contain_text("Cold box")
    expect(page.locator(".said")).to_have_text("")
    expect(page.locator(".of-things input[name=amps]")).to_have_value("7 A")
    page.locator(".tab[data-panel=runs]").click()
    expect(page.locator(".of-runs tbody tr[data-id=fridge]")).to_contain_text("Cold box")
    page.locator(".tab[data-panel=things]").click()
    page.locator(".of-things input[name=amps]").press("Enter")
    for each in (page, second):
        settled(each, 2)
        assert each.evaluate("() => ribwayBench.plan.devices.find((one) => one.id === 'fridge').amps") == "7 A"
        each.close()


def test_killed_in_the_middle_of_a_plan_it_goes_on_from_the_unsaved_state(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    before = sitting_of(page)
    page.locator("[data-thing=board]").click()
    page.locator(".of-things input[name=back]").fill("1.30 m")
    page.locator(".of-things input[name=back]").press("Enter")
    page.wait_for_function("() => ribwayBench.state.undo === 'move board'")
    server.kill()
    server.start()
    come_back(page, before)
    assert page.evaluate("() => ribwayBench.plan.devices.find((one) => one.id === 'board').at.back") == "1.30 m"
    expect(page.locator(".of-things input[name=back]")).to_have_value("1.30 m")
    expect(page.locator("#undo")).to_have_text("undo: move board")
    page.close()


def test_a_plan_that_was_stopped_can_be_made_whatever_is_done_meanwhile(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    at_rest(page)
    stopped = page.evaluate(
        """async () => {
          const post = (path, body = {}) => fetch(path, { method: "POST", headers: { "Content-Type": "application/json" },
            body: JSON.stringify(body) });
          for (let tries = 0; tries < 50; tries += 1) { // a plan that is known already may be done before it is stopped
            await post("/plan-again");
            if ((await post("/stop", { what: "plan" })).ok) return true;
          }
          return false;
        }"""
    )
    assert stopped
    again = page.get_by_role("button", name="plan now")
    expect(again).to_be_visible(timeout=LONGEST_MS)
    page.evaluate("() => fetch('/keep-copy', { method: 'POST', headers: { 'Content-Type': 'application/json' } })")
    page.wait_for_function("() => ribwayBench.state.said.includes('mine-1')")
    expect(again).to_be_visible()
    before = page.evaluate("() => ribwayBench.state.plan")
    again.click()
    page.wait_for_function("(one) => ribwayBench.state.plan > one", arg=before)
    at_rest(page)
    expect(again).to_have_count(0)
    page.close()
