"""One project held open: its text as it stands, what was done to it, and what lies on disk. Pure and frozen."""

from __future__ import annotations

from dataclasses import dataclass, replace

MOST_STEPS = 200
"""Steps that can be undone; earlier ones are forgotten."""


@dataclass(frozen=True)
class Step:
    """A state of the text, and in words what led to it."""

    text: str
    words: str


@dataclass(frozen=True)
class Session:
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


def opened(text: str) -> Session:
    """A session on a file as it lies on disk."""
    return Session(text, (Step(text, ""),))


def with_step(session: Session, text: str, words: str) -> Session:
    """The session with one more step; what was undone before it is forgotten.

    Args:
        session: as it stands.
        text: the new text.
        words: what was done.
    """
    if text == session.text:
        return session
    steps = (*session.steps[: session.at + 1], Step(text, words))[-MOST_STEPS:]
    return replace(session, steps=steps, at=len(steps) - 1, revision=session.revision + 1)


def undone(session: Session) -> Session:
    """One step back; the same session if there is none."""
    return session if session.at == 0 else replace(session, at=session.at - 1, revision=session.revision + 1)


def redone(session: Session) -> Session:
    """One step forward again; the same session if there is none."""
    if session.at + 1 >= len(session.steps):
        return session
    return replace(session, at=session.at + 1, revision=session.revision + 1)


def saved(session: Session) -> Session:
    """The session after its text was written to disk."""
    return replace(session, disk=session.text, revision=session.revision + 1)


def taken(session: Session, disk: str) -> Session:
    """The session with the file's new state taken; what stood here before can be had back by undo."""
    return replace(with_step(session, disk, "take the file as it is on disk"), disk=disk)
