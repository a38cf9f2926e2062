"""Answers that arrive late: what the server says by itself may be at the page before the answer to what was asked."""

from __future__ import annotations

from playwright.sync_api import Browser, Page, expect

from samples.live import Server, at_rest, opened, settled

HOLD = """() => {
  const ask = window.fetch;
  window.fetch = async (path, ...more) => {
    const answer = await ask(path, ...more);
    if (path === "/edit" || path === "/undo") {
      const next = (await answer.clone().json()).revision;
      window.held = path;
      while (!(ribwayBench.state.revision >= next && ribwayBench.plan.revision >= next && !ribwayBench.state.busy.length)) {
        await new Promise((go) => setTimeout(go, 10));
      }
      setTimeout(() => { window.held = ""; }, 100);
    }
    return answer;
  };
}"""
"""Answers to what changes something are held back until all that they set going is done and shown."""


def let_go(page: Page) -> None:
    page.wait_for_function("() => window.held === ''")


def test_an_answer_that_comes_after_its_plan_changes_nothing(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    at_rest(page)
    page.evaluate(HOLD)
    page.locator("[data-thing=board]").click()
    page.locator(".of-things input[name=back]").fill("1.30 m")
    page.locator(".of-things input[name=back]").press("Enter")
    settled(page, 2)
    let_go(page)
    assert page.evaluate("() => ribwayBench.state.busy") == []
    page.locator("#undo").click()
    settled(page, 3)
    let_go(page)
    assert page.evaluate("() => ribwayBench.state.busy") == []
    assert page.evaluate("() => ribwayBench.plan.revision") == 3
    expect(page.locator("#undo")).to_be_disabled()
    expect(page.locator(".of-things input[name=back]")).to_have_value("1.10 m")
    page.close()
