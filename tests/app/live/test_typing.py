"""What is typed while plans come in: nothing under a hand is drawn anew, and no key stroke is lost."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, Page, Route, expect

from samples.live import LONGEST_MS, Server, at_rest, opened, settled


class Gate:
    """Holds the plans that a page asks for until they are let in, so that they come at the worst of all moments."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._waiting: list[Route] = []
        self._open = False
        page.route("**/plan?*", self._asked)

    def _asked(self, route: Route) -> None:
        if self._open:
            route.continue_()
        else:
            self._waiting.append(route)

    def let_in(self) -> None:
        """Let the next plan in, and wait until it is drawn; one that is out of date by then is asked for once more."""
        before = self._page.evaluate("() => ribwayBench.shown.plan")
        end = time.monotonic() + LONGEST_MS / 1000
        while self._page.evaluate("() => ribwayBench.shown.plan") == before:
            assert time.monotonic() < end, "no plan came"
            while self._waiting:
                self._waiting.pop(0).continue_()
            self._page.wait_for_timeout(30)

    def open(self) -> None:
        """Let everything in from now on."""
        self._open = True
        while self._waiting:
            self._waiting.pop(0).continue_()


@contextmanager
def gated(page: Page) -> Iterator[Gate]:
    gate = Gate(page)
    yield gate
    gate.open()


def focused(page: Page) -> str:
    return str(
        page.evaluate(
            "document.activeElement.name || document.activeElement.dataset.thing || document.activeElement.tagName"
        )
    )


def one_more(browser: Browser, server: Server, edit: dict[str, object]) -> None:
    """Somebody else makes an edit in a window of their own."""
    other = opened(browser, server.address)
    other.evaluate(
        """(edit) => fetch("/edit", { method: "POST", headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ revision: ribwayBench.state.revision, edit }) })""",
        edit,
    )
    other.close()


def test_a_place_is_typed_while_a_plan_comes_between_any_two_key_strokes(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    at_rest(page)
    with gated(page) as gate:
        # a first edit, so that two plans are to come: the quick one and the one with its bound
        page.locator("[data-thing=fridge]").click()
        page.locator(".of-things input[name=back]").fill("2.20 m")
        page.locator(".of-things input[name=back]").press("Enter")
        page.wait_for_function(
            "() => ribwayBench.state.revision === 2 && !ribwayBench.state.busy.length", timeout=LONGEST_MS
        )
        page.locator("[data-thing=board]").focus()
        gate.let_in()
        assert focused(page) == "board"
        page.keyboard.press("Enter")
        page.locator(".of-things input[name=back]").focus()
        page.keyboard.press("Control+a")
        one_more(browser, server, {"do": "set device", "id": "fridge", "values": {"amps": "6 A"}})
        gate.let_in()
        assert focused(page) == "back"
        page.keyboard.type("1.3")
        one_more(browser, server, {"do": "set device", "id": "board", "values": {"name": "Fuses"}})
        gate.let_in()
        assert focused(page) == "back"
        page.keyboard.type("0 m")
        expect(page.locator(".of-things input[name=name]")).to_have_value("Fuses")
        page.keyboard.press("Enter")
    settled(page, 5)
    board = page.evaluate("() => ribwayBench.plan.devices.find((one) => one.id === 'board')")
    assert (board["at"]["back"], board["name"]) == ("1.30 m", "Fuses")
    page.close()


def test_what_is_typed_stays_while_one_looks_elsewhere(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    page.locator("[data-thing=fridge]").click()
    page.locator(".of-things input[name=amps]").fill("7 A")
    page.locator("#canvas").focus()
    one_more(browser, server, {"do": "move", "id": "fridge", "at": {"wall": "right", "back": "2.20 m", "up": "0.60 m"}})
    settled(page, 2)
    expect(page.locator(".of-things input[name=amps]")).to_have_value("7 A")
    expect(page.locator(".of-things input[name=back]")).to_have_value("2.20 m")  # nobody typed there: it follows
    page.locator(".of-things").get_by_role("button", name="put it so").click()
    settled(page, 3)
    fridge = page.evaluate("() => ribwayBench.plan.devices.find((one) => one.id === 'fridge')")
    assert (fridge["amps"], fridge["at"]["back"]) == ("7 A", "2.20 m")
    page.close()


def test_a_second_change_typed_before_the_first_is_planned_is_made_too(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    with gated(page):
        page.locator("[data-thing=fridge]").click()
        back = page.locator(".of-things input[name=back]")
        back.fill("2.20 m")
        back.press("Enter")
        back.fill("2.05 m")  # as it was: the plan that is shown says so still
        page.wait_for_function("() => ribwayBench.state.revision === 2")
        back.press("Enter")
        page.locator(".of-things input[name=amps]").fill("6 A")
        page.locator(".of-things input[name=amps]").press("Enter")
        page.wait_for_function("() => ribwayBench.state.revision === 4")
    settled(page, 4)
    fridge = page.evaluate("() => ribwayBench.plan.devices.find((one) => one.id === 'fridge')")
    assert (fridge["at"]["back"], fridge["amps"]) == ("2.05 m", "6 A")
    expect(page.locator(".of-things .fault")).to_be_hidden()
    page.close()


def test_what_is_refused_stays_in_its_field(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    page.locator("[data-thing=fridge]").click()
    amps = page.locator(".of-things input[name=amps]")
    amps.fill("five apples")
    amps.press("Enter")
    expect(page.locator(".of-things .fault")).to_contain_text("five apples")
    one_more(browser, server, {"do": "set device", "id": "fridge", "values": {"amps": "6 A"}})
    settled(page, 2)
    expect(amps).to_have_value("five apples")
    amps.fill("5 A")
    amps.press("Enter")
    settled(page, 3)
    assert page.evaluate("() => ribwayBench.plan.devices.find((one) => one.id === 'fridge').amps") == "5 A"
    expect(page.locator(".of-things .fault")).to_be_hidden()
    page.close()


def test_a_table_keeps_what_is_searched_sorted_and_picked_while_plans_come(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    page.locator(".tab[data-panel=runs]").click()
    page.locator(".of-runs tbody tr button.pick").last.click()
    picked = page.locator(".of-runs tr.picked").get_attribute("data-id")
    page.locator(".of-runs th button.sort").first.evaluate("(one) => { one.click(); one.click(); }")
    order = page.locator(".of-runs tbody tr").evaluate_all("(rows) => rows.map((row) => row.dataset.id)")
    page.locator(".of-runs input.filter").focus()
    page.keyboard.type("fri")
    shown = page.locator(".of-runs tbody tr:visible").count()
    one_more(browser, server, {"do": "set device", "id": "fridge", "values": {"name": "Cold box", "amps": "6 A"}})
    settled(page, 2)
    assert page.evaluate("document.activeElement.classList.contains('filter')")
    page.keyboard.press("Backspace")
    page.keyboard.type("idge")  # the run keeps its id
    expect(page.locator(".of-runs input.filter")).to_have_value("fridge")
    assert 0 < page.locator(".of-runs tbody tr:visible").count() <= shown
    assert page.locator(".of-runs tbody tr").evaluate_all("(rows) => rows.map((row) => row.dataset.id)") == order
    expect(page.locator(".of-runs tr.picked")).to_have_attribute("data-id", str(picked))
    page.close()
