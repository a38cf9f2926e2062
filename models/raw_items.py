"""What is well formed in the data of a project, stepping over what is not: each check looks at what it can read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from ribway.models.nearest import nearest_word
from ribway.models.project_faults import IndexPath, Problem

Raw = dict[str, Any]


def things(raw: object, *keys: str) -> Iterator[tuple[IndexPath, Raw]]:
    """The mappings in the list at a key path, with their places.

    Args:
        raw: the project file's data.
        keys: keys from the top to the list.

    Yields:
        Path and mapping of each item that is one.
    """
    for key in keys:
        raw = raw.get(key) if isinstance(raw, dict) else None
    if isinstance(raw, list):
        for index, item in enumerate(raw):
            if isinstance(item, dict):
                yield (*keys, index), item


def texts(item: Raw, key: str) -> Iterator[tuple[IndexPath, str]]:
    """The text, or the texts of the list, that a mapping has at a key.

    Args:
        item: the mapping.
        key: the key.

    Yields:
        Path inside the mapping, and text.
    """
    value = item.get(key)
    if isinstance(value, str):
        yield (key,), value
    elif isinstance(value, list):
        for index, text in enumerate(value):
            if isinstance(text, str):
                yield (key, index), text


def kinds_of(raw: Raw) -> dict[str, object]:
    """The kind of each device that has an id.

    Args:
        raw: the project file's data.

    Returns:
        Kind by id, as written; ``load`` where none is.
    """
    return {
        item["id"]: item.get("kind", "load") for _, item in things(raw, "devices") if isinstance(item.get("id"), str)
    }


def not_there(path: IndexPath, who: str, found: str, known: Iterable[str]) -> Problem:
    """The problem of a name that leads to nothing, with what was probably meant.

    Args:
        path: place of the name.
        who: who says it, up to the name.
        found: the name.
        known: the names there are.

    Returns:
        The problem.
    """
    names = sorted(set(known) - {found})
    meant = nearest_word(found, names)
    listed = ", ".join(names[:12]) + (", ..." if len(names) > 12 else "")
    advice = f"did you mean {meant}?" if meant else f"there are {listed}" if names else "there are none"
    return Problem(path, found, listed, f"{who}, which is not there: {advice}")
