"""What is seen on the live page: looms switched, metal cut away, what is picked said over the picture, the way back to it."""

from __future__ import annotations

from playwright.sync_api import Browser, expect

from samples.live import Seen, Server, at_rest, opened, settled


def test_looms_are_switched_and_metal_is_cut_away(browser: Browser, server: Server) -> None:
    seen = Seen()
    page = opened(browser, server.address, width=1200, seen=seen)
    page.locator(".tab[data-panel=looms]").click()
    visible = "() => ribwayBench.view.runs.filter((one) => one.mesh.visible).map((one) => one.run.id).sort()"
    looms = page.evaluate("() => Object.fromEntries(ribwayBench.plan.scene.runs.map((one) => [one.id, one.loom]))")
    before = page.evaluate(visible)
    assert before == sorted(looms)
    loom = looms["fridge"]
    page.locator(f'.of-looms [data-loom="{loom}"]').click()
    assert page.evaluate(visible) == sorted(run for run, own in looms.items() if own != loom)
    page.get_by_role("button", name="all", exact=True).last.click()
    assert page.evaluate(visible) == before

    page.locator('#tools [data-wall="left"]').click()
    metal = page.evaluate("() => ribwayBench.view.parts.map((one) => [one.wall, one.group.visible])")
    assert {wall for wall, shown in metal if not shown} == {"left"}
    assert seen.complaints == []
    page.close()


def test_the_picture_and_the_sums_fill_a_wide_window_without_scrolling(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    page.set_viewport_size({"width": 1200, "height": 800})
    for part in ("#canvas", "#tools", "#totals", "#more summary"):
        box = page.locator(part).bounding_box()
        assert box is not None
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= 800, part
    page.close()


def test_a_run_picked_on_a_phone_is_named_under_the_picture_and_leads_on(browser: Browser, server: Server) -> None:
    seen = Seen()
    page = opened(browser, server.address, width=360, seen=seen)
    line = [spot for spot in page.evaluate("() => ribwayBench.view.lineOnScreen('fridge')") if spot]
    x, y, _ = line[len(line) // 2]
    page.locator("#canvas").click(position={"x": x, "y": y})
    expect(page.locator("#readout b")).to_contain_text(": Fuse board – Fridge")  # or the draw cord that lies along it
    run = page.locator("#readout b").inner_text().partition(":")[0]
    assert page.evaluate("window.scrollY") < 200  # the page stays where the thumb is
    page.locator("#readout").get_by_role("button", name="its lengths").click()
    expect(page.locator(".of-runs tr.picked")).to_have_attribute("data-id", run)
    expect(page.locator("#to-picture")).to_be_visible()
    page.locator("#to-picture").click()
    expect(page.locator("#canvas")).to_be_in_viewport()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert seen.complaints == []
    page.close()


def test_a_circuit_is_picked_in_its_table_and_given_a_fuse(browser: Browser, server: Server) -> None:
    page = opened(browser, server.address, width=1200)
    page.locator(".tab[data-panel=circuits]").click()
    page.locator(".of-circuits tr[data-id=fridge] button.pick").click()
    fuse = page.locator(".of-circuits input[name=fuse]")
    fuse.fill("1000 apples")
    fuse.press("Enter")
    expect(page.locator(".of-circuits .fault")).to_contain_text("1000 apples")
    fuse.fill("10 A")
    page.locator(".of-circuits select[name=pattern]").select_option("chain")
    fuse.press("Enter")
    settled(page, 2)
    circuit = page.evaluate("() => ribwayBench.plan.circuits.find((one) => one.id === 'fridge')")
    assert (circuit["fuse"], circuit["pattern"], circuit.get("least")) == ("10 A", "chain", None)
    expect(page.locator(".of-circuits tr[data-id=fridge]")).to_contain_text("10 A")
    page.close()


def test_nothing_moves_when_work_begins_and_ends(browser: Browser, server: Server) -> None:
    """A line that came and went over the picture would have it drawn anew, twice, while the planner is at work."""
    page = opened(browser, server.address, width=1200)
    at_rest(page)
    page.locator("[data-thing=fridge]").click()
    page.evaluate(
        """() => {
          window.sizes = new Set();
          window.bars = 0;
          const canvas = document.getElementById('canvas');
          new ResizeObserver(() => sizes.add(`${canvas.clientWidth} ${canvas.clientHeight}`)).observe(canvas);
          new MutationObserver(() => { bars = Math.max(bars, document.querySelectorAll('#work progress').length); })
            .observe(document.getElementById('work'), { childList: true });
        }"""
    )
    page.locator(".of-things input[name=back]").fill("2.30 m")
    page.locator(".of-things input[name=back]").press("Enter")
    settled(page, 2)
    at_rest(page)
    assert page.evaluate("() => bars") == 1
    assert page.evaluate("() => [...sizes].length") == 1
    page.close()
