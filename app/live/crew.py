"""The processes at work for a project: one plans it, one plans the way shown beside it, one writes papers."""

from __future__ import annotations

import asyncio
import shutil
import time
from collections.abc import Callable, Collection
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
        self._counter = self._requests = 0
        self._unfinished: dict[str, Path] = {}
        self._asked: dict[str, int] = {}
        self._undone: set[str] = set()
        self._pictures, self._papers_of = True, PLAN
        self._loop: asyncio.AbstractEventLoop | None = None

    def begin(self) -> None:
        """Answers are heard in the loop that runs now."""
        self._loop = asyncio.get_running_loop()

    def end(self) -> None:
        """Stop everybody."""
        for work in tuple(self._children):
            self._let_go(work)

    def plan(self, work: str, raw: dict[str, Any], revision: int) -> None:
        """Plan a project's data.

        Args:
            work: `PLAN`, or that of an alternative (`work_of`).
            raw: the data.
            revision: of the history that it belongs to.
        """
        self._begin_work(work, "planning")
        self._undone.add(work)
        self._ask(work, work, "plan", (revision, raw))

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
        self._ask(PAPERS, work, "copy", None)

    def draft(self, mesh: str) -> None:
        """Draft a project from a mesh; `on_drafted` is called when it lies in the folder.

        Args:
            mesh: name of the file in the folder.
        """
        self._begin_work(DRAFT, f"waiting to survey {mesh}")
        self._ask(DRAFT, DRAFT, "draft", {"folder": str(self._folder), "mesh": mesh})

    def stop(self, work: str) -> None:
        """Stop somebody at once, whatever was begun."""
        self._let_go(work)
        self._busy.pop(work, None)
        if work == self._papers_of and PAPERS not in self._children:
            self._busy.pop(PAPERS, None)  # they were waiting for that plan

    def keep(self, works: Collection[str]) -> None:
        """Forget the planning of ways that are gone: another one that comes to be called so begins with nothing."""
        for work in {*self.plans, *self.faults, *self._undone}.difference(works):
            self.stop(work)
            self._undone.discard(work)
            self.plans.pop(work, None)
            self.faults.pop(work, None)

    def halted(self, work: str) -> bool:
        """Whether the last that was asked for was not planned, and nobody is at it: stopped, or ended by itself."""
        return work in self._undone and work not in self._busy

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

    def _ask(self, what: str, of: str, kind: str, given: object) -> None:
        """Ask somebody for something: its number tells its answers from those to what was asked for before."""
        self._requests += 1
        self._asked[what] = self._requests
        self._child(of).ask(kind, self._requests, given)

    def _child(self, work: str) -> Child:
        if work not in self._children:
            name = work.removesuffix(_WAY) if work != PLAN else ""
            alone = {PAPERS: child.papers, DRAFT: surveying.drafting}.get(work)
            doing, given = (alone, ()) if alone else (child.planning, (self._folder, name, self._file))
            self._children[work] = self._hire(doing, given, work)
        return self._children[work]

    def _hire(self, doing: Callable[..., None], given: tuple[object, ...], work: str) -> Child:
        def hear(answer: Answer) -> None:
            if self._loop is not None and not self._loop.is_closed():
                self._loop.call_soon_threadsafe(self._heard, work, found, answer)

        found = Child(doing, given, hear)
        return found

    def _let_go(self, work: str) -> None:
        found = self._children.pop(work, None)
        if found is not None:
            found.stop()
        if work in self._unfinished:
            shutil.rmtree(self._unfinished.pop(work), ignore_errors=True)  # what was ended cannot put it away itself

    def _begin_work(self, work: str, words: str, done: float | None = None) -> None:
        since = self._busy.get(work, ("", time.monotonic(), None))[1]
        self._busy[work] = (words, since, done)

    def _heard(self, work: str, by: Child, answer: Answer) -> None:
        kind, number, what = answer
        if self._children.get(work) is not by:  # it was stopped when its answer was on the way
            if kind == "begun":
                shutil.rmtree(what, ignore_errors=True)
            return
        asked = number == self._asked.get(PAPERS if kind in ("copy", "refused") and work != DRAFT else work)
        if kind == "phase" and asked and work in self._busy:
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
        elif kind == "begun":
            self._unfinished[work] = Path(what)
            return
        elif kind == "copy" and asked and PAPERS in self._busy:  # not stopped meanwhile
            given = {"plan": what, "folder": str(self._folder / PAPERS), "pictures": self._pictures}
            self._child(PAPERS).ask("write", number, given)
        elif kind == "ended":
            self._ended(work)
        elif kind in ("done", "written", "drafted", "refused") and asked:
            self._done(work, kind, what)
        self._tell()

    def _done(self, work: str, kind: str, what: Any) -> None:
        """What was asked for last is done, or refused."""
        self._busy.pop(PAPERS if kind == "refused" and work != DRAFT else work, None)
        if kind == "done":
            self._undone.discard(work)
        elif kind == "written":
            self.written = what
            no_pictures = f" There are no pictures: {what['trouble']}" if what["trouble"] else ""
            self.said = f"{len(what['files'])} papers are in the folder {what['folder']}.{no_pictures}"
        else:
            self.said = str(what)
        if work in (PAPERS, DRAFT):
            self._let_go(work)
        if kind == "drafted":
            self.on_drafted()

    def _ended(self, work: str) -> None:
        """A process has ended before it was done, and nobody stopped it."""
        self.stop(work)
        if work == DRAFT:
            self.said = "The survey has ended by itself before it was done."
        elif work == PAPERS:
            self.said = "Writing papers has ended by itself before it was done."
        else:
            self.said = "The process that plans has ended by itself: the next change starts it anew."
