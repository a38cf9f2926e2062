"""Edits made in an alternative: what is edited is the changed project, what is written is what the alternative changes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ribway.editing.changes import Change, Edit, Names, Raw, changed_data, split_mappings
from ribway.editing.things import entries, names_in
from ribway.models.key_paths import item_name
from ribway.models.merging import is_list_of_things, merge, same_thing
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault, IndexPath, ProjectFaults
from ribway.models.schema import accepted_keys

ALTERNATIVES = ("alternatives",)
_ENDS = ("circuit", "from", "to")
_NAMELESS = 2
_OPPOSITE = {"left": "right", "right": "left"}


def add_alternative(name: str, why: str = "") -> Edit:
    """Add an alternative that changes nothing yet.

    Args:
        name: what to call it.
        why: the reason for it.

    Returns:
        The edit; it refuses a name that is taken.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        if name in names_in(raw, ALTERNATIVES):
            message = f"there is an alternative called {name} already: give another name"
            raise ProjectFaults([Fault("", f"alternatives / {name}", name, "a name that is free", message)])
        return [Change(ALTERNATIVES, {"name": name, **({"why": why} if why else {}), "change": {}}, add=True)]

    return edit


def changed_by(raw: Raw, name: str) -> Raw:
    """A project's data as an alternative changes it.

    Args:
        raw: the data, with what an equipment sheet says if there is one; stays as it is.
        name: the alternative's.

    Returns:
        The changed data, without alternatives.

    Raises:
        ProjectFaults: there is no such alternative, or its change does not fit the project.
    """
    said = _said(raw, name)
    merged, problems = merge(raw, said)
    if problems:
        place = f"alternatives / {name}"
        raise ProjectFaults([Fault("", place, one.found, one.accepted, one.message) for one in problems])
    return {key: value for key, value in merged.items() if key != "alternatives"}


def in_alternative(name: str, edit: Edit, base: Raw | None = None) -> Edit:
    """Make an edit in an alternative only.

    Args:
        name: the alternative's.
        edit: the edit, as it is made on the base.
        base: the project's data with what its equipment sheet says; that of the file if it has none.

    Returns:
        The edit of the project file: of what the alternative says, only that is written anew which the edit changes.

    Raises:
        ProjectFaults: (the edit) as `changed_by`, or what is wanted cannot be said in an alternative.
    """

    def within(raw: Raw) -> Sequence[Change]:
        ground = {key: value for key, value in (base or raw).items() if key != "alternatives"}
        said = _said(raw, name)
        before = changed_by({**ground, "alternatives": raw.get("alternatives")}, name)
        wanted = changed_data(before, split_mappings(before, edit(before)))
        told = _mapping(ground, said, before, wanted, ())
        merged, problems = merge(ground, told)
        if problems or _sorted(merged) != _sorted(wanted):
            message = "this cannot be said as a change to the base project: change the alternative in the file"
            raise ProjectFaults([Fault("", f"alternatives / {name}", "", "", message)])
        return list(_differences(said, told, (*ALTERNATIVES, name, "change")))

    return within


def _said(raw: Raw, name: str) -> Raw:
    for entry in entries(raw, ALTERNATIVES):
        if isinstance(entry, dict) and entry.get("name") == name:
            change = entry.get("change")
            return change if isinstance(change, dict) else {}
    names = names_in(raw, ALTERNATIVES)
    meant = nearest_word(name, names)
    advice = f"did you mean {meant}?" if meant else f"there are {', '.join(names) or 'none'}"
    raise ProjectFaults(
        [Fault("", "alternatives", name, ", ".join(names), f"there is no alternative {name}: {advice}")]
    )


def _mapping(
    base: Mapping[str, Any],
    said: Mapping[str, Any],
    before: Mapping[str, Any],
    wanted: Mapping[str, Any],
    path: IndexPath,
) -> Raw:
    """What to lay over a mapping, so that what is wanted comes out; what nobody touched stays as it is said.

    Args:
        base: what it is laid over.
        said: what is laid over it up to now.
        before: what comes out up to now.
        wanted: what is to come out.
        path: where this is in the project file, for its schema.
    """
    found: Raw = {}
    for key in dict.fromkeys([*said, *base, *before, *wanted]):
        if (key in before, before.get(key)) == (key in wanted, wanted.get(key)):
            if key in said:
                found[key] = said[key]
        elif key not in wanted:
            if key in base and wanted.get(_OPPOSITE.get(key, key)) is None:
                found[key] = None
        elif key in base and base[key] == wanted[key]:
            continue
        elif isinstance(base.get(key), Mapping) and isinstance(wanted[key], Mapping):
            old, now = said.get(key), before.get(key)
            inner = _mapping(base[key], _map(old), _map(now), wanted[key], (*path, key))
            if inner:
                found[key] = inner
        elif is_list_of_things((*path, key)) and isinstance(wanted[key], list):
            inner_list = _things(_list(base.get(key)), said.get(key), _list(before.get(key)), wanted[key], (*path, key))
            if inner_list:
                found[key] = inner_list
        else:
            found[key] = wanted[key]
    return found


def _things(base: list[Any], said: object, before: list[Any], wanted: list[Any], path: IndexPath) -> Raw | list[Any]:
    """The same for a list of things: written as a list where it is one now, or where things have no id; else by id."""
    key = "id" if "id" in (accepted_keys((*path, 0)) or ()) else "name"
    said_items = said if isinstance(said, list) else [{key: one, **_map(item)} for one, item in _map(said).items()]
    gone = {(one,) for one, item in _map(said).items() if item is None}
    old, by_base, by_before, by_wanted = (_by_thing(items) for items in (said_items, base, before, wanted))
    told: dict[tuple[object, ...], Raw | None] = {}
    for thing in dict.fromkeys([*old, *by_base, *by_before, *by_wanted]):
        item = by_wanted.get(thing)
        if item == by_before.get(thing):
            if thing in old:
                told[thing] = None if thing in gone else _unnamed(old[thing], key, thing)
        elif item is None:
            if thing in by_base:
                told[thing] = None
        elif thing not in by_base:
            told[thing] = _unnamed(item, key, thing)
        elif item != by_base[thing]:
            now = by_before.get(thing, {})
            told[thing] = _mapping(by_base[thing], _unnamed(old.get(thing), key, thing), now, item, (*path, 0))
    in_list = isinstance(said, list) or (not said and any(len(thing) > 1 for thing in told))
    if in_list and None not in told.values():
        return [{**_naming(thing, key), **_map(item)} for thing, item in told.items()]
    return {str(thing[0]): item for thing, item in told.items()}


def _by_thing(items: Sequence[Any]) -> dict[tuple[object, ...], Any]:
    """Things by what they are known by; those that have no name, by their number."""
    found: dict[tuple[object, ...], Any] = {}
    for index, item in enumerate(items):
        if isinstance(item, Mapping):
            thing = same_thing(item, index)
            found[(index, "") if len(thing) == _NAMELESS else thing] = item
    return found


def _naming(thing: tuple[object, ...], key: str) -> Raw:
    """The keys by which a thing is known: its id, or the circuit and the ends of a run."""
    return {key: thing[0]} if len(thing) == 1 else dict(zip(_ENDS, thing, strict=False))


def _unnamed(item: object, key: str, thing: tuple[object, ...]) -> Raw:
    """What is said of a thing, without what names it."""
    return {name: value for name, value in _map(item).items() if name not in _naming(thing, key)}


def _differences(old: object, new: object, names: Names) -> Iterator[Change]:
    """The changes that lead from one to the other, each as far inside as it goes, so that remarks around it stay."""
    if old == new:
        return
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        for key in old:
            if key not in new:
                yield Change((*names, key), None)
        for key, value in new.items():
            if key not in old or value is None or not isinstance(old[key], Mapping | list):
                changed = key not in old or old[key] != value
                yield from [Change((*names, key), value, null=value is None)] if changed else []
            else:
                yield from _differences(old[key], value, (*names, key))
    elif isinstance(old, list) and isinstance(new, list) and _all_named(old) and _all_named(new):
        before = {item_name(item, 0): item for item in old}
        after = {item_name(item, 0): item for item in new}
        yield from (Change((*names, one), None) for one in before if one not in after)
        for one, item in after.items():
            if one in before:
                yield from _differences(before[one], item, (*names, one))
            else:
                yield Change(names, item, add=True)
    else:
        yield Change(names, new)


def _all_named(items: list[Any]) -> bool:
    named = [item_name(item, -1) for item in items]
    return bool(items) and item_name({}, -1) not in named and len(set(named)) == len(named)


def _sorted(value: object) -> object:
    """Data to be compared, the order of things in a list left out."""
    if isinstance(value, Mapping):
        return {key: _sorted(item) for key, item in value.items()}
    if isinstance(value, list) and all(isinstance(item, Mapping) for item in value):
        return sorted((_sorted(item) for item in value), key=repr)
    return value


def _map(value: object) -> Raw:
    return dict(value) if isinstance(value, Mapping) else {}


def _list(value: object) -> list[Any]:
    return value if isinstance(value, list) else []
