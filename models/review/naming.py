"""Where a project names openings, and what becomes of it when they are called otherwise or taken out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Any

from ribway.models.key_paths import item_name

LISTS = ("via", "avoid", "by_hand", "between")
"""Keys whose lists name openings: wishes of runs and circuits, the ends of a way inside a hollow member."""
OPENINGS = ("vehicle", "openings")
_OTHER_NAMES = ("name", "part", "member", "kind")


@dataclass(frozen=True)
class Following:
    """A change that follows from openings being renamed or taken out.

    Args:
        names: where, by keys and names of list items.
        value: what stands there then; None if it goes.
        words: what that means, where a run loses something; empty where only a name changes.
    """

    names: tuple[str, ...]
    value: object
    words: str = ""


def places_naming(raw: Mapping[str, Any], name: str) -> tuple[str, ...]:
    """Where a project names an opening, its own entry left out.

    Args:
        raw: the project file's data.
        name: the opening's.
    """
    return tuple(dict.fromkeys(_places(raw, name, ())))


def followings(raw: Mapping[str, Any], names: Mapping[str, str], gone: Set[str]) -> tuple[Following, ...]:
    """What has to change where openings are named.

    Args:
        raw: the project file's data.
        names: new name by old one, of openings renamed or replaced by another.
        gone: openings that are left out wherever they are named.

    Returns:
        A change for each list that names one of them. A run laid by hand over one that is gone is left to the planner.
    """
    return tuple(_follow(raw, names, gone, ()))


def beyond_following(raw: Mapping[str, Any], name: str, *, goes: bool) -> str:
    """A place that names an opening and cannot follow; empty if there is none.

    Args:
        raw: the project file's data.
        name: the opening's.
        goes: whether it is taken out without another in its place, so that a way between two openings loses an end.
    """
    for where, key in _spots(raw, name, ()):
        if key not in LISTS or (goes and key == "between"):
            if where[:1] == ("alternatives",) and "openings" in where:
                continue
            return " / ".join(where)
    return ""


def _places(value: object, name: str, where: tuple[str, ...]) -> Iterator[str]:
    for place, _ in _spots(value, name, where):
        yield " / ".join(place)


def _spots(value: object, name: str, where: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str]]:
    """Places of a name and the key under which it stands."""
    if where == OPENINGS:
        return
    if isinstance(value, Mapping):
        for key, item in value.items():
            if key == name and where[:1] == ("alternatives",) and where[-1:] == ("openings",):
                yield where, "openings"
            yield from _spots(item, name, (*where, str(key)))
    elif isinstance(value, Sequence) and not isinstance(value, str):
        for number, item in enumerate(value):
            if item == name and isinstance(item, str):
                yield where, where[-1] if where else ""
            elif isinstance(item, Mapping | list):
                yield from _spots(item, name, (*where, item_name(item, number)))
    elif value == name and len(where) > 1:
        in_alternative = where[0] == "alternatives" and "openings" in where and where[-1] == "name"
        if in_alternative or where[-1] not in _OTHER_NAMES:
            yield (where[:-1] if in_alternative else where), where[-1]


def _follow(value: object, names: Mapping[str, str], gone: Set[str], where: tuple[str, ...]) -> Iterator[Following]:
    if where == OPENINGS:
        return
    touched = {*names, *gone}
    if isinstance(value, Mapping):
        for key, item in value.items():
            there = (*where, str(key))
            if key in LISTS and isinstance(item, list) and touched.intersection(map(str, item)):
                yield _list(item, names, gone, there)
            elif where[:1] == ("alternatives",) and key == "openings" and isinstance(item, Mapping):
                if touched.intersection(item):
                    yield Following(
                        there, {names.get(one, one): said for one, said in item.items() if one not in gone} or None
                    )
            elif where[:1] == ("alternatives",) and key == "openings" and isinstance(item, list):
                yield from _entries(item, names, gone, there)
            else:
                yield from _follow(item, names, gone, there)
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from _follow(item, names, gone, (*where, item_name(item, number)))


def _list(item: list[Any], names: Mapping[str, str], gone: Set[str], where: tuple[str, ...]) -> Following:
    lost = [str(one) for one in item if one in gone]
    kept = list(dict.fromkeys(names.get(one, one) for one in item if one not in gone))
    key, who = where[-1], " / ".join(where[:-1])
    if not lost:
        return Following(where, kept)
    if key == "by_hand":
        return Following(
            where, None, f"{who} is not laid by hand any more, the planner finds its way: {lost[0]} is gone"
        )
    if key == "avoid":
        return Following(where, kept or None)  # what is not there is avoided without being named
    rest = f"has to pass {', '.join(kept)} only" if kept else "goes where the planner finds its way"
    return Following(where, kept or None, f"{who} {rest}: {', '.join(lost)} is gone")


def _entries(item: list[Any], names: Mapping[str, str], gone: Set[str], where: tuple[str, ...]) -> Iterator[Following]:
    """What an alternative says about openings, as a list of entries that each name one."""
    called = [item_name(one, number) for number, one in enumerate(item)]
    leave = [one for one in called if one in gone]
    if leave and len(leave) == len(called):
        yield Following(where, None)
        return
    if any(names.get(one) in called for one in called):
        # Names change places: told apart by name alone they would be mixed up, so that the list is written as one.
        kept = zip(called, item, strict=True)
        yield Following(where, [{**one, "name": names.get(name, name)} for name, one in kept if name not in gone])
        return
    yield from (Following((*where, one), None) for one in leave)
    yield from (Following((*where, one, "name"), names[one]) for one in called if one in names and one not in gone)
