"""Changes laid over a project's data.

Mappings merge key by key. Lists of things merge by the things' id or name (runs without an id: by circuit, from and
to), and may be changed by a mapping from id to change as well. Other lists and values are replaced. Null removes.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from ribway.models.key_paths import item_name
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import IndexPath, Problem
from ribway.models.schema import accepted_keys, required_keys
from ribway.models.unknown_keys import misspelt

_FIXED = ("ribway", "alternatives")


def merge(raw: dict[str, Any], change: Mapping[str, Any]) -> tuple[dict[str, Any], list[Problem]]:
    """Lay a change over a project's data.

    Args:
        raw: the base project's data; stays as it is.
        change: what is different.

    Returns:
        The changed data, and problems with their paths inside the change.
    """
    problems: list[Problem] = []
    allowed: dict[str, Any] = {}
    for key, value in change.items():
        if key in _FIXED:
            problems.append(Problem((key,), key, "", f"an alternative cannot change {key}"))
        else:
            allowed[key] = value
    merged = _mapping(raw, allowed, (), (), problems)
    return merged, problems


def _mapping(
    base: Mapping[str, Any], change: Mapping[str, Any], path: IndexPath, inside: IndexPath, problems: list[Problem]
) -> dict[str, Any]:
    """Merge two mappings.

    Args:
        base: what is there.
        change: what is laid over it.
        path: where this is in the project file, for its schema.
        inside: where this is in the change, for problems.
        problems: takes what is found.
    """
    merged = {key: copy.deepcopy(value) for key, value in base.items() if key not in _displaced(change)}
    for key, value in change.items():
        there, here = (*path, key), (*inside, key)
        if value is None:
            if key not in merged:
                problems.extend(_nothing_to_remove(key, base, path, here))
            merged.pop(key, None)
        elif isinstance(value, Mapping) and isinstance(merged.get(key), Mapping):
            merged[key] = _mapping(merged[key], value, there, here, problems)
        elif is_list_of_things(there) and isinstance(value, list | Mapping):
            merged[key] = _things(merged.get(key), value, there, here, problems)
        else:
            merged[key] = copy.deepcopy(value)
    return merged


def _displaced(change: Mapping[str, Any]) -> tuple[str, ...]:
    """Keys that a change makes void: left of the centre line takes the place of right, and the other way round."""
    return tuple(other for key, other in (("left", "right"), ("right", "left")) if change.get(key) is not None)


def _nothing_to_remove(key: str, base: Mapping[str, Any], path: IndexPath, here: IndexPath) -> list[Problem]:
    known = accepted_keys(path)
    if known is None or key in known:
        return []
    meant = misspelt(key, tuple(base), {}) or misspelt(key, known, {})
    advice = f"did you mean {meant}?" if meant else f"accepted are {', '.join(known)}"
    return [Problem(here, key, ", ".join(known), f"there is no {key} to remove: {advice}")]


def is_list_of_things(path: IndexPath) -> bool:
    """Whether the schema has a list of mappings with an id or name here."""
    keys = accepted_keys((*path, 0))
    return keys is not None and any(key in keys for key in ("id", "name"))


def same_thing(item: Mapping[str, Any], index: int) -> tuple[object, ...]:
    """What a thing is known by: id or name, or a run by its circuit and ends."""
    name = item_name(item, -1)
    if name != item_name({}, -1):
        return (name,)
    ends = tuple(item.get(key) for key in ("circuit", "from", "to"))
    return ends if all(isinstance(end, str) for end in ends) else (index, id(item))


def _things(
    base: object, change: list[Any] | Mapping[str, Any], path: IndexPath, inside: IndexPath, problems: list[Problem]
) -> list[Any]:
    """Merge a list of things; the change is a list of things, or a mapping from id to change."""
    merged = copy.deepcopy(base) if isinstance(base, list) else []
    places = {same_thing(item, index): index for index, item in enumerate(merged) if isinstance(item, Mapping)}
    key = "id" if "id" in (accepted_keys((*path, 0)) or ()) else "name"
    entries: list[tuple[str | int, Any]] = list(change.items() if isinstance(change, Mapping) else enumerate(change))
    removed: set[int] = set()
    for step, entry in entries:
        here = (*inside, step)
        item = {key: step, **entry} if isinstance(step, str) and isinstance(entry, Mapping) else entry
        if item is None and isinstance(step, str):
            if (step,) in places:
                removed.add(places[(step,)])
            else:
                problems.append(_unknown(step, merged, path, here, ()))
        elif not isinstance(item, Mapping):
            merged.append(copy.deepcopy(item))
        elif same_thing(item, -1) in places:
            index = places[same_thing(item, -1)]
            merged[index] = _mapping(merged[index], item, (*path, index), here, problems)
        else:
            missing = tuple(name for name in required_keys((*path, 0)) if name not in item)
            if missing and item_name(item, -1) != item_name({}, -1):
                problems.append(_unknown(item_name(item, -1), merged, path, here, missing))
            else:
                merged.append({name: copy.deepcopy(value) for name, value in item.items() if value is not None})
    return [item for index, item in enumerate(merged) if index not in removed]


def _unknown(
    name: str, merged: list[Any], path: IndexPath, here: IndexPath, missing: tuple[str, ...]
) -> Problem:  # fmt: skip
    names = list(dict.fromkeys(item_name(item, index) for index, item in enumerate(merged)))
    meant = nearest_word(name, names)
    listed = ", ".join(names[:12]) + (", ..." if len(names) > 12 else "")
    advice = f"did you mean {meant}?" if meant else f"there are {listed or 'none'}"
    lacking = f", and to be added it lacks {', '.join(missing)}" if missing else ""
    return Problem(here, name, listed, f"the base has no {name} under {path[-1]}{lacking}: {advice}")
