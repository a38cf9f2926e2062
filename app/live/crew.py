"""The processes at work for a project: one plans it, one plans the way shown beside it, one writes papers."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from ribway.live import child
from ribway.live.child import Answer, Child

PAPERS = "papers"
PLAN = "plan"
_BESIDE = " beside it"


def beside(alternative: str) -> str:
    """What planning an alternative is called; no alternative's own name, so that one called papers is no papers."""
    return alternative + _BESIDE


class Crew:
    """Processes by what they are at: `PLAN`, `PAPERS`, or that of an alternative."""

    def __init__(self, folder: Path, tell: Callable[[], None]) -> None:
        """Nobody is at work yet.

        Args:
            folder: where the project file lies.
            tell: is called in the server's own thread whenever something is different.
        """
        self.plans: dict[str, tuple[int, bytes]] = {}
        self.metals: dict[str, bytes] = {}
        self.faults: dict[str, list[str]] = {}
        self.written: dict[str, Any] = {}
        self.said = ""
        self._folder, self._tell = folder, tell
        self._children: dict[str, Child] = {}
        self._busy: dict[str, tuple[str, float]] = {}
        self._took: dict[str, float] = {}
        self._counter = 0
        self._pictures = True
        self._loop: asyncio.AbstractEventLoop | None = None

    def begin(self) -> None:
        """Answers are heard in the loop that runs now."""
        self._loop = asyncio.get_running_loop()

    def end(self) -> None:
        """Stop everybody."""
        for one in self._children.values():
            one.stop()

    def plan(self, work: str, raw: dict[str, Any], revision: int) -> None:
        """Plan a project's data.

        Args:
            work: `PLAN`, or that of an alternative (`beside`).
            raw: the data.
            revision: of the session that it belongs to.
        """
        self._begin_work(work, "planning")
        self._child(work).ask("plan", revision, raw)

    def write(self, pictures: bool) -> None:
        """Write papers of the last plan.

        Args:
            pictures: whether pictures are wanted too.
        """
        self._pictures = pictures
        self.written = {}
        self._begin_work(PAPERS, "waiting for the plan")
        self._child(PLAN).ask("copy", 0, None)

    def stop(self, work: str) -> None:
        """Stop somebody at once, whatever was begun."""
        found = self._children.pop(work, None)
        if found is not None:
            found.stop()
        self._busy.pop(work, None)
        if work == PLAN:
            self._busy.pop(PAPERS, None)

    def at(self, work: str) -> bool:
        """Whether somebody is at this work."""
        return work in self._busy

    def number(self, work: str) -> int:
        """Number of the last plan there is; it goes up with every plan; 0 for none."""
        return self.plans.get(work, (0, b""))[0]

    def busy(self) -> list[dict[str, Any]]:
        """What is being done, for how long, and how long it took the last time [s]."""
        now = time.monotonic()
        return [
            {"what": what, "words": words, "seconds": round(now - since, 1), "usual": self._took.get(what, 0.0)}
            for what, (words, since) in self._busy.items()
        ]

    def _child(self, work: str) -> Child:
        if work not in self._children:
            hear = self._hearing(work)
            name = work.removesuffix(_BESIDE) if work != PLAN else ""
            self._children[work] = (
                Child(child.papers, (), hear) if work == PAPERS else Child(child.planning, (self._folder, name), hear)
            )
        return self._children[work]

    def _hearing(self, work: str) -> Callable[[Answer], None]:
        def hear(answer: Answer) -> None:
            if self._loop is not None and not self._loop.is_closed():
                self._loop.call_soon_threadsafe(self._heard, work, answer)

        return hear

    def _begin_work(self, work: str, words: str) -> None:
        since = self._busy.get(work, ("", time.monotonic()))[1]
        self._busy[work] = (words, since)

    def _heard(self, work: str, answer: Answer) -> None:
        kind, number, what = answer
        if kind == "phase" and work in self._busy:
            self._begin_work(work, str(what))
        elif kind == "faults":
            self.faults[work] = list(what)
        elif kind == "metal":
            self.metals[what[0]] = what[1]
        elif kind == "plan" and what is not None:
            self._counter += 1
            self.plans[work] = (self._counter, what)
        elif kind == "copy":
            given = {"plan": what, "folder": str(self._folder / PAPERS), "pictures": self._pictures}
            self._child(PAPERS).ask("write", number, given)
        elif kind in ("done", "written", "refused", "ended"):
            self._ended(work, kind, what)
        self._tell()

    def _ended(self, work: str, kind: str, what: Any) -> None:
        ended = PAPERS if kind in ("written", "refused") else work
        _, since = self._busy.pop(ended, ("", time.monotonic()))
        self._took[ended] = round(time.monotonic() - since, 1)
        if kind == "written":
            self.written = what
            self.said = f"{len(what['files'])} papers are in the folder {what['folder']}."
        elif kind == "refused":
            self.said = str(what)
        elif kind == "ended" and work != PAPERS:
            self.said = "The process that plans has ended by itself: the next change starts it anew."
        elif kind == "ended" and not self.written:
            self.said = "Writing papers has ended by itself before it was done."
        if work == PAPERS and kind != "ended":
            self.stop(PAPERS)
