"""The live page for tests: a small project, ``ribway serve`` as a user starts it, and the page in a window."""

from __future__ import annotations

import asyncio
import re
import subprocess
import sys
import time
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Page, expect

LONGEST_MS = 180_000
"""How long a page is waited for: no measure of speed, a machine may have much else to do."""
expect.set_options(timeout=LONGEST_MS)
SMALL = """\
# A van with three things in it.
ribway: 1
name: Small van
vehicle: {preset: short-high}
devices:
  - {id: battery, name: Battery, kind: source, at: {wall: left, back: 0.65 m, up: 0.30 m}}   # under the bench
  - {id: board, name: Fuse board, kind: board, at: {wall: left, back: 1.10 m, up: 0.75 m}}
  - {id: fridge, name: Fridge, at: {wall: right, back: 2.05 m, up: 0.60 m}, amps: 5 A}
circuits:
  - {id: main, name: Main feed, from: battery, to: [board]}
  - {id: fridge, name: Fridge, from: board, to: [fridge]}
alternatives:
  - name: fridge on the left
    change:
      devices: {fridge: {at: {wall: left, back: 2.05 m, up: 0.60 m}}}
"""


@dataclass
class Server:
    """``ribway serve`` as a user starts it."""

    target: Path
    port: int = 0
    process: subprocess.Popen[str] = field(init=False)
    address: str = field(init=False)

    def __post_init__(self) -> None:
        self.start()

    def start(self) -> None:
        command = [sys.executable, "-m", "ribway", "serve", str(self.target), "--port", str(self.port)]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        found = re.search(r"http://\S+", line)
        assert found is not None, line
        self.address = found[0]
        self.port = urlsplit(self.address).port or 0  # one that is started again is found where it was

    def kill(self) -> None:
        self.process.kill()
        self.process.wait(10)


@dataclass
class Seen:
    """What a page complained of."""

    complaints: list[str] = field(default_factory=list)


def opened(browser: Browser, address: str, width: int = 1000, seen: Seen | None = None) -> Page:
    """The live page in a window of its own, planned; checks look into it, which its own rules do not let pages do."""
    page = browser.new_page(viewport={"width": width, "height": 640}, bypass_csp=True)
    if seen is not None:
        page.on("console", lambda message: seen.complaints.append(message.text) if message.type != "log" else None)
        page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    page.set_default_timeout(LONGEST_MS)
    page.goto(address)
    page.wait_for_function("() => window.ribwayBench?.plan")
    return page


class Held:
    """Requests of a page to one address, held back before they are sent until they are let go."""

    def __init__(self, page: Page, path: str) -> None:
        self._page = page
        page.evaluate(HOLD, path)

    def wait(self) -> None:
        """Until one is held."""
        self._page.wait_for_function("() => window.waiting.length > 0", timeout=LONGEST_MS)

    def let_go(self) -> None:
        """From now on nothing is held."""
        self._page.evaluate("() => window.letGo()")


HOLD = """(path) => {
  const ask = window.fetch;
  window.waiting = [];
  window.letGo = () => {
    window.fetch = ask;
    window.waiting.forEach((go) => go());
  };
  window.fetch = async (...given) => {
    if (given[0] === path) await new Promise((go) => window.waiting.push(go));
    return ask(...given);
  };
}"""


def deaf(_: Connection) -> None:
    """What a process does that takes nothing in."""
    time.sleep(LONGEST_MS / 1000)


def run_alone(sitting: Callable[[], Coroutine[Any, Any, None]]) -> None:
    """Run something in a loop of its own: in another thread, since the browser's driver keeps one in that of the tests."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(lambda: asyncio.run(sitting())).result()


def at_rest(page: Page) -> None:
    """Wait until nothing is being worked on: bound and audit of the plan that is shown are done too."""
    page.wait_for_function("() => !ribwayBench.state.busy.length", timeout=LONGEST_MS)


def settled(page: Page, revision: int) -> None:
    """Wait until the plan that is shown is that of a revision."""
    page.wait_for_function(
        "(one) => ribwayBench.state.revision >= one && ribwayBench.plan.revision >= one",
        arg=revision,
        timeout=LONGEST_MS,
    )
