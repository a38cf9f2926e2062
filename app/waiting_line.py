"""One quiet line on the terminal while something takes long; nothing where nobody sees it."""

from __future__ import annotations

import shutil
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import TextIO

from ribway.models.told import HowFar, Told, untold

AFTER_S = 1.5
"""What takes less is not worth a line."""
EVERY_S = 0.2


@contextmanager
def waiting_line(what: str, stages: Sequence[str], stream: TextIO | None = None) -> Iterator[Told]:
    """Somebody to be told how far work is: a line on the terminal, gone again when the work is done.

    Args:
        what: is done, in a word.
        stages: those expected, in their order.
        stream: where to; standard error if None.

    Yields:
        Who is told; it does nothing where the stream is no terminal.
    """
    stream = stream or sys.stderr
    if not stream.isatty():
        yield untold
        return
    line = _Line(what, HowFar(stages), stream, time.monotonic)
    try:
        yield line
    finally:
        line.clear()


class _Line:
    """The line; it is written over itself."""

    def __init__(self, what: str, far: HowFar, stream: TextIO, clock: Callable[[], float]) -> None:
        self._what, self._far, self._stream, self._clock = what, far, stream, clock
        self._next, self._wide = clock() + AFTER_S, 0

    def __call__(self, stage: str, done: int, of: int) -> None:
        words = self._far.words(stage, done, of)
        if self._clock() >= self._next:
            self._next = self._clock() + EVERY_S
            self._write(f"{self._what}, {self._far.share:.0%}: {words}")

    def clear(self) -> None:
        if self._wide:
            self._write("")

    def _write(self, text: str) -> None:
        text = text[: shutil.get_terminal_size().columns - 1]
        with suppress(OSError):  # a terminal that is gone changes nothing about the work
            self._stream.write(f"\r{text:<{self._wide}}\r{text}")
            self._stream.flush()
        self._wide = len(text)
