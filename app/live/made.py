"""An edit made on the data of a project: in the base or in the alternative that is worked on; faults that it brings refuse it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ribway.editing.alternatives import changed_by, in_alternative
from ribway.editing.changes import Edit, Raw, changed_data, split_mappings
from ribway.live.asked import OF_THE_WHOLE, AskedError, edit_of
from ribway.live.drafting import Draft, draft_of, fresh_faults
from ribway.live.refusing import RefusedError
from ribway.models.project_faults import ProjectFaults


@dataclass(frozen=True)
class Made:
    """An edit that was made.

    Args:
        edit: the edit of the project file.
        raw: its data afterwards.
        draft: what it comes to, in the way that is worked on.
        words: what was done.
        touched: where: empty for the base.
    """

    edit: Edit
    raw: Raw
    draft: Draft
    words: str
    touched: str


def made(asked: Mapping[str, Any], raw: Raw, before: Draft, here: str, folder: Path) -> Made:
    """Make an edit.

    Args:
        asked: what to do, as `edit_of` reads it.
        raw: the project file's data as it stands.
        before: what it comes to, in the way that is worked on.
        here: the alternative that is worked on; empty for the base.
        folder: where the project file lies.

    Returns:
        What came of it.

    Raises:
        RefusedError: it is no edit, or brings faults.
    """
    whole = asked.get("do") in OF_THE_WHOLE
    touched = "" if whole else here
    try:
        base = draft_of(raw, folder).raw if touched else raw
        edit, words = edit_of(asked, changed_by(base, touched) if touched else raw)
        if touched:
            edit, words = in_alternative(touched, edit, base), f"{words} ({touched})"
        after = changed_data(raw, split_mappings(raw, edit(raw)))
        gone = whole and here and not any(one.get("name") == here for one in after.get("alternatives") or ())
        draft = draft_of(after, folder, "" if gone else here)
    except AskedError as error:
        raise RefusedError(str(error)) from None
    except ProjectFaults as error:
        raise RefusedError("\n".join(str(fault) for fault in error.faults)) from None
    fresh = () if gone else fresh_faults(before, draft)
    if fresh:
        raise RefusedError("\n".join(str(fault) for fault in fresh))
    return Made(edit, after, draft, words, touched)
