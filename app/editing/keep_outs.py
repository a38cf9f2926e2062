"""Edits of keep-outs: regions that no cable may enter."""

from __future__ import annotations

from collections.abc import Mapping

from ribway.editing.changes import Edit
from ribway.editing.things import add_thing, change_thing, take_out_thing

KEEP_OUTS = ("vehicle", "keep_outs")


def add_keep_out(
    name: str, why: str, corner: Mapping[str, object], opposite: Mapping[str, object], margin: str | None = None
) -> Edit:
    """Add a keep-out.

    Args:
        name: what to call it.
        why: airbag, window, heat, fuel, gas locker, screw zone ...
        corner: one corner's place, as in the project file.
        opposite: the opposite corner's, on the same wall.
        margin: how far cables keep away from it, with unit.

    Returns:
        The edit; it refuses a name that is taken.
    """
    entry: dict[str, object] = {"name": name, "why": why, "corner": dict(corner), "opposite": dict(opposite)}
    return add_thing(KEEP_OUTS, entry | ({"margin": margin} if margin else {}))


def set_keep_out(name: str, values: Mapping[str, object]) -> Edit:
    """Set a keep-out's values: corners, margin, reason, name.

    Args:
        name: what it is called.
        values: new value by key; None takes the key out.
    """
    return change_thing(KEEP_OUTS, name, values)


def take_out_keep_out(name: str) -> Edit:
    """Take a keep-out out.

    Args:
        name: what it is called.
    """
    return take_out_thing(KEEP_OUTS, name)
