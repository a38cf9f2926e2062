"""What a browser is told of how things stand, around the plan itself."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ribway.live.crew import PLAN, Crew, beside
from ribway.live.session import Session

State = dict[str, Any]


@dataclass(frozen=True)
class Around:
    """What is known beside the session.

    Args:
        sitting: tells this run of the server from another.
        disk: what somebody else did to the file.
        journal: why unsaved changes cannot be kept; empty if they are.
        said: what to say; empty for nothing.
        other: the alternative shown beside the base; empty for none.
        alternatives: names of all of them.
    """

    sitting: str
    disk: str = ""
    journal: str = ""
    said: str = ""
    other: str = ""
    alternatives: tuple[str, ...] = ()


def state_of(file: Path, session: Session | None, crew: Crew, around: Around) -> State:
    """How things stand.

    Args:
        file: the project file.
        session: the project held open; None if there is none yet.
        crew: who is at work.
        around: the rest.

    Returns:
        Fit for JSON.
    """
    told: State = {
        "sitting": around.sitting,
        "file": file.name,
        "folder": str(file.parent.absolute()),
        "missing": session is None,
        "revision": 0,
    }
    if session is None:
        return told
    other = beside(around.other) if around.other else ""
    return told | {
        "revision": session.revision,
        "unsaved": session.unsaved,
        "undo": session.undo_words,
        "redo": session.redo_words,
        "disk": around.disk,
        "journal": around.journal,
        "said": " ".join(filter(None, (around.said, crew.said))),
        "faults": crew.faults.get(PLAN, []),
        "otherFaults": crew.faults.get(other, []),
        "plan": crew.number(PLAN),
        "other": around.other,
        "otherPlan": crew.number(other),
        "alternatives": list(around.alternatives),
        "busy": crew.busy(),
        "written": crew.written,
    }
