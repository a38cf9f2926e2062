"""A process that plans, so that the server stays quick to answer and long work can be stopped: by ending the process.

Requests and answers are tuples of plain data. A request to plan is left out, and one that is at work is given up, if a newer
one waits behind it.
"""

from __future__ import annotations

import gc
import json
import multiprocessing
import pickle
import queue
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from ribway.live.desk import Desk, Superseded
from ribway.live.planning import Replanner

PAUSE_S = 0.5
"""So long nothing is begun that nobody waits for."""
TOLD_EVERY_S = 0.25
TIDIED_WHOLLY_EVERY = 20
NO_PLAN = "As it stands this cannot be planned, so there are no papers of it."

Answer = tuple[str, int, Any]
"""Kind, number of the request, and what."""


class Child:
    """The process as the server holds it."""

    def __init__(self, work: Callable[..., None], given: tuple[object, ...], hear: Callable[[Answer], None]) -> None:
        """Holds no process yet: one is started by the first request.

        Args:
            work: what the process does: a function of this module.
            given: what it is called with behind its end of the pipe.
            hear: is called with every answer, from a thread of its own; ("ended", 0, None) if the process ended by itself.
        """
        self._work, self._given, self._hear = work, given, hear
        self._process: Any = None
        self._pipe: Connection | None = None
        self._requests: queue.SimpleQueue[object] = queue.SimpleQueue()

    def ask(self, kind: str, number: int, what: object) -> None:
        """Send a request; it is not waited for until it is taken in.

        Args:
            kind: what is asked for.
            number: its number, that answers carry.
            what: what it is about.
        """
        if self._pipe is None:
            self._start()
        self._requests.put((kind, number, what))

    def stop(self) -> None:
        """End the process and whatever it is at."""
        process, self._process, self._pipe = self._process, None, None
        self._requests.put(None)
        if process is not None:
            process.kill()
            process.join(5)

    @property
    def pid(self) -> int:
        """The process's number; 0 if there is none."""
        return 0 if self._process is None else int(self._process.pid or 0)

    def _start(self) -> None:
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(target=self._work, args=(theirs, *self._given), daemon=True)
        process.start()
        theirs.close()
        self._process, self._pipe = process, ours
        threading.Thread(target=self._listen, args=(ours,), daemon=True).start()
        threading.Thread(target=self._speak, args=(ours,), daemon=True).start()

    def _speak(self, pipe: Connection) -> None:
        """Send what is asked for: a process that is at work takes it in when it looks up, and a pipe holds only so much."""
        with suppress(OSError):  # it has ended: who listens hears that
            while (request := self._requests.get()) is not None:
                pipe.send(request)

    def _listen(self, pipe: Connection) -> None:
        while True:
            try:
                answer = pipe.recv()
            except (EOFError, OSError):
                break
            if pipe is self._pipe:
                self._hear(answer)
        if pipe is self._pipe:  # nobody stopped it
            self._hear(("ended", 0, None))


def planning(pipe: Connection, folder: Path, alternative: str, file: Path | None = None) -> None:
    """Plan whenever asked, until the server is gone.

    Requests are ``plan`` with a revision and its data, ``numbers`` to keep those of the last plan's runs, and ``copy`` for the
    last plan, pickled, its numbers kept; it has to have its bound and its audit, and to be without faults.

    Args:
        pipe: to the server.
        folder: where the project file lies.
        alternative: the alternative that is planned; empty for the base.
        file: the project file, for the register of run numbers beside it.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server ends it
    desk, replanner, tidied = Desk(pipe), Replanner(folder, alternative, file), 0
    while True:
        try:
            kind, number, what = desk.next()
            if kind == "plan":
                with suppress(Superseded), _untidied():
                    _plan(pipe, desk, replanner, number, *what)
                    pipe.send(("done", number, None))
                if desk.quiet(PAUSE_S):
                    tidied = _tidy(tidied)
            elif kind == "numbers":
                pipe.send(("numbers", number, replanner.keep_numbers()))
            elif replanner.latest is None:
                pipe.send(("refused", number, NO_PLAN))
            else:
                pipe.send(("numbers", number, replanner.keep_numbers()))
                pipe.send(("copy", number, pickle.dumps(replanner.latest)))
        except (EOFError, OSError):
            return


def _plan(pipe: Connection, desk: Desk, replanner: Replanner, number: int, revision: int, raw: dict[str, Any]) -> None:
    """Plan once, and send what there is as soon as it is there.

    Raises:
        Superseded: a newer request waits.
    """
    said_at = time.monotonic()

    def told(words: str, share: float) -> None:
        nonlocal said_at
        if desk.newer():
            raise Superseded
        if time.monotonic() >= said_at + TOLD_EVERY_S:
            said_at = time.monotonic()
            pipe.send(("phase", number, (words, share)))

    for said in replanner.plan(raw, told):
        value = said.value
        if said.kind == "plan" and value is not None:
            value = json.dumps(value | {"revision": revision}, separators=(",", ":")).encode()
        pipe.send((said.kind, number, value))
        # The page draws what it was sent with the same few cores, and the next move often comes soon.
        if said.kind == "plan" and replanner.more:
            gc.enable()
            desk.quiet(PAUSE_S)
            if desk.newer():
                raise Superseded


@contextmanager
def _untidied() -> Iterator[None]:
    """No search for garbage while somebody waits for a plan: it would take longer than half of the plan."""
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def _tidy(times: int) -> int:
    """Put away what is garbage, and leave what is not out of later searches; all is searched now and then."""
    if times % TIDIED_WHOLLY_EVERY == 0:
        gc.unfreeze()
    gc.collect()
    gc.freeze()
    return times + 1


def papers(pipe: Connection) -> None:
    """Write one plan's papers and end; the request holds the plan's text, the folder, and whether pictures are wanted.

    Args:
        pipe: to the server.
    """
    from ribway.live.writing import write_steps
    from ribway.models.plan.plan import Plan
    from ribway.outputs import OutputRefusedError, publish
    from ribway.viewer.errors import ViewError

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _, number, what = pipe.recv()
    folder, plan = Path(what["folder"]), pickle.loads(what["plan"])
    if not isinstance(plan, Plan):
        raise TypeError(f"a plan was expected, not {type(plan).__name__}")

    trouble: list[str] = []

    def write(fresh: Path) -> None:
        pipe.send(("begun", number, str(fresh)))
        trouble.append(write_steps(plan, fresh, what["pictures"], lambda *told: pipe.send(("phase", number, told))))

    try:
        publish(folder, write)
    except (OutputRefusedError, ViewError) as error:
        pipe.send(("refused", number, str(error)))
        return
    names = sorted(item.relative_to(folder).as_posix() for item in folder.rglob("*") if item.is_file())
    files = [one for one in names if not one.startswith(".")]
    pipe.send(("written", number, {"folder": folder.name, "files": files, "trouble": "".join(trouble)}))
