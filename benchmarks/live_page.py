"""How soon a moved device shows its new route in the browser: the demo van, a real Chromium, from Enter to painted."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

DEMO = Path(__file__).parents[1] / "docs" / "demo" / "survey-van" / "project.yaml"
FLAGS = ("--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")
BACK = ("2.45 m", "2.60 m", "2.30 m", "2.70 m", "2.20 m")
AT_REST = "() => window.ribwayBench?.view && ribwayBench.plan && !ribwayBench.state.busy.length"
EVERY_MS = 50
"""A page that is asked at every frame draws frames for nothing else."""


def main() -> None:
    """Move the fridge a few times and print what each took [ms]."""
    chromium = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))))
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        shutil.copy(DEMO, folder)
        command = [sys.executable, "-m", "ribway", "serve", folder, "--port", "0"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
            assert server.stdout is not None
            found = re.search(r"http://\S+", server.stdout.readline())
            assert found is not None
            browser = driver.chromium.launch(executable_path=chromium, args=list(FLAGS))
            page = browser.new_page(viewport={"width": 1200, "height": 800}, bypass_csp=True)
            page.goto(found[0])
            page.wait_for_function(AT_REST, timeout=120_000, polling=EVERY_MS)
            for number, back in enumerate(BACK):
                page.locator("[data-thing=fridge]").click()
                page.locator(".of-things input[name=back]").fill(back)
                page.locator(".of-things input[name=back]").press("Enter")
                page.wait_for_function(
                    "(n) => ribwayBench.times.length > n", arg=number, timeout=120_000, polling=EVERY_MS
                )
                print(
                    f"fridge to {back}: {page.evaluate('() => ribwayBench.times.at(-1)'):.0f} ms from Enter to painted"
                )
                page.wait_for_function(AT_REST, timeout=120_000, polling=EVERY_MS)
            browser.close()
            server.terminate()


if __name__ == "__main__":
    main()
