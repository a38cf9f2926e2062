"""What a browser is told of how things stand, around the plan itself."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ribway.live.crew import Crew, work_of
from ribway.live.history import History
from ribway.live.surveying import meshes_in

State = dict[str, Any]


@dataclass(frozen=True)
class Around:
    """What is known beside the history.

    Args:
        sitting: tells this run of the server from another.
        count: goes up with every telling of a sitting, so that an answer which a later one has overtaken is known.
        disk: what somebody else did to the file.
        journal: why unsaved changes cannot be kept; empty if they are.
        said: what to say; empty for nothing.
        here: the alternative that is worked on; empty for the base.
        beside: what is shown beside it; None for nothing.
        alternatives: name and reason of all of them.
        halted: whether something that is open is not planned as it stands, and nobody is at it.
    """

    sitting: str
    count: int = 0
    disk: str = ""
    journal: str = ""
    said: str = ""
    here: str = ""
    beside: str | None = None
    alternatives: tuple[tuple[str, str], ...] = ()
    halted: bool = False


def state_of(file: Path, history: History | None, crew: Crew, around: Around) -> State:
    """How things stand.

    Args:
        file: the project file.
        history: the project held open; None if there is none yet.
        crew: who is at work.
        around: the rest.

    Returns:
        Fit for JSON.
    """
    told: State = {
        "sitting": around.sitting,
        "count": around.count,
        "file": file.name,
        "folder": str(file.parent.absolute()),
        "missing": history is None,
        "revision": 0,
    }
    if history is None:
        return told | {"meshes": meshes_in(file.parent), "busy": crew.busy(), "said": crew.said}
    here = work_of(around.here)
    beside = "" if around.beside is None else work_of(around.beside)
    return told | {
        "revision": history.revision,
        "unsaved": history.unsaved,
        "undo": history.undo_words,
        "redo": history.redo_words,
        "disk": around.disk,
        "journal": around.journal,
        "said": " ".join(filter(None, (around.said, crew.said))),
        "faults": crew.faults.get(here, []),
        "otherFaults": crew.faults.get(beside, []),
        "plan": crew.number(here),
        "here": around.here,
        "other": around.beside,
        "otherPlan": crew.number(beside),
        "alternatives": [{"name": name, "why": why} for name, why in around.alternatives],
        "busy": crew.busy(),
        "halted": around.halted,
        "written": crew.written,
    }
