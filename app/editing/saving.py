"""Saving an edited project file: a backup first, whole or not at all, and never over what somebody else wrote."""

from __future__ import annotations

from pathlib import Path

from ribway.models.backup import replace_file
from ribway.models.reading import MOST_BYTES
from ribway.models.text_file import read_text

_MARK = "\ufeff"


class ChangedOnDiskError(Exception):
    """The file is no longer what the edits started from; nothing was written."""


def save(path: Path, before: str, after: str) -> Path | None:
    """Put an edited text in a project file's place.

    Args:
        path: the project file; a link to it is followed.
        before: the text that the edits started from, as `read_text` reads it.
        after: the edited text.

    Returns:
        The backup of what was there, ``project.yaml.bak-1`` beside the file or the next free number; None if there was
        nothing to write.

    Raises:
        ChangedOnDiskError: the file on disk is not ``before``.
        ProjectFaults: the file cannot be read.
        OSError: the folder cannot be written to; the file is as it was.
    """
    target = path.resolve()
    if read_text(target, MOST_BYTES) != before:
        raise ChangedOnDiskError(
            f"{path}: the file was changed by somebody else since it was read: nothing was written. Take the file's own "
            "state, or save yours under another name"
        )
    mark = _MARK if target.read_bytes().startswith(_MARK.encode("utf-8")) else ""
    return replace_file(target, (mark + after).encode("utf-8"))
