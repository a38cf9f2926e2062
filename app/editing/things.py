"""Edits common to everything that stands in a list of the project file: add, change, rename, take out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ribway.editing.changes import Change, Edit, Names, Raw
from ribway.models.key_paths import item_name, path_of_names, value_at
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.rewriting import no_such_place


def entries(raw: Raw, where: Names) -> list[Any]:
    """The items of a list of the project.

    Args:
        raw: the project's data.
        where: names of the list, such as ``("vehicle", "keep_outs")``.

    Returns:
        The items as they stand there; none if there is no such list.
    """
    path = path_of_names(raw, where)
    found = value_at(raw, path) if len(path) == len(where) else None
    return found if isinstance(found, list) else []


def names_in(raw: Raw, where: Names) -> list[str]:
    """What the items of a list are called, in order."""
    return [item_name(item, index) for index, item in enumerate(entries(raw, where))]


def add_thing(where: Names, thing: Mapping[str, object]) -> Edit:
    """Add one thing to a list, which is made if it is missing.

    Args:
        where: names of the list.
        thing: its keys, ``id`` or ``name`` among them.

    Returns:
        The edit; it refuses a name that is taken.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        name = item_name(thing, -1)
        if name in names_in(raw, where):
            raise ProjectFaults([_taken(where, name)])
        return [Change(where, dict(thing), add=True)]

    return edit


def change_thing(where: Names, name: str, values: Mapping[str, object]) -> Edit:
    """Set keys of one thing, or take them out.

    Args:
        where: names of the list.
        name: the thing's id or name.
        values: new value by key; None takes the key out; keys that are not named stay.

    Returns:
        The edit.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        if name not in names_in(raw, where):
            raise ProjectFaults([no_such_place(raw, (*where, name))])
        return [Change((*where, name, key), value) for key, value in values.items()]

    return edit


def take_out_thing(where: Names, name: str) -> Edit:
    """Take one thing out of its list; the list goes with its last item.

    Args:
        where: names of the list.
        name: the thing's id or name.

    Returns:
        The edit.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        there = names_in(raw, where)
        if name not in there:
            raise ProjectFaults([no_such_place(raw, (*where, name))])
        return [Change(where if len(there) == 1 else (*where, name), None)]

    return edit


def set_value(names: Names, value: object) -> Edit:
    """Set a value anywhere in the project, or take it out.

    Args:
        names: its place.
        value: quantities as text with their unit; None takes it out.

    Returns:
        The edit.
    """
    return lambda raw: [Change(names, value)]


def in_turn(*edits: Edit) -> Edit:
    """Several edits as one, all reckoned from the project as it is before the first.

    Args:
        edits: such as do not touch each other.
    """
    return lambda raw: [change for edit in edits for change in edit(raw)]


def _taken(where: Names, name: str) -> Fault:
    message = f"there is one called {name} already: give another name"
    return Fault("", " / ".join((*where, name)), name, "a name that is free", message)
