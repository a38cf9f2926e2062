"""Changing values of a project file in place: everything else, remarks too, stays as it stands, byte for byte."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from ribway.models.backup import replace_file
from ribway.models.key_paths import item_name, path_of_names, value_at
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault, IndexPath, ProjectFaults
from ribway.models.reading import MOST_BYTES, check_text
from ribway.models.text_file import read_text
from ribway.models.yaml_text import parse_yaml

Names = tuple[str, ...]
"""Keys, and ids or names of list items: ``("devices", "fridge", "at", "back")``."""


@dataclass(frozen=True)
class Edit:
    """One stretch of the text replaced by another."""

    start: int
    end: int
    text: str


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
        raise ProjectFaults([_not_there(raw, names, path, file)])
    root = YAML(typ="rt").compose(text)
    if len(path) == len(names) and isinstance(path[-1], str) and isinstance(value, Mapping):
        old = value_at(raw, path)
        if isinstance(old, Mapping):
            # Key by key, so that the remarks inside stay.
            steps = {(*names, str(key)): item for key, item in value.items()}
            steps.update({(*names, str(key)): None for key in old if key not in value})
            return changed_text(text, steps, file)
    if len(path) == len(names):
        edit = _removal(text, root, path) if value is None else _replacement(text, root, path, value)
    elif value is None:
        return text
    else:
        edit = _insertion(text, _node_at(root, path), names[-1], value)
    changed = text[: edit.start] + edit.text + text[edit.end :]
    if _data_of(changed) != _plain_change(raw, names, value):
        place = " / ".join(names)
        message = "this value is written in a way that cannot be changed without touching others: change it by hand"
        raise ProjectFaults([Fault(file, place, "", "", message)])
    return changed


def _data_of(text: str) -> dict[str, Any] | None:
    """What a text holds, or None if it is broken, as by a change inside an anchor."""
    try:
        return parse_yaml(text, "").raw
    except ProjectFaults:
        return None


def _not_there(raw: object, names: Names, path: IndexPath, file: str) -> Fault:
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


def _pairs(node: Node) -> list[tuple[Node, Node]]:
    return list(node.value) if isinstance(node, MappingNode) else []


def _step(node: Node, part: str | int) -> tuple[Node | None, Node]:
    """Key node (none in a list) and value node one level down."""
    if isinstance(node, SequenceNode) and isinstance(part, int):
        return None, node.value[part]
    for key, value in _pairs(node):
        if key.value == part:
            return key, value
    raise KeyError(part)


def _node_at(root: Node, path: Sequence[str | int]) -> Node:
    for part in path:
        root = _step(root, part)[1]
    return root


def flow_text(value: object) -> str:
    """A value as YAML on one line.

    Args:
        value: text, number, yes/no value, mapping or list.

    Returns:
        Text always in quotes, so that YAML cannot turn it into anything else.
    """
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key_text(str(key))}: {flow_text(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow_text(item) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _key_text(key: str) -> str:
    plain = re.fullmatch(r"[A-Za-z_][A-Za-z0-9_-]*", key) and key.lower() not in ("true", "false", "null")
    return key if plain else json.dumps(key, ensure_ascii=False)


def _in_flow(node: Node) -> bool:
    """Whether a mapping or list is written in braces or brackets."""
    return isinstance(node, MappingNode | SequenceNode) and bool(node.flow_style)


def _end_of(text: str, node: Node) -> int:
    """Where a value's own text ends; a block's end mark lies behind the blank lines and remarks that follow it."""
    if isinstance(node, ScalarNode) or _in_flow(node):
        return int(node.end_mark.index)
    last = _pairs(node)[-1][1] if isinstance(node, MappingNode) else node.value[-1]
    return _end_of(text, last)


def _replacement(text: str, root: Node, path: IndexPath, value: object) -> Edit:
    key, node = _step(_node_at(root, path[:-1]), path[-1])
    start, end = node.start_mark.index, _end_of(text, node)
    new = flow_text(value)
    if isinstance(node, ScalarNode) and node.style in ("|", ">"):
        return Edit(start, end, new + "\n")
    in_block = isinstance(node, MappingNode | SequenceNode) and not _in_flow(node)
    if key is not None and (in_block or start == end):
        colon = text.index(":", key.end_mark.index) + 1
        return Edit(colon, end if in_block else colon, f" {new}")
    return Edit(start, end, new)


def _removal(text: str, root: Node, path: IndexPath) -> Edit:
    holder = _node_at(root, path[:-1])
    key, node = _step(holder, path[-1])
    start, end = (key or node).start_mark.index, _end_of(text, node)
    if _in_flow(holder):
        after = re.compile(r"\s*,\s*").match(text, end)
        if after:
            return Edit(start, after.end(), "")
        before = re.compile(r",\s*$").search(text[:start])
        return Edit(before.start() if before else start, end, "")
    line_start = text.rfind("\n", 0, start) + 1
    line_end = text.find("\n", end)
    line_end = len(text) if line_end < 0 else line_end + 1
    lead = text[line_start:start]
    if not lead.strip() or (key is None and not lead.replace("-", "").strip()):
        return Edit(line_start, line_end, "")
    # The first key of a list item shares its line with the dash: the next key moves up to it.
    following = re.compile(r"[ ]*").match(text, line_end)
    return Edit(start, following.end() if following else line_end, "")


def _insertion(text: str, holder: Node, key: str, value: object) -> Edit:
    entry = f"{_key_text(key)}: {flow_text(value)}"
    if _in_flow(holder) or not _pairs(holder):
        end = holder.end_mark.index - 1
        return Edit(end, end, f", {entry}" if _pairs(holder) else entry)
    first, _ = _pairs(holder)[0]
    end = _end_of(text, _pairs(holder)[-1][1])
    line_end = text.find("\n", end)
    newline = "\r\n" if "\r\n" in text else "\n"
    indent = " " * first.start_mark.column
    if text[end - 1 : end] == "\n":
        return Edit(end, end, f"{indent}{entry}{newline}")
    if line_end < 0:
        return Edit(len(text), len(text), f"{newline}{indent}{entry}{newline}")
    return Edit(line_end + 1, line_end + 1, f"{indent}{entry}{newline}")
