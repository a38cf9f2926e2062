"""Key paths as people read them: list items by their id or name, not by their number."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ribway.models.project_faults import IndexPath

_NAME_KEYS = ("id", "name", "part")


def item_name(item: object, index: int) -> str:
    """What to call an item of a list.

    Args:
        item: the item.
        index: its position, counted from 0.

    Returns:
        Its id or name if it has one as text, else ``item 3``.
    """
    if isinstance(item, Mapping):
        for key in _NAME_KEYS:
            name = item.get(key)
            if isinstance(name, str) and name:
                return name
    return f"item {index + 1}"


def value_at(raw: object, path: IndexPath) -> object:
    """The value at a path.

    Args:
        raw: mappings, lists and scalars.
        path: keys and positions.

    Returns:
        The value.

    Raises:
        KeyError: there is nothing at the path.
    """
    for part in path:
        match raw:
            case dict() if part in raw:
                raw = raw[part]
            case list() if isinstance(part, int) and part < len(raw):
                raw = raw[part]
            case _:
                raise KeyError(part)
    return raw


def existing_part(raw: object, path: Sequence[str | int]) -> IndexPath:
    """The longest beginning of a path that leads to a value.

    Args:
        raw: mappings, lists and scalars.
        path: keys and positions; may go on where the data ends.

    Returns:
        The beginning, possibly empty.
    """
    reached: list[str | int] = []
    for part in path:
        try:
            raw = value_at(raw, (part,))
        except KeyError:
            break
        reached.append(part)
    return tuple(reached)


def names_of(raw: object, path: IndexPath) -> tuple[str, ...]:
    """A path with list items called by their names.

    Args:
        raw: mappings, lists and scalars.
        path: keys and positions; may go on where the data ends.

    Returns:
        The names, as many as the path has parts.
    """
    names: list[str] = []
    for depth, part in enumerate(path):
        if isinstance(part, str):
            names.append(part)
            continue
        there = existing_part(raw, path[: depth + 1])
        item = value_at(raw, there) if len(there) == depth + 1 else None
        names.append(item_name(item, part))
    return tuple(names)


def path_of_names(raw: object, names: Sequence[str]) -> IndexPath:
    """The path that names lead along, as far as they lead.

    Args:
        raw: mappings, lists and scalars.
        names: keys, and names of list items.

    Returns:
        Keys and positions of the longest beginning that leads to a value.
    """
    path: list[str | int] = []
    for name in names:
        if isinstance(raw, Mapping) and name in raw:
            path.append(name)
            raw = raw[name]
        elif isinstance(raw, list):
            position = next((i for i, item in enumerate(raw) if item_name(item, i) == name), None)
            if position is None:
                break
            path.append(position)
            raw = raw[position]
        else:
            break
    return tuple(path)
