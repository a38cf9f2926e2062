"""Changing values of a project file in place: everything else, remarks too, stays as it stands, byte for byte."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ribway.models.backup import replace_file
from ribway.models.key_paths import item_name, path_of_names, value_at
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.reading import MOST_BYTES, check_text
from ribway.models.text_file import read_text
from ribway.models.yaml_edits import insertion, node_at, quoted, removal, replacement, root_of, with_stretches
from ribway.models.yaml_text import parse_yaml

Names = tuple[str, ...]
"""Keys, and ids or names of list items: ``("devices", "fridge", "at", "back")``."""


def rewrite(path: Path, changes: Mapping[Names, object]) -> Path | None:
    """Change values of a project file in place, a backup written first.

    Args:
        path: the project file.
        changes: new value by place; None takes the key out. Text becomes quoted text, a mapping or list is written on
            one line. The thing that holds the key must be there; the key itself need not.

    Returns:
        The backup, ``project.yaml.bak-1`` beside the file or the next free number; None if nothing was to be changed.

    Raises:
        ProjectFaults: the file cannot be read, a place is not there, or the changed project would have faults; nothing
            was written then.
        OSError: the folder cannot be written to; the file is as it was.
    """
    target = path.resolve()
    text = read_text(path, MOST_BYTES)
    changed = changed_text(text, changes, str(path))
    check_text(changed, str(path), path.parent)
    original = target.read_bytes()
    mark = b"\xef\xbb\xbf" if original.startswith(b"\xef\xbb\xbf") else b""
    return replace_file(target, mark + changed.encode("utf-8"))


def changed_text(text: str, changes: Mapping[Names, object], file: str = "") -> str:
    """The text of a project file with values changed.

    Args:
        text: the text.
        changes: as for `rewrite`.
        file: what to call the file in faults.

    Returns:
        The changed text.

    Raises:
        ProjectFaults: the text does not parse, or a place is not there.
    """
    for names, value in changes.items():
        text = _one_change(text, names, value, file)
    return text


def _one_change(text: str, names: Names, value: object, file: str) -> str:
    raw = parse_yaml(text, file).raw
    path = path_of_names(raw, names)
    if len(path) < len(names) - 1 or not names:
        raise ProjectFaults([no_such_place(raw, names, file)])
    root = root_of(text)
    if len(path) == len(names) and isinstance(path[-1], str) and isinstance(value, Mapping):
        old = value_at(raw, path)
        if isinstance(old, Mapping):
            # Key by key, so that the remarks inside stay.
            steps = {(*names, str(key)): item for key, item in value.items()}
            steps.update({(*names, str(key)): None for key in old if key not in value})
            return changed_text(text, steps, file)
    if len(path) == len(names):
        stretch = removal(text, root, path) if value is None else replacement(text, root, path, value, quoted)
    elif value is None:
        return text
    else:
        stretch = insertion(text, node_at(root, path), names[-1], value, quoted)
    changed = with_stretches(text, [stretch])
    if changed is None or data_of(changed) != _plain_change(raw, names, value):
        place = " / ".join(names)
        message = "this value is written in a way that cannot be changed without touching others: change it by hand"
        raise ProjectFaults([Fault(file, place, "", "", message)])
    return changed


def data_of(text: str) -> dict[str, Any] | None:
    """What a text holds, or None if it is broken, as by a change inside an anchor."""
    try:
        return parse_yaml(text, "").raw
    except ProjectFaults:
        return None


def no_such_place(raw: object, names: Names, file: str = "") -> Fault:
    """What to say about a place that leads nowhere.

    Args:
        raw: the project's data.
        names: the place.
        file: what to call the file.
    """
    path = path_of_names(raw, names)
    holder = value_at(raw, path)
    known: list[str] = []
    if isinstance(holder, Mapping):
        known = [str(key) for key in holder]
    elif isinstance(holder, list):
        known = [item_name(item, index) for index, item in enumerate(holder)]
    missing = names[len(path)] if len(path) < len(names) else ""
    meant = nearest_word(missing, known)
    advice = f"did you mean {meant}?" if meant else f"there are {', '.join(known) or 'none'}"
    return Fault(file, " / ".join(names), missing, ", ".join(known), f"there is no {missing} to change: {advice}")


def _plain_change(raw: Any, names: Names, value: object) -> Any:
    """The same change made on data, to hold the changed text against."""
    path = path_of_names(raw, names[:-1])
    data = copy.deepcopy(raw)
    value = None if value is None else json.loads(json.dumps(value, allow_nan=False))
    holder = value_at(data, path)
    last = path_of_names(holder, names[-1:])
    if isinstance(holder, dict):
        holder.pop(names[-1], None)
        if value is not None:
            holder[names[-1]] = value
    elif isinstance(holder, list) and last and isinstance(last[0], int):
        if value is None:
            del holder[last[0]]
        else:
            holder[last[0]] = value
    return data
