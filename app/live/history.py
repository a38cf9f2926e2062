"""One project held open: its text as it stands, what was done to it, and what lies on disk. Pure and frozen."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

MOST_STEPS = 200
"""Steps that can be undone; earlier ones are forgotten."""


@dataclass(frozen=True)
class SheetChange:
    """A change of the equipment sheet: it was written at once."""

    path: Path
    before: bytes
    after: bytes


@dataclass(frozen=True)
class Step:
    """A state of the text, in words what led to it, and what was done to the equipment sheet with it."""

    text: str
    words: str
    sheet: SheetChange | None = None


@dataclass(frozen=True)
class History:
    """A project held open.

    Args:
        disk: text of the file as it was last read or written.
        steps: states of the text, the first as it was read.
        at: which of them holds.
        revision: goes up with every change, so that an edit which was made on an older state is known.
    """

    disk: str
    steps: tuple[Step, ...]
    at: int = 0
    revision: int = 1

    @property
    def text(self) -> str:
        """The text as it stands."""
        return self.steps[self.at].text

    @property
    def unsaved(self) -> bool:
        """Whether it is otherwise than on disk."""
        return self.text != self.disk

    @property
    def undo_words(self) -> str:
        """What undo would take back; empty for nothing."""
        return self.steps[self.at].words if self.at > 0 else ""

    @property
    def redo_words(self) -> str:
        """What redo would do again; empty for nothing."""
        return self.steps[self.at + 1].words if self.at + 1 < len(self.steps) else ""


def opened(text: str) -> History:
    """A history on a file as it lies on disk."""
    return History(text, (Step(text, ""),))


def with_step(history: History, text: str, words: str, sheet: SheetChange | None = None) -> History:
    """The history with one more step; what was undone before it is forgotten.

    Where nothing is changed there is no step, but a new revision all the same: a plan of it is under way.

    Args:
        history: as it stands.
        text: the new text.
        words: what was done.
        sheet: what was done to the equipment sheet.
    """
    if text == history.text and sheet is None:
        return replace(history, revision=history.revision + 1)
    steps = (*history.steps[: history.at + 1], Step(text, words, sheet))[-MOST_STEPS:]
    return replace(history, steps=steps, at=len(steps) - 1, revision=history.revision + 1)


def undone(history: History) -> History:
    """One step back; the same history if there is none."""
    return history if history.at == 0 else replace(history, at=history.at - 1, revision=history.revision + 1)


def redone(history: History) -> History:
    """One step forward again; the same history if there is none."""
    if history.at + 1 >= len(history.steps):
        return history
    return replace(history, at=history.at + 1, revision=history.revision + 1)


def saved(history: History) -> History:
    """The history after its text was written to disk."""
    return replace(history, disk=history.text, revision=history.revision + 1)


def taken(history: History, disk: str) -> History:
    """The history with the file's new state taken; what stood here before can be had back by undo."""
    return replace(with_step(history, disk, "take the file as it is on disk"), disk=disk)
