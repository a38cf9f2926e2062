"""Checks of members' own hole rows: known member, possible size, room for each hole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from ribway.models.nearest import nearest_word
from ribway.router.shell import dimensions as dim
from ribway.router.shell.check_body import is_number
from ribway.router.shell.profile import Profile
from ribway.router.shell.row_members import least_apart_m, rooms, row_members

if TYPE_CHECKING:
    from ribway.router.shell.parameters import HoleRow, ShellParameters

MOST_HOLES = 26  # a member's holes are lettered a to z


def untyped_own_rows(parameters: ShellParameters) -> tuple[str, ...]:
    """Numbers of own rows that are none, one sentence a fault."""
    return tuple(_untyped(parameters))


def _untyped(p: ShellParameters) -> Iterator[str]:
    for member, rows in p.own_rows:
        for i, row in enumerate(rows):
            where = f"own_rows of {member} [{i}]"
            if not is_row(row):
                yield f"{where} is {row!r}; accepted is a HoleRow"
                continue
            for field in fields(row):
                value = getattr(row, field.name)
                if field.name == "shape" and value not in ("round", "slot"):
                    yield f"{where}.shape is {value!r}; accepted is round or slot"
                elif field.name != "shape" and not is_number(value):
                    yield f"{where}.{field.name} is {value!r}; accepted is a number in metres"


def is_row(value: object) -> bool:
    """Is this some row of a dataclass."""
    return is_dataclass(value)


def size_faults(p: ShellParameters, name: str, rows: tuple[HoleRow, ...]) -> Iterator[str]:
    """Holes that a member's web cannot hold, one sentence a fault."""
    largest = dim.largest_bore_m(p.rib_depth_m, p.sheet_m)
    for i, row in enumerate(rows):
        if not 0.004 <= row.bore_m <= largest:
            yield (
                f"{name}[{i}].bore_m is {row.bore_m}; accepted is 0.004 to {largest:.4f}, what a member "
                f"{p.rib_depth_m} m deep can hold"
            )
        if row.shape == "slot" and not row.bore_m <= row.length_m <= 0.2:
            yield f"{name}[{i}].length_m is {row.length_m}; accepted is bore_m ({row.bore_m}) to 0.2"


def own_row_faults(p: ShellParameters, profile: Profile) -> Iterator[str]:
    """Faults of members' own rows, one sentence each.

    Args:
        p: parameters whose body is sound.
        profile: its section.
    """
    known = row_members(p)
    for name, rows in p.own_rows:
        member = known.get(name)
        if member is None:
            nearest = nearest_word(name, known)
            hint = f"did you mean {nearest}?" if nearest else f"accepted are {', '.join(known)}"
            yield f"own_rows names {name!r}, which takes no holes; {hint}"
            continue
        where = f"own_rows of {name} "
        yield from size_faults(p, where, rows)
        if len(rows) > MOST_HOLES:
            yield f"{where}has {len(rows)} holes; accepted are {MOST_HOLES} or fewer"
        for i, row in enumerate(rows):
            free = rooms(p, profile, member, row.reach_m)
            if not any(low - 1e-9 <= row.place_m <= high + 1e-9 for low, high in free):
                spans = " or ".join(f"{low:.3f} to {high:.3f}" for low, high in free) or "no place on this member"
                yield f"{where}[{i}].place_m is {row.place_m}; accepted is {spans}"
        for first, second in pairwise(rows):
            apart = least_apart_m(first.reach_m, second.reach_m)
            step = first.place_m - second.place_m if member.falls else second.place_m - first.place_m
            if step < apart - 1e-9:
                yield (
                    f"{where}has holes at {first.place_m} and {second.place_m}; accepted are rows in order (ribs from "
                    f"the floor up, bows from the left, rails from the front), these two {apart:.3f} or more apart"
                )
