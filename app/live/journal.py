"""Unsaved edits kept beside the project, so that a killed server or a closed browser loses nothing.

Lines of JSON: the first holds the file's text that the edits start from, each further one a state of the text. Lines are
only ever added; a last line that was cut off by a crash is left out.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import BinaryIO

from ribway.live.history import History, Step


class Journal:
    """The journal of one project file."""

    def __init__(self, project: Path) -> None:
        """A journal that may or may not be there.

        Args:
            project: the project file.
        """
        self.path = project.with_name(f".{project.name}.unsaved")

    def read(self) -> History | None:
        """The history that the journal tells of.

        Returns:
            What was begun and never saved; None if there is no such thing.
        """
        try:
            lines = self.path.read_text(encoding="utf-8").split("\n")
        except (OSError, UnicodeDecodeError):
            return None
        found = [entry for line in lines if (entry := _entry(line)) is not None]
        if not found or "disk" not in found[0]:
            return None
        disk = found[0]["disk"]
        steps = [Step(disk, ""), *(Step(one["text"], one.get("words", "")) for one in found[1:] if "text" in one)]
        if steps[-1].text == disk:
            return None
        return History(disk, tuple(steps), len(steps) - 1)

    def add(self, history: History, words: str) -> str:
        """Keep the state of a history.

        Args:
            history: the history; nothing is kept of one that is as on disk.
            words: what led to this state.

        Returns:
            Why it could not be kept; empty if it was.
        """
        try:
            if not history.unsaved:
                self.clear()
                return ""
            lines = [] if self.path.exists() else [json.dumps({"disk": history.disk})]
            lines += [json.dumps({"text": history.text, "words": words}), ""]
            with self.path.open("ab+") as file:
                if file.tell() and not _ends_whole(file):
                    lines.insert(0, "")  # a line that a crash cut off stays apart
                file.write("\n".join(lines).encode("utf-8"))
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            return f"{self.path}: unsaved changes cannot be kept here: {error.strerror}"
        return ""

    def clear(self) -> None:
        """Nothing is unsaved any more."""
        self.path.unlink(missing_ok=True)


def _ends_whole(file: BinaryIO) -> bool:
    file.seek(-1, os.SEEK_END)
    return file.read(1) == b"\n"


def _entry(line: str) -> dict[str, str] | None:
    try:
        entry = json.loads(line)
    except ValueError:
        return None
    fits = isinstance(entry, dict) and all(isinstance(value, str) for value in entry.values())
    return entry if fits else None
