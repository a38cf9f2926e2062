"""A project held open: its history, the disk, who plans, who listens; and what holds them together."""

from __future__ import annotations

import asyncio
import json
import secrets
from pathlib import Path

from ribway.editing.changes import Raw
from ribway.live.audience import Audience
from ribway.live.crew import PLAN, Crew
from ribway.live.drafting import Draft, draft_of
from ribway.live.history import History, opened
from ribway.live.journal import Journal
from ribway.live.on_disk import OnDisk
from ribway.live.readings import Readings
from ribway.live.refusing import RefusedError
from ribway.live.sheet import SheetOnDisk
from ribway.live.telling import Around, State, state_of
from ribway.live.ways import Ways
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_text
from ribway.models.yaml_text import parse_yaml

LOOK_EVERY_S = 0.7
MEANWHILE = (
    "This was changed in another window meanwhile, so nothing was done: here is the new state. "
    "Look at it, and do it again if it is still wanted."
)


class Held:
    """One project held open for any number of browsers."""

    def __init__(self, file: Path) -> None:
        """Reads nothing yet.

        Args:
            file: the project file; it may be missing.
        """
        self.file = file
        self.folder = file.parent
        self.crew = Crew(self.folder, self.tell, file)
        self._journal = Journal(file)
        self._history: History | None = None
        self._readings = Readings(file.name)
        self._draft: Draft | None = None
        self._ways = Ways(self.crew)
        self._said = ""
        self._disk = OnDisk(file)
        self._sheet = SheetOnDisk(self.folder)
        self._journal_trouble = ""
        self.audience = Audience()
        self.loop: asyncio.AbstractEventLoop | None = None
        self._lock = asyncio.Lock()
        self._task: asyncio.Task[None] | None = None
        self._sitting = secrets.token_hex(6)
        self._tellings = 0

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
        self._history = opened(text)
        left = self._journal.read()
        if left is None or left.text == text:  # saved, and ended before the journal was put away
            self._journal.clear()
            return
        self._history = left
        if left.disk == text:
            self._say("Changes that were not saved the last time are here again: save them, or undo them.")
        else:
            self._disk.otherwise = "changed"
            self._say("There are unsaved changes of the last time, and the file was changed since.")

    async def begin(self) -> None:
        """Start planning and watching the disk."""
        self.loop = asyncio.get_running_loop()
        self.crew.begin()
        self.crew.on_drafted = self._drafted
        if self._history is not None:
            await self._begin_planning()

    async def _begin_planning(self) -> None:
        async with self._lock:
            self._sheet.look(self._raw())  # as it is now: what is written into it from now on is noticed
            await self._plan()

    def end(self) -> None:
        """Stop all processes."""
        self.crew.end()

    async def watch(self) -> None:
        """Look at the files on disk again and again."""
        while True:
            await asyncio.sleep(LOOK_EVERY_S)
            await self.look()

    async def look(self) -> None:
        """Look at the files on disk, in turn with what is asked for: what is being written here is nobody else's."""
        async with self._lock:
            if self._history is None:
                return
            if self._disk.look(self._history.disk):
                self.tell()
            if self._sheet.look(self._raw()):
                await self._plan()

    # ---- what browsers are told

    def state(self) -> State:
        """All that a browser shows around the plan; each telling has a number, since they may arrive in another order."""
        history = self._history
        names = () if history is None else tuple(_names(self._raw().get("alternatives")).items())
        ways, file = self._ways, self._disk
        self._tellings += 1
        around = Around(
            self._sitting,
            self._tellings,
            file.otherwise,
            self._journal_trouble,
            self._said,
            ways.here,
            ways.beside,
            names,
            ways.halted,
        )
        return state_of(self.file, history, self.crew, around)

    def tell(self) -> None:
        """Tell every browser how things stand."""
        self.audience.tell(json.dumps(self.state()))

    def listen(self) -> asyncio.Queue[str | None]:
        """A queue that gets every state from now on, the present one first."""
        return self.audience.join(json.dumps(self.state()))

    # ---- inside

    def _drafted(self) -> None:
        """The survey's draft lies in the folder."""
        self.read()
        self._task = asyncio.get_running_loop().create_task(self._begin_planning())

    def _there(self) -> History:
        if self._history is None:
            raise RefusedError("there is no project yet: answer the questions first")
        return self._history

    def _at(self, revision: object) -> History:
        history = self._there()
        if revision != history.revision:
            raise RefusedError(MEANWHILE, stale=True)
        return history

    def _raw(self) -> Raw:
        return self._readings.of(self._there().text)

    def _step(self, history: History, words: str) -> None:
        same = history.text == self._there().text  # the equipment sheet alone was changed, which is on disk already
        self._history = history
        self._say("")
        self._journal_trouble = self._journal_trouble if same else self._journal.add(history, words)
        self.tell()

    async def _plan(self) -> None:
        """Plan what stands here; nothing may change it meanwhile (`_lock` is held)."""
        raw = await asyncio.to_thread(self._raw)
        gone = self._ways.keep(self._names())
        if gone:
            self._say(f"{gone} is no longer there: this is the base.")
        self._draft = await asyncio.to_thread(draft_of, raw, self.folder, self._ways.here)
        self._ways.plan(raw, self._there().revision)
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

    def _names(self) -> dict[str, str]:
        return _names(self._raw().get("alternatives"))

    def _say(self, words: str) -> None:
        self._said, self.crew.said = words, ""


def _names(alternatives: object) -> dict[str, str]:
    """Name and reason of each alternative."""
    entries = alternatives if isinstance(alternatives, list) else []
    named = (one for one in entries if isinstance(one, dict) and isinstance(one.get("name"), str))
    return {one["name"]: str(one.get("why") or "") for one in named}
