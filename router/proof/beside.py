"""Work that a second process does beside one's own, where a core is to spare; the answer is the same as if it were done here.

The work must not change anything that its caller reads before it asks for the answer, and must start no solver: what a
solver keeps for a whole process would be copied half-way through.
"""

from __future__ import annotations

import os
import pickle
import signal
import threading
import warnings
from collections.abc import Callable
from types import TracebackType
from typing import Generic, TypeVar

T = TypeVar("T")


def spare_core() -> bool:
    """Whether a copy of this process can be made, is safe to make (no other threads), and would have a core of its own."""
    if not hasattr(os, "fork") or not hasattr(os, "sched_getaffinity"):
        return False
    return threading.active_count() == 1 and len(os.sched_getaffinity(0)) > 1


class Beside(Generic[T]):
    """A piece of work; to be used in a ``with`` block, whose end stops it if nobody asked for its answer."""

    def __init__(self, work: Callable[[], T], spare: Callable[[], bool] = spare_core) -> None:
        """Args: what is to be done; whether a second process may do it. Else it is done now, before this returns."""
        self._work, self._child, self._pipe = work, 0, -1
        self._known: list[T] = []
        if not spare():
            self._known.append(work())
            return
        self._pipe, into = os.pipe()
        with warnings.catch_warnings():  # from Python 3.12 on any thread, a linear algebra library's too, is warned of
            warnings.simplefilter("ignore", DeprecationWarning)
            self._child = os.fork()
        if not self._child:
            _do_and_leave(work, into)
        os.close(into)

    def answer(self) -> T:
        """What came of it; waits for it. If the second process died (memory), the work is done here."""
        if not self._known:
            pipe, self._pipe = self._pipe, -1
            with os.fdopen(pipe, "rb") as stream:
                data = stream.read()
            _, status = os.waitpid(self._child, 0)
            self._child = 0
            self._known.append(pickle.loads(data) if status == 0 else self._work())
        return self._known[0]

    def __enter__(self) -> Beside[T]:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._child:
            if self._pipe >= 0:
                os.close(self._pipe)
            os.kill(self._child, signal.SIGKILL)
            os.waitpid(self._child, 0)
            self._child = 0


def _do_and_leave(work: Callable[[], object], into: int) -> None:
    """In the second process: do the work, hand it over, and end without any clearing up that belongs to the first."""
    status = 1
    try:
        data = pickle.dumps(work(), protocol=pickle.HIGHEST_PROTOCOL)
        with os.fdopen(into, "wb") as pipe:
            pipe.write(data)
        status = 0
    finally:
        os._exit(status)
