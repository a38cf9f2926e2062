"""Edits of openings: block, measure, confirm, add, move, rename, take out.

What stands in the project file about an opening is all of it (of a mesh), or what is known better about it (of a preset or
a tape, whose openings need no entry to be there).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ribway.editing.changes import Change, Edit, Raw
from ribway.editing.things import add_thing, change_thing, names_in, take_out_thing
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.review.naming import OPENINGS, followings


def block_opening(name: str) -> Edit:
    """Say that no cable can pass an opening.

    Args:
        name: the opening's.
    """
    return set_opening(name, {"state": "blocked"})


def measure_opening(
    name: str, size: str | None = None, length: str | None = None, grommet: str | None = None, taken: str | None = None
) -> Edit:
    """Say what was measured at an opening.

    Args:
        name: the opening's.
        size: raw diameter, or width of a slot, with unit.
        length: overall length of a slot.
        grommet: clear inside of the grommet fitted.
        taken: diameter of what runs through it already.

    Returns:
        The edit; what is not given stays as it was.
    """
    given = {"size": size, "length": length, "grommet": grommet, "taken": taken}
    return set_opening(name, {key: value for key, value in given.items() if value} | {"state": "measured"})


def confirm_opening(name: str) -> Edit:
    """Say that an opening was seen as it is stated.

    Args:
        name: the opening's.
    """
    return set_opening(name, {"state": "measured"})


def set_opening(name: str, values: Mapping[str, object]) -> Edit:
    """Set what is known about an opening.

    Args:
        name: the opening's.
        values: new value by key; None takes the key out. An entry of which nothing but the name is left goes.

    Returns:
        The edit. An opening without an entry gets one.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        entry = _entry(raw, name)
        if entry is None:
            said = {key: value for key, value in values.items() if value is not None}
            return [Change(OPENINGS, {"name": name, **said}, add=True)] if said else []
        left = {key: value for key, value in {**entry, **values}.items() if value is not None}
        if set(left) <= {"name"}:
            return take_out_thing(OPENINGS, name)(raw)
        return [Change((*OPENINGS, name, key), value) for key, value in values.items()]

    return edit


def add_opening(opening: Mapping[str, object]) -> Edit:
    """Add an opening that the shell does not have by itself.

    Args:
        opening: its keys as in the project file.

    Returns:
        The edit; it refuses a name that is taken.
    """
    return add_thing(OPENINGS, opening)


def move_opening(name: str, at: Mapping[str, object]) -> Edit:
    """Put an opening somewhere else.

    Args:
        name: the opening's; it has an entry in the file.
        at: the new place, as in the project file.
    """
    return change_thing(OPENINGS, name, {"at": dict(at)})


def take_out_opening(name: str) -> Edit:
    """Take an opening's entry out: one of a mesh is gone then, one of a preset is again as the preset has it.

    Args:
        name: the opening's.
    """
    return take_out_thing(OPENINGS, name)


def rename_opening(name: str, new: str) -> Edit:
    """Call an opening of a mesh otherwise, wherever the project names it.

    Args:
        name: what it is called.
        new: what to call it.

    Returns:
        The edit; it refuses a name that is taken. Openings of a preset have names of their own, which stay.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        if new in names_in(raw, OPENINGS):
            message = f"there is an opening called {new} already: give another name"
            raise ProjectFaults([Fault("", " / ".join((*OPENINGS, name)), new, "a name that is free", message)])
        mentions = [Change(one.names, one.value) for one in followings(raw, {name: new}, set())]
        return [*mentions, *change_thing(OPENINGS, name, {"name": new})(raw)]

    return edit


def _entry(raw: Raw, name: str) -> Raw | None:
    vehicle = raw.get("vehicle")
    openings = vehicle.get("openings") if isinstance(vehicle, dict) else None
    found = (one for one in openings or () if isinstance(one, dict) and one.get("name") == name)
    return next(found, None)
