"""A change of a project, made on its data and on its file's text: the two always agree.

An edit is a function from a project's data to the changes that it takes, so that one edit can be made on the data (in no
time, to plan it at once) and on the text (which has to be parsed). `edited` makes it on a text.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ruamel.yaml.nodes import MappingNode, Node

from ribway.models.key_paths import path_of_names, value_at
from ribway.models.project_faults import Fault, IndexPath, ProjectFaults
from ribway.models.rewriting import data_of, no_such_place
from ribway.models.yaml_edits import (
    Stretch,
    addition,
    as_before,
    in_flow,
    insertion,
    new_list,
    node_at,
    removal,
    replacement,
    root_of,
    step,
    with_stretches,
)
from ribway.models.yaml_text import parse_yaml

Raw = dict[str, Any]
"""A project file's data, quantities as text."""

Names = tuple[str, ...]
"""Keys, and ids or names of list items: ``("devices", "fridge", "at", "back")``."""


@dataclass(frozen=True)
class Change:
    """One value set, taken out, or added to a list.

    Args:
        names: where. What holds the last of them must be there.
        value: what to write there; None takes out what is there. A mapping laid on a mapping is written key by key.
        add: whether the value becomes one more item of the list there; the list is made if it is missing.
        null: whether null is written there, as alternatives do to take something out of the base.
    """

    names: Names
    value: object
    add: bool = False
    null: bool = False

    @property
    def takes_out(self) -> bool:
        """Whether what is there goes."""
        return self.value is None and not self.null


Edit = Callable[[Raw], Sequence[Change]]


def edited(text: str, edit: Edit, file: str = "") -> str:
    """A project file's text with an edit made.

    Args:
        text: the text; the project in it need not be complete or without faults, but it must be YAML.
        edit: what to do.
        file: what to call the file in faults.

    Returns:
        The changed text: another reader of YAML finds in it what was there, changed by the edit, and nothing else.

    Raises:
        ProjectFaults: the text does not parse, the edit names something that is not there, or the value is written in a
            way (an anchor, say) that cannot be changed without touching others.
    """
    raw = parse_yaml(text, file).raw
    changes = split_mappings(raw, edit(raw))
    if not changes:
        return text
    wanted = changed_data(raw, changes, file)
    together = _with_changes(text, raw, changes)
    if together is not None and data_of(together) == wanted:
        return together
    for change in changes:  # one at a time where they touch each other
        raw = parse_yaml(text, file).raw
        alone = _with_changes(text, raw, [change])
        if alone is None or data_of(alone) != changed_data(raw, [change], file):
            message = "this value is written in a way that cannot be changed without touching others: change it by hand"
            raise ProjectFaults([Fault(file, " / ".join(change.names), "", "", message)])
        text = alone
    return text


def changed_data(raw: Raw, changes: Iterable[Change], file: str = "") -> Raw:
    """A project's data with changes made.

    Args:
        raw: the data; stays as it is.
        changes: the changes, in order.
        file: what to call the file in faults.

    Returns:
        The changed data.

    Raises:
        ProjectFaults: a change names something that is not there.
    """
    data = copy.deepcopy(raw)
    for change in changes:
        value = None if change.value is None else json.loads(json.dumps(change.value, allow_nan=False))
        path = path_of_names(data, change.names[:-1])
        holder = value_at(data, path)
        last = path_of_names(holder, change.names[-1:])
        if len(path) < len(change.names) - 1 or not isinstance(holder, dict | list) or (
            isinstance(holder, list) and not last
        ):  # fmt: skip
            raise ProjectFaults([no_such_place(data, change.names, file)])
        if change.add:
            there = value_at(holder, last) if last else None
            if last and not isinstance(there, list):
                raise ProjectFaults([no_list(change.names, file)])
            if isinstance(holder, dict):
                holder[change.names[-1]] = [*(there if isinstance(there, list) else []), value]
        elif isinstance(holder, dict):
            if change.takes_out:
                holder.pop(change.names[-1], None)
            else:
                holder[change.names[-1]] = value
        elif isinstance(last[0], int):
            holder[last[0] : last[0] + 1] = [] if change.takes_out else [value]
    return data


def split_mappings(raw: Raw, changes: Iterable[Change]) -> list[Change]:
    """The same changes, those that lay a mapping over a mapping taken apart key by key, so that remarks inside stay.

    Args:
        raw: the data before them.
        changes: the changes.
    """
    apart: list[Change] = []
    for change in changes:
        path = path_of_names(raw, change.names)
        old = value_at(raw, path) if len(path) == len(change.names) else None
        if change.add or not isinstance(change.value, Mapping) or not isinstance(old, dict):
            apart.append(change)
            continue
        gone = [Change((*change.names, key), None) for key in old if key not in change.value]
        kept = [Change((*change.names, str(key)), item) for key, item in change.value.items() if old.get(key) != item]
        apart += split_mappings(raw, [*gone, *kept])
    return apart


def no_list(names: Names, file: str = "") -> Fault:
    """What to say where a list should stand and something else does."""
    return Fault(file, " / ".join(names), "", "a list", f"{names[-1]} is no list here: nothing can be added to it")


def _with_changes(text: str, raw: Raw, changes: Sequence[Change]) -> str | None:
    """The text with changes made all at once, or None if they touch each other."""
    root = root_of(text)
    stretches: list[Stretch] = []
    rest = list(changes)
    while rest:
        change = rest.pop(0)
        holder_path = path_of_names(raw, change.names[:-1])
        holder = node_at(root, holder_path)
        siblings = [one for one in rest if one.names[:-1] == change.names[:-1]]
        reshaped = any(_comes_or_goes(raw, one) for one in (change, *siblings))
        if siblings and reshaped and _one_line(text, holder) and not any(one.add for one in (change, *siblings)):
            # Keys come and go in one pair of braces: each would move the commas of the next.
            rest = [one for one in rest if one not in siblings]
            stretches.append(_braces(text, root, holder_path, [change, *siblings]))
        else:
            found = _stretch(text, root, raw, change)
            stretches += [found] if found else []
    return with_stretches(text, stretches)


def _comes_or_goes(raw: Raw, change: Change) -> bool:
    """Whether a change makes a key come or go."""
    return change.takes_out or len(path_of_names(raw, change.names)) < len(change.names)


def _stretch(text: str, root: Node, raw: Raw, change: Change) -> Stretch | None:
    path = path_of_names(raw, change.names)
    there = len(path) == len(change.names)
    if change.add:
        if there:
            return addition(text, node_at(root, path), change.value, as_before)
        return new_list(text, node_at(root, path), change.names[-1], change.value, as_before)
    if there:
        return removal(text, root, path) if change.takes_out else replacement(
            text, root, path, change.value, as_before
        )  # fmt: skip
    if change.takes_out:
        return None
    return insertion(text, node_at(root, path), change.names[-1], change.value, as_before)


def _one_line(text: str, node: Node) -> bool:
    """Whether a mapping stands in braces without a line end, so that no remark can be in it."""
    braces = isinstance(node, MappingNode) and in_flow(node)
    return braces and "\n" not in text[node.start_mark.index : node.end_mark.index]


def _braces(text: str, root: Node, path: IndexPath, changes: Sequence[Change]) -> Stretch:
    """A mapping in braces written anew: the entries that stay as they stand, in their order, then those that come."""
    node = node_at(root, path)
    by_key = {change.names[-1]: change for change in changes}
    entries = []
    for key, value in node.value:
        change = by_key.pop(key.value, None)
        if change is None:
            entries.append(text[key.start_mark.index : value.end_mark.index])
        elif not change.takes_out:
            _, old = step(node, key.value)
            entries.append(f"{text[key.start_mark.index : value.start_mark.index]}{as_before(change.value, old)}")
    for name, change in by_key.items():
        if not change.takes_out:
            entries.append(as_before({name: change.value})[1:-1])
    start, end = node.start_mark.index, node.end_mark.index
    return Stretch(start, end, "{" + ", ".join(entries) + "}")
