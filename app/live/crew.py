"""The processes at work for a project: one plans it, one plans the way shown beside it, one writes papers."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from ribway.live import child, surveying
from ribway.live.child import Answer, Child

PAPERS = "papers"
DRAFT = "draft"
PLAN = "plan"
_WAY = " planned"


def work_of(alternative: str) -> str:
    """What planning a way is called: `PLAN` for the base; no alternative's own name, so that one called papers is none."""
    return alternative + _WAY if alternative else PLAN


class Crew:
    """Processes by what they are at: `PLAN`, `PAPERS`, or the planning of an alternative (`work_of`)."""

    def __init__(self, folder: Path, tell: Callable[[], None], file: Path | None = None) -> None:
        """Nobody is at work yet.

        Args:
            folder: where the project file lies.
            tell: is called in the server's own thread whenever something is different.
            file: the project file, for the register of run numbers beside it.
        """
        self.plans: dict[str, tuple[int, bytes]] = {}
        self.metals: dict[str, bytes] = {}
        self.faults: dict[str, list[str]] = {}
        self.written: dict[str, Any] = {}
        self.said = ""
        self.on_drafted: Callable[[], None] = lambda: None
        self._folder, self._tell, self._file = folder, tell, file
        self._children: dict[str, Child] = {}
        self._busy: dict[str, tuple[str, float, float | None]] = {}
        self._counter = 0
        self._papers = 0
        self._pictures, self._papers_of = True, PLAN
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
            work: `PLAN`, or that of an alternative (`work_of`).
            raw: the data.
            revision: of the history that it belongs to.
        """
        self._begin_work(work, "planning")
        self._child(work).ask("plan", revision, raw)

    def keep_numbers(self, work: str) -> None:
        """Keep the numbers of the last plan's runs in the register beside the project."""
        if work in self._children:
            self._child(work).ask("numbers", 0, None)

    def write(self, work: str, pictures: bool) -> None:
        """Write papers of the last plan.

        Args:
            work: whose plan: `PLAN`, or that of an alternative.
            pictures: whether pictures are wanted too.
        """
        self._pictures, self._papers_of = pictures, work
        self.written = {}
        self._begin_work(PAPERS, "waiting for the plan")
        self._papers += 1
        self._child(work).ask("copy", self._papers, None)

    def draft(self, mesh: str) -> None:
        """Draft a project from a mesh; `on_drafted` is called when it lies in the folder.

        Args:
            mesh: name of the file in the folder.
        """
        self._begin_work(DRAFT, f"waiting to survey {mesh}")
        self._child(DRAFT).ask("draft", 0, {"folder": str(self._folder), "mesh": mesh})

    def stop(self, work: str) -> None:
        """Stop somebody at once, whatever was begun."""
        found = self._children.pop(work, None)
        if found is not None:
            found.stop()
        self._busy.pop(work, None)
        if work == self._papers_of and PAPERS not in self._children:
            self._busy.pop(PAPERS, None)  # they were waiting for that plan

    def at(self, work: str) -> bool:
        """Whether somebody is at this work."""
        return work in self._busy

    def number(self, work: str) -> int:
        """Number of the last plan there is; it goes up with every plan; 0 for none."""
        return self.plans.get(work, (0, b""))[0]

    def busy(self) -> list[dict[str, Any]]:
        """What is being done, for how long [s], and the share of its steps that is done; None while none is counted."""
        now = time.monotonic()
        return [
            {
                "what": what,
                "whose": what.removesuffix(_WAY) if what.endswith(_WAY) else "",
                "words": words,
                "seconds": round(now - since, 1),
                "done": done,
            }
            for what, (words, since, done) in self._busy.items()
        ]

    def _child(self, work: str) -> Child:
        if work not in self._children:
            hear = self._hearing(work)
            name = work.removesuffix(_WAY) if work != PLAN else ""
            alone = {PAPERS: child.papers, DRAFT: surveying.drafting}.get(work)
            self._children[work] = (
                Child(alone, (), hear) if alone else Child(child.planning, (self._folder, name, self._file), hear)
            )
        return self._children[work]

    def _hearing(self, work: str) -> Callable[[Answer], None]:
        def hear(answer: Answer) -> None:
            if self._loop is not None and not self._loop.is_closed():
                self._loop.call_soon_threadsafe(self._heard, work, answer)

        return hear

    def _begin_work(self, work: str, words: str, done: float | None = None) -> None:
        since = self._busy.get(work, ("", time.monotonic(), None))[1]
        self._busy[work] = (words, since, done)

    def _heard(self, work: str, answer: Answer) -> None:
        kind, number, what = answer
        if kind == "phase" and work in self._busy:
            words, done = what if isinstance(what, tuple) else (str(what), None)
            self._begin_work(work, words, done)
        elif kind == "faults":
            if what == self.faults.get(work, []):
                return  # nothing to tell, and a page that is told draws
            self.faults[work] = list(what)
        elif kind == "numbers":
            self.said = str(what) or self.said
        elif kind == "metal":
            self.metals[what[0]] = what[1]
        elif kind == "plan" and what is not None:
            self._counter += 1
            self.plans[work] = (self._counter, what)
        elif kind == "copy" and number == self._papers and PAPERS in self._busy:  # not stopped meanwhile
            given = {"plan": what, "folder": str(self._folder / PAPERS), "pictures": self._pictures}
            self._child(PAPERS).ask("write", number, given)
        elif kind in ("done", "written", "drafted", "refused", "ended"):
            self._ended(work, kind, what)
            if kind == "drafted":
                self.on_drafted()
        self._tell()

    def _ended(self, work: str, kind: str, what: Any) -> None:
        ended = PAPERS if kind in ("written", "refused") and work != DRAFT else work
        self._busy.pop(ended, None)
        if kind == "written":
            self.written = what
            no_pictures = f" There are no pictures: {what['trouble']}" if what["trouble"] else ""
            self.said = f"{len(what['files'])} papers are in the folder {what['folder']}.{no_pictures}"
        elif kind in ("refused", "drafted"):
            self.said = str(what)
        elif kind == "ended" and work == DRAFT:
            self.said = "The survey has ended by itself before it was done."
        elif kind == "ended" and work != PAPERS:
            self.said = "The process that plans has ended by itself: the next change starts it anew."
        elif kind == "ended" and not self.written:
            self.said = "Writing papers has ended by itself before it was done."
        if work in (PAPERS, DRAFT) and kind != "ended":
            self.stop(work)
