"""What is to be written into a project file once its openings were gone through: values by their places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from ribway.models.review.hole import Hole
from ribway.models.review.naming import OPENINGS, Following, beyond_following, followings, places_naming
from ribway.models.review.review import Review, ReviewError

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
        Values to write, in batches one after the other: what names them, states and places, what goes, what comes, new
        names.

    Raises:
        ReviewError: an opening that is to go is named elsewhere and nobody said what becomes of that; or one is named in a
            place that cannot follow.
    """
    entries = _entries(raw)
    follow = tuple(Writing(one.names, one.value) for one in follows(review, raw))
    holes = [one for one in review.holes if one.is_way]
    changed = tuple(one for hole in holes if hole.was in entries for one in _changed(hole, entries[hole.was]))
    gone = tuple(Writing((*OPENINGS, one.was), None) for one in holes if one.was in entries and _goes(one))
    come = tuple(
        Writing(OPENINGS, _entry(one), add=True)
        for one in holes
        if one.was not in entries and (one.mark == "confirmed" or (one.rowed and one.mark == "deleted"))
    )
    names = {one.was: one.name for one in holes if one.was in entries and one.name != one.was and not _goes(one)}
    there = {*entries} - {one.names[-1] for one in gone}
    return tuple(batch for batch in (follow, changed, gone, come, *_new_names(names, there)) if batch)


def follows(review: Review, raw: Mapping[str, Any]) -> tuple[Following, ...]:
    """What becomes of the places that name openings which are renamed or deleted.

    Args:
        review: as it is at the end.
        raw: the project file's data.

    Raises:
        ReviewError: as for `writings`.
    """
    entries = _entries(raw)
    listed = [one for one in review.holes if one.is_way and one.was in entries]
    names = {one.was: one.name for one in listed if one.name != one.was and not _goes(one)}
    called = {one.was: one.name for one in review.holes}
    leaving = [one for one in listed if _goes(one)]
    refused = [why for one in leaving if (why := _undecided(one, raw))]
    refused += [
        f"opening {old} is named in {where}, which cannot follow: change that first, or leave it as it is"
        for old in names
        if (where := beyond_following(raw, old, goes=False))
    ]
    if refused:
        raise ReviewError(*refused)
    names |= {one.was: called[one.instead] for one in leaving if one.instead}
    return followings(raw, names, {one.was for one in leaving if not one.instead})


def _undecided(hole: Hole, raw: Mapping[str, Any]) -> str:
    """Why an opening cannot be taken out as things stand; empty if it can."""
    beyond = beyond_following(raw, hole.was, goes=not hole.instead)
    if beyond:
        return f"opening {hole.was} is named in {beyond}, which cannot do without it: change that first, or leave it as it is"
    places = [one for one in places_naming(raw, hole.was) if not one.endswith("/ avoid")]
    if not places or hole.freed or hole.instead:
        return ""
    return (
        f"opening {hole.was} is named in {', '.join(places)}: say free (they leave it out, and the planner finds their "
        "way) or instead (another opening in its place), or leave it as it is"
    )


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


def saved(review: Review) -> Review:
    """The review as it goes on after everything was written: nothing is renamed or moved any more.

    Args:
        review: as it was written.
    """
    holes = []
    for one in review.holes:
        in_file = one.is_way and not _goes(one) and (one.state or one.mark != "open" or one.rowed)
        state = "" if not in_file else "blocked" if one.mark == "deleted" else STATES[one.mark]
        named = () if _goes(one) else one.named
        holes.append(
            replace(one, was=one.name, moved_m=(0.0, 0.0, 0.0), state=state, named=named, freed=False, instead="")
        )
    return replace(review, holes=tuple(holes))
