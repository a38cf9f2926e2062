"""Holes of a hole list that their member cannot have, in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ribway.models.hole_lines import HoleLine, HoleState
from ribway.router.shell import dimensions as dim
from ribway.router.shell.check_rows import MOST_HOLES
from ribway.router.shell.parameters import HoleRow, ShellParameters
from ribway.router.shell.profile import Profile
from ribway.router.shell.row_members import RowMember, least_apart_m, rooms
from ribway.router.shell.tape_faults import metres

Unfit = tuple[HoleLine, str, str]
"""The row to blame, what was found, what is accepted."""


@dataclass(frozen=True)
class Cut:
    """A hole with what is known of it.

    Args:
        row: place and size.
        line: the row that put it there, None for a typical one.
        state, taken_m, grommet_m: None where nothing was said.
    """

    row: HoleRow
    line: HoleLine | None = None
    state: HoleState | None = None
    taken_m: float | None = None
    grommet_m: float | None = None


def unfit(
    parameters: ShellParameters, profile: Profile, member: RowMember, cuts: Sequence[Cut], less_m: float
) -> Iterator[Unfit]:
    """Holes that are too big, off their member, or run into each other.

    Args:
        parameters: of the van.
        profile: its section.
        member: whose holes they are.
        cuts: the holes in naming order.
        less_m: how far above the bare floor places are counted from in what is said [m].
    """
    for cut in cuts:
        if cut.line is not None:
            words = _size_words(parameters, member, cut) or _place_words(parameters, profile, member, cut, less_m)
            if words is not None:
                yield cut.line, *words
    for first, second in pairwise(cuts):
        line = max((cut.line for cut in (first, second) if cut.line), key=lambda one: one.row, default=None)
        apart = least_apart_m(first.row.reach_m, second.row.reach_m)
        if line is not None and abs(first.row.place_m - second.row.place_m) < apart - 1e-9:
            places = f"{metres(first.row.place_m - less_m)} and {metres(second.row.place_m - less_m)}"
            found = f"on {member.name} the holes at {places} run into each other"
            yield line, found, f"accepted are {metres(apart)} or more from centre to centre"
    last = cuts[-1].line if cuts else None
    if len(cuts) > MOST_HOLES and last is not None:
        yield last, f"{member.name} has {len(cuts)} holes", f"accepted are {MOST_HOLES}, lettered a to z"


def _size_words(p: ShellParameters, member: RowMember, cut: Cut) -> tuple[str, str] | None:
    largest = dim.largest_bore_m(p.rib_depth_m, p.sheet_m)
    if cut.row.bore_m > largest:
        found = f"a hole {metres(cut.row.bore_m)} wide is bigger than {member.name}, {metres(p.rib_depth_m)} deep"
        return found, f"accepted is up to {metres(largest)}"
    if cut.row.bore_m < 0.004:
        return f"a hole {metres(cut.row.bore_m)} wide passes no cable", "accepted is 0.004 m or more"
    if cut.row.reach_m > 0.2:
        return f"the slot is {metres(cut.row.reach_m)} long", "accepted is up to 0.200 m"
    return None


def _place_words(
    p: ShellParameters, profile: Profile, member: RowMember, cut: Cut, less_m: float
) -> tuple[str, str] | None:
    spans = rooms(p, profile, member, cut.row.reach_m)
    if any(low - 1e-9 <= cut.row.place_m <= high + 1e-9 for low, high in spans):
        return None
    free = " or ".join(f"{metres(low - less_m)} to {metres(high - less_m)}" for low, high in spans)
    found = f"{metres(cut.row.place_m - less_m)} is not on {member.name}{_instead(member, cut, spans)}"
    return found, f"accepted for a hole of this size is {free or 'no place there'}"


def _instead(member: RowMember, cut: Cut, spans: tuple[tuple[float, float], ...]) -> str:
    """What is there instead, as the rest of the sentence."""
    if member.kind not in ("rib", "pillar") or not spans:
        return ""
    if cut.row.place_m > spans[-1][1]:
        return ": that is above the wall, or behind the roof-edge rail"
    if cut.row.place_m < spans[0][0]:
        return ": that is in the sill or the wheel arch"
    return ": that is behind the waist rail"
