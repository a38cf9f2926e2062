"""A process that plans, so that the server stays quick to answer and long work can be stopped: by ending the process.

Requests and answers are tuples of plain data. A request to plan is left out if a newer one waits behind it.
"""

from __future__ import annotations

import json
import multiprocessing
import pickle
import signal
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from ribway.live.planning import Replanner

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

    def ask(self, kind: str, number: int, what: object) -> None:
        """Send a request.

        Args:
            kind: what is asked for.
            number: its number, that answers carry.
            what: what it is about.
        """
        if self._pipe is None:
            self._start()
        if self._pipe is not None:
            self._pipe.send((kind, number, what))

    def stop(self) -> None:
        """End the process and whatever it is at; the next request starts another."""
        process, self._process, self._pipe = self._process, None, None
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

    def _listen(self, pipe: Connection) -> None:
        while True:
            try:
                answer = pipe.recv()
            except (EOFError, OSError):
                break
            if pipe is self._pipe:
                self._hear(answer)
        if pipe is self._pipe:  # nobody stopped it
            self._process = self._pipe = None
            self._hear(("ended", 0, None))


def planning(pipe: Connection, folder: Path, alternative: str, file: Path | None = None) -> None:
    """Plan whenever asked, until the server is gone.

    Requests are ``plan`` with the project's data, ``numbers`` to keep those of the last plan's runs, and ``copy`` for the last
    plan, pickled, its numbers kept.

    Args:
        pipe: to the server.
        folder: where the project file lies.
        alternative: the alternative that is planned; empty for the base.
        file: the project file, for the register of run numbers beside it.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server ends it
    replanner = Replanner(folder, alternative, file)
    waiting: list[tuple[str, int, Any]] = []
    while True:
        try:
            if not waiting:
                waiting.append(pipe.recv())
            while pipe.poll():
                waiting.append(pipe.recv())
            kind, number, what = waiting.pop(0)
            if kind == "plan":
                if any(other == "plan" for other, _, _ in waiting):
                    continue
                for said in replanner.plan(what):
                    value = said.value
                    if said.kind == "plan" and value is not None:
                        value = json.dumps(value | {"revision": number}, separators=(",", ":")).encode()
                    pipe.send((said.kind, number, value))
                    if said.kind == "plan" and pipe.poll():
                        break  # something newer waits: what is left of this one would be stale
                pipe.send(("done", number, None))
            elif kind == "numbers":
                pipe.send(("numbers", number, replanner.keep_numbers()))
            elif replanner.latest is None:
                pipe.send(("refused", number, "there is no plan yet that papers could be written of"))
            else:
                pipe.send(("numbers", number, replanner.keep_numbers()))
                pipe.send(("copy", number, pickle.dumps(replanner.latest)))
        except (EOFError, OSError):
            return


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
        trouble.append(write_steps(plan, fresh, what["pictures"], lambda *told: pipe.send(("phase", number, told))))

    try:
        publish(folder, write)
    except (OutputRefusedError, ViewError) as error:
        pipe.send(("refused", number, str(error)))
        return
    names = sorted(item.relative_to(folder).as_posix() for item in folder.rglob("*") if item.is_file())
    files = [one for one in names if not one.startswith(".")]
    pipe.send(("written", number, {"folder": folder.name, "files": files, "trouble": "".join(trouble)}))
