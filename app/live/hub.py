"""What holds the live page together: the session, the processes that plan and write, and who is told of what happens."""

from __future__ import annotations

import asyncio
import json
import secrets
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from ribway.editing.changes import Raw, changed_data, edited, split_mappings
from ribway.live.asked import AskedError, edit_of
from ribway.live.audience import Audience
from ribway.live.crew import PAPERS, PLAN, Crew, beside
from ribway.live.drafting import Draft, draft_of, fresh_faults
from ribway.live.journal import Journal
from ribway.live.on_disk import OnDisk
from ribway.live.readings import Readings
from ribway.live.refusing import RefusedError
from ribway.live.session import Session, opened, redone, saved, taken, undone, with_step
from ribway.live.telling import Around, State, state_of
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_text
from ribway.models.yaml_text import parse_yaml

LOOK_EVERY_S = 0.7


class Hub:
    """One project held open for any number of browsers."""

    def __init__(self, file: Path) -> None:
        """Reads nothing yet.

        Args:
            file: the project file; it may be missing.
        """
        self.file = file
        self.folder = file.parent
        self.crew = Crew(self.folder, self.tell)
        self._journal = Journal(file)
        self._session: Session | None = None
        self._readings = Readings(file.name)
        self._draft: Draft | None = None
        self._other = ""
        self._said = ""
        self._disk = OnDisk(file)
        self._journal_trouble = ""
        self.audience = Audience()
        self.loop: asyncio.AbstractEventLoop | None = None
        self._lock = asyncio.Lock()
        self._sitting = secrets.token_hex(6)

    # ---- opening and closing

    def read(self) -> None:
        """Open the project, and take up what an earlier sitting left unsaved.

        Raises:
            ProjectFaults: the file is there and cannot be read as YAML.
        """
        if not self.file.exists():
            return
        text = self._disk.read()
        parse_yaml(text, str(self.file))
        self._session = opened(text)
        left = self._journal.read()
        if left is None:
            self._journal.clear()
            return
        self._session = left
        if left.disk == text:
            self._say("Changes that were not saved the last time are here again: save them, or undo them.")
        else:
            self._disk.otherwise = "changed"
            self._say("There are unsaved changes of the last time, and the file was changed since.")

    async def begin(self) -> None:
        """Start planning and watching the disk."""
        self.loop = asyncio.get_running_loop()
        self.crew.begin()
        if self._session is not None:
            await self._plan()

    def end(self) -> None:
        """Stop all processes."""
        self.crew.end()

    async def watch(self) -> None:
        """Look at the file on disk again and again."""
        while True:
            await asyncio.sleep(LOOK_EVERY_S)
            if self._session is not None and self._disk.look(self._session.disk):
                self.tell()

    # ---- what browsers are told

    def state(self) -> State:
        """All that a browser shows around the plan."""
        session = self._session
        names = () if session is None else tuple(_names(self._raw().get("alternatives")))
        around = Around(self._sitting, self._disk.otherwise, self._journal_trouble, self._said, self._other, names)
        return state_of(self.file, session, self.crew, around)

    def tell(self) -> None:
        """Tell every browser how things stand."""
        self.audience.tell(json.dumps(self.state()))

    def listen(self) -> asyncio.Queue[str | None]:
        """A queue that gets every state from now on, the present one first."""
        return self.audience.join(json.dumps(self.state()))

    # ---- what browsers ask for

    async def edit(self, revision: object, asked: Mapping[str, Any]) -> State:
        """Make an edit, and plan it at once.

        Args:
            revision: the state it was made on.
            asked: what to do, as `edit_of` reads it.

        Returns:
            The new state.

        Raises:
            RefusedError: made on an older state, no edit, or one that brings faults.
        """
        async with self._lock:
            session = self._at(revision)
            before = self._raw()
            try:
                edit, words = edit_of(asked, before)
                after = changed_data(before, split_mappings(before, edit(before)))
                draft = await asyncio.to_thread(draft_of, after, self.folder)
                fresh = fresh_faults(self._draft or draft_of(before, self.folder), draft)
                if fresh:
                    raise RefusedError("\n".join(str(fault) for fault in fresh))
                # The planner is at work while the text, which takes longer to read than the data, is written anew.
                self.crew.plan(PLAN, after, session.revision + 1)
                try:
                    text = await asyncio.to_thread(edited, session.text, edit, self.file.name)
                except ProjectFaults:
                    self.crew.plan(PLAN, before, session.revision)
                    raise
            except AskedError as error:
                raise RefusedError(str(error)) from None
            except ProjectFaults as error:
                raise RefusedError("\n".join(str(fault) for fault in error.faults)) from None
            self._readings.keep(text, after)
            self._draft = draft
            self._step(with_step(session, text, words), words)
            self._ask_other(after)
            return self.state()

    async def undo(self, revision: object) -> State:
        """Take the last edit back."""
        return await self._go(revision, undone, "undo")

    async def redo(self, revision: object) -> State:
        """Do again what was taken back."""
        return await self._go(revision, redone, "do again")

    async def _go(self, revision: object, move: Callable[[Session], Session], words: str) -> State:
        async with self._lock:
            session = move(self._at(revision))
            if session is self._session:
                raise RefusedError(f"there is nothing to {words}")
            self._step(session, words)
            await self._plan()
            return self.state()

    async def save(self, revision: object) -> State:
        """Write the project file, what was there kept beside it."""
        async with self._lock:
            session = self._at(revision)
            try:
                backup = await asyncio.to_thread(self._disk.save, session.disk, session.text)
            except RefusedError:
                self.tell()
                raise
            self._say(f"Saved; what was there is {backup.name}." if backup else "Nothing to save.")
            self._session = saved(session)
            self._journal.clear()
            self.tell()
            await self._check_all()
            return self.state()

    async def take_disk(self) -> State:
        """Take the file as somebody else left it; unsaved changes are kept in a file beside it, and can be had by undo."""
        async with self._lock:
            session = self._there()
            try:
                text = self._disk.read()
                self._readings.of(text)
            except ProjectFaults as error:
                raise RefusedError("\n".join(map(str, error.faults))) from None
            kept = self._disk.copy(session.text) if session.unsaved else None
            self._session = taken(session, text)
            self._journal.clear()
            self._say(f"The file's own state is taken{f'; what stood here is {kept.name}' if kept else ''}.")
            await self._plan()
            return self.state()

    async def keep_copy(self) -> State:
        """Write what stands here into a file of its own beside the project."""
        async with self._lock:
            kept = self._disk.copy(self._there().text)
            self._say(f"What stands here is also in {kept.name} now.")
            self.tell()
            return self.state()

    async def create(self, text: str) -> State:
        """Make the project file of a new project.

        Args:
            text: its contents.
        """
        async with self._lock:
            if self._session is not None:
                raise RefusedError(f"there is a project already: {self.file}")
            self._disk.create(text)
            self.read()
            await self._plan()
            return self.state()

    async def show_other(self, name: str) -> State:
        """Plan an alternative too, to show it beside the base; none for an empty name."""
        raw = self._raw()
        if name and name not in _names(raw.get("alternatives")):
            raise RefusedError(f"there is no alternative {name}")
        if self._other and self._other != name:
            self.crew.stop(beside(self._other))
        self._other = name
        self._ask_other(raw)
        self.tell()
        return self.state()

    async def write_papers(self, pictures: bool) -> State:
        """Write papers, and pictures if wanted, into the folder ``papers`` beside the project."""
        self._there()
        if self.crew.at(PAPERS):
            raise RefusedError("papers are being written already")
        self._say("")
        self.crew.write(pictures)
        self.tell()
        return self.state()

    async def stop(self, what: str) -> State:
        """Stop long work: ``plan``, ``papers``, or an alternative's plan."""
        if not self.crew.at(what):
            raise RefusedError("that has ended already")
        self.crew.stop(what)
        self._say(f"Stopped: {'planning' if what == PLAN else what}.")
        self.tell()
        return self.state()

    async def plan_again(self) -> State:
        """Plan what stands here, after it was stopped."""
        self._there()
        await self._plan()
        return self.state()

    # ---- inside

    def _there(self) -> Session:
        if self._session is None:
            raise RefusedError("there is no project yet: answer the questions first")
        return self._session

    def _at(self, revision: object) -> Session:
        session = self._there()
        if revision != session.revision:
            words = (
                "This was changed in another window meanwhile, so nothing was done: here is the new state. "
                "Look at it, and do it again if it is still wanted."
            )
            raise RefusedError(words, stale=True)
        return session

    def _raw(self) -> Raw:
        return self._readings.of(self._there().text)

    def _step(self, session: Session, words: str) -> None:
        self._session = session
        self._say("")
        self._journal_trouble = self._journal.add(session, words)
        self.tell()

    async def _plan(self) -> None:
        raw = await asyncio.to_thread(self._raw)
        self._draft = await asyncio.to_thread(draft_of, raw, self.folder)
        self.crew.plan(PLAN, raw, self._there().revision)
        self._ask_other(raw)
        self.tell()

    async def _check_all(self) -> None:
        """Say what an edit of the base did to alternatives."""
        text = self._there().text
        try:
            await asyncio.to_thread(check_text, text, self.file.name, self.folder)
        except ProjectFaults as error:
            known = set(self.crew.faults.get(PLAN, []))
            more = [str(fault) for fault in error.faults if str(fault) not in known]
            if more and "alternatives" in more[0]:
                self._said += f" {more[0]}"
                self.tell()

    def _ask_other(self, raw: Raw) -> None:
        if self._other:
            self.crew.plan(beside(self._other), raw, self._there().revision)

    def _say(self, words: str) -> None:
        self._said, self.crew.said = words, ""


def _names(alternatives: object) -> list[str]:
    entries = alternatives if isinstance(alternatives, list) else []
    return [one["name"] for one in entries if isinstance(one, dict) and isinstance(one.get("name"), str)]
