"""What is to be written into a project file once its openings were gone through: values by their places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ribway.models.review.hole import Hole
from ribway.models.review.review import Review, ReviewError

OPENINGS = ("vehicle", "openings")
STATES = {"confirmed": "measured", "open": "assumed"}
_PLACES = 5


@dataclass(frozen=True)
class Writing:
    """One value of a project file.

    Args:
        names: where, by keys and names of list items.
        value: what to write; None takes out what is there.
        add: whether it is one more item of the list there.
    """

    names: tuple[str, ...]
    value: object
    add: bool = False


def writings(review: Review, raw: Mapping[str, Any]) -> tuple[tuple[Writing, ...], ...]:
    """What a review comes to, written into the project that it is of.

    Args:
        review: as it is at the end.
        raw: the project file's data.

    Returns:
        Values to write, in batches one after the other: states and places, what goes, what comes, new names.

    Raises:
        ReviewError: an opening that is to go, or to be called otherwise, is named elsewhere in the project.
    """
    entries = _entries(raw)
    holes = [one for one in review.holes if one.is_way]
    changed = tuple(one for hole in holes if hole.was in entries for one in _changed(hole, entries[hole.was]))
    gone = tuple(Writing((*OPENINGS, one.was), None) for one in holes if one.was in entries and _goes(one))
    come = tuple(
        Writing(OPENINGS, _entry(one), add=True)
        for one in holes
        if one.was not in entries and (one.mark == "confirmed" or (one.rowed and one.mark == "deleted"))
    )
    names = {one.was: one.name for one in holes if one.was in entries and one.name != one.was and not _goes(one)}
    for old in [*names, *(one.names[-1] for one in gone)]:
        where = next(_named(raw, old), None)
        if where is not None:
            raise ReviewError(f"opening {old} is named in {where}: change that first, or leave it as it is")
    there = {*entries} - {one.names[-1] for one in gone}
    return tuple(batch for batch in (changed, gone, come, *_new_names(names, there)) if batch)


def _goes(hole: Hole) -> bool:
    return hole.mark == "deleted" and not hole.rowed


def _entries(raw: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    vehicle = raw.get("vehicle")
    listed = vehicle.get("openings") if isinstance(vehicle, Mapping) else None
    return {str(one.get("name")): one for one in listed or () if isinstance(one, Mapping)}


def _changed(hole: Hole, entry: Mapping[str, Any]) -> Iterator[Writing]:
    """State and place of an opening that the file lists."""
    place = (*OPENINGS, hole.was)
    if _goes(hole):
        return
    state = "blocked" if hole.mark == "deleted" else STATES[hole.mark]
    before = entry.get("state", "measured" if not hole.rowed else "assumed")
    if state != before and not (before == "drill" and hole.mark == "open"):
        yield Writing((*place, "state"), state)
    if any(hole.moved_m):
        yield Writing((*place, "path"), _path(hole))
        if "at" in entry:
            yield Writing((*place, "at"), None)


def _entry(hole: Hole) -> dict[str, object]:
    """An opening that the file does not list yet."""
    if hole.rowed:
        return {"name": hole.was, "state": "blocked" if hole.mark == "deleted" else "measured"}
    size: dict[str, object] = {"size": _length(hole.bore_m)}
    if hole.shape == "slot":
        size["length"] = _length(max(hole.length_m, hole.bore_m))
    return {
        "name": hole.name, "member": hole.member, "shape": hole.shape, **size, "skins": list(hole.skins),
        "state": "measured", "path": _path(hole),
    }  # fmt: skip


def _path(hole: Hole) -> list[dict[str, str]]:
    return [{axis: _length(value) for axis, value in zip("xyz", point, strict=True)} for point in hole.line]


def _length(value_m: float) -> str:
    return f"{round(value_m, _PLACES) + 0.0:.{_PLACES}f} m"


def _new_names(names: Mapping[str, str], there: set[str]) -> Iterator[tuple[Writing, ...]]:
    """New names in rounds in which no two are ever alike; names that change places go over one that nobody has."""
    rest = dict(names)
    while rest:
        free = {old: new for old, new in rest.items() if new not in there}
        if not free:
            old = next(iter(rest))
            aside = f"{old}-"
            while aside in there or aside in rest.values():
                aside += "-"
            rest[aside] = rest[old]
            free = {old: aside}
        yield tuple(Writing((*OPENINGS, old, "name"), new) for old, new in free.items())
        rest = {old: new for old, new in rest.items() if old not in free}
        there = (there - set(free)) | set(free.values())


def _named(value: object, name: str, where: tuple[str, ...] = ()) -> Iterator[str]:
    """Places of a project, other than the list of openings, where a name stands."""
    if where == OPENINGS:
        return
    if isinstance(value, Mapping):
        for key, item in value.items():
            yield from _named(item, name, (*where, str(key)))
    elif isinstance(value, Sequence) and not isinstance(value, str):
        for number, item in enumerate(value):
            label = item.get("id") or item.get("name") if isinstance(item, Mapping) else None
            yield from _named(item, name, (*where, str(label or number + 1)))
    elif value == name and len(where) > 1 and where[-1] not in ("name", "part", "member", "kind"):
        yield " / ".join(where)


def saved(review: Review) -> Review:
    """The review as it goes on after everything was written: nothing is renamed or moved any more.

    Args:
        review: as it was written.
    """
    holes = []
    for one in review.holes:
        in_file = one.is_way and not _goes(one) and (one.state or one.mark != "open" or one.rowed)
        state = "" if not in_file else "blocked" if one.mark == "deleted" else STATES[one.mark]
        holes.append(replace(one, was=one.name, moved_m=(0.0, 0.0, 0.0), state=state))
    return replace(review, holes=tuple(holes))
