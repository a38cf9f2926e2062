"""What browsers may ask of a project that is held open: each request gives the new state, or is refused in words."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from typing import Any

from ribway.editing.changes import edited
from ribway.live.asked import OF_THE_WHOLE
from ribway.live.beginning import begun
from ribway.live.crew import DRAFT, PAPERS
from ribway.live.drafting import draft_of
from ribway.live.held import MEANWHILE, Held
from ribway.live.history import History, redone, saved, taken, undone, with_step
from ribway.live.made import made
from ribway.live.refusing import RefusedError
from ribway.live.surveying import meshes_in
from ribway.live.telling import State
from ribway.models.project_faults import ProjectFaults

_STOPPED = {PAPERS: "papers", DRAFT: "the survey"}


class Hub(Held):
    """One project held open for any number of browsers."""

    async def edit(self, revision: object, asked: Mapping[str, Any], here: object = None) -> State:
        """Make an edit, and plan it at once.

        Args:
            revision: the state it was made on.
            asked: what to do, as `edit_of` reads it.
            here: the alternative that it was made in; None for the one that is worked on.

        Returns:
            The new state.

        Raises:
            RefusedError: made on an older state, no edit, or one that brings faults.
        """
        async with self._lock:
            history = self._at(revision)
            if here is not None and here != self._ways.here:
                raise RefusedError(MEANWHILE, stale=True)
            raw = self._raw()
            before = self._draft or draft_of(raw, self.folder, self._ways.here)
            made_edit = await asyncio.to_thread(made, asked, raw, before, self._ways.here, self.folder)
            # The planner is at work while the text, which takes longer to read than the data, is written anew.
            self._ways.plan(made_edit.raw, history.revision + 1, made_edit.touched)
            with ExitStack() as refused:
                refused.callback(self._ways.plan, raw, history.revision)  # what stands, if the edit does not come about
                try:
                    text = await asyncio.to_thread(edited, history.text, made_edit.edit, self.file.name)
                except ProjectFaults as error:
                    raise RefusedError("\n".join(str(fault) for fault in error.faults)) from None
                refused.pop_all()
            self._readings.keep(text, made_edit.raw)
            self._draft = made_edit.draft
            self._step(with_step(history, text, made_edit.words), made_edit.words)
            if asked.get("do") in OF_THE_WHOLE:
                await self._follow(asked)
            return self.state()

    async def _follow(self, asked: Mapping[str, Any]) -> None:
        """Work on an alternative that is new; leave one that is gone."""
        names = self._names()
        new = str(asked.get("name"))
        self._ways.keep(names)
        if new in names:
            self._ways.open(new, self._ways.here, names)
        await self._plan()

    async def undo(self, revision: object) -> State:
        """Take the last edit back."""
        return await self._go(revision, undone, "undo")

    async def redo(self, revision: object) -> State:
        """Do again what was taken back."""
        return await self._go(revision, redone, "do again")

    async def _go(self, revision: object, move: Callable[[History], History], words: str) -> State:
        async with self._lock:
            before = self._at(revision)
            history = move(before)
            if history is before:
                raise RefusedError(f"there is nothing to {words}")
            back = history.at < before.at
            sheet = (before.steps[before.at] if back else history.steps[history.at]).sheet
            said = "" if sheet is None else await asyncio.to_thread(self._sheet.go, self._raw(), sheet, back)
            self._step(history, words)
            self._say(said)
            await self._plan()
            return self.state()

    async def save(self, revision: object) -> State:
        """Write the project file, what was there kept beside it."""
        async with self._lock:
            history = self._at(revision)
            try:
                backup = await asyncio.to_thread(self._disk.save, history.disk, history.text)
            except RefusedError:
                self.tell()
                raise
            self._say(f"Saved; what was there is {backup.name}." if backup else "Nothing to save.")
            self._history = saved(history)
            self._journal.clear()
            self.crew.keep_numbers(self._ways.work)
            self.tell()
            await self._check_all()
            return self.state()

    async def take_disk(self) -> State:
        """Take the file as somebody else left it; unsaved changes are kept in a file beside it, and can be had by undo."""
        async with self._lock:
            history = self._there()
            try:
                text = self._disk.read()
                self._readings.of(text)
            except ProjectFaults as error:
                raise RefusedError("\n".join(map(str, error.faults))) from None
            kept = self._disk.copy(history.text) if history.unsaved else None
            self._history = taken(history, text)
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

    async def begin_project(self, answers: Mapping[str, Any]) -> State:
        """Make a new project from the answers to the questions; one from a mesh is there when its survey is done.

        Args:
            answers: as for `begun`; ``from`` may be ``mesh``, with the name of a file in the folder.
        """
        async with self._lock:
            if self._history is not None:
                raise RefusedError(f"there is a project already: {self.file}")
            if answers.get("from") == "mesh":
                mesh = str(answers.get("mesh"))
                if mesh not in meshes_in(self.folder):
                    raise RefusedError(f"there is no mesh {mesh} in {self.folder}")
                self.crew.said = ""
                self.crew.draft(mesh)
                self.tell()
                return self.state()
            self._disk.create(begun(self.folder, answers))
            self.read()
            await self._plan()
            return self.state()

    async def open(self, here: object, beside: object) -> State:
        """Open ways to do the job: one to work on, one to show beside it.

        Args:
            here: the alternative to work on, empty for the base.
            beside: the alternative to show beside it, empty for the base; None for nothing.
        """
        async with self._lock:
            self._there()
            self._ways.open(str(here or ""), None if beside is None else str(beside), self._names())
            await self._plan()
            return self.state()

    async def edit_sheet(self, device: object, values: object) -> State:
        """Change a device's row in the equipment sheet, or take it out; the sheet is written at once, with a backup.

        Args:
            device: the device's id.
            values: text by key; None takes the row out.
        """
        async with self._lock:
            self._there()
            if self._ways.here:
                raise RefusedError("The sheet belongs to the base: work on the base to change it.")
            told = values if isinstance(values, Mapping) else None
            change, words, said = await asyncio.to_thread(self._sheet.edit, self._raw(), str(device), told)
            if change is not None:
                self._step(with_step(self._there(), self._there().text, words, change), words)
            self._say(said)
            await self._plan()
            return self.state()

    async def write_papers(self, pictures: bool) -> State:
        """Write papers, and pictures if wanted, into the folder ``papers`` beside the project."""
        async with self._lock:
            self._there()
            if self.crew.at(PAPERS):
                raise RefusedError("papers are being written already")
            self._say("")
            if self.crew.halted(self._ways.work):
                await self._plan()
            self.crew.write(self._ways.work, pictures)
            self.tell()
            return self.state()

    async def stop(self, what: str) -> State:
        """Stop long work: ``plan``, ``papers``, or an alternative's plan."""
        if not self.crew.at(what):
            raise RefusedError("that has ended already")
        self.crew.stop(what)
        self._say(f"Stopped: {_STOPPED.get(what, 'planning')}.")
        self.tell()
        return self.state()

    async def plan_again(self) -> State:
        """Plan what stands here, after it was stopped."""
        async with self._lock:
            self._there()
            await self._plan()
            return self.state()
