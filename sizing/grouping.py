"""How many conductors of a bundle count as loaded.

A conductor that carries nothing, or at most 30 % of what it might carry among all, warms nobody and is not counted for the
others; of those that are never loaded together only the worst case counts. For its own rating a conductor is always counted.

Source: BS 7671 523.5 (30 % of the grouped rating), read second-hand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ribway.sizing.errors import BadNumberError, SizingError, check_number

LIGHT_SHARE: Final = 0.3


@dataclass(frozen=True)
class Member:
    """One run in a section of a loom.

    Attributes:
        id: of the run.
        loaded: conductors of it that carry its current, its return counted.
        amps: what it carries for good [A].
        never_with: name of a set of runs of which only one is loaded at a time; empty if it may be loaded with any.
    """

    id: str
    loaded: int
    amps: float
    never_with: str = ""

    def __post_init__(self) -> None:
        if self.loaded < 0:
            raise BadNumberError(f"run {self.id!r}: {self.loaded!r} loaded conductors; give 0 or more")
        check_number(self.amps, f"current of run {self.id!r} [A]")


@dataclass(frozen=True)
class Counted:
    """How a bundle is counted for one of its runs.

    Attributes:
        count: loaded conductors, this run's own in it; 1 or more.
        light: runs left out because they carry little.
        never_together: runs left out because another of their set is worse.
    """

    count: int
    light: tuple[str, ...]
    never_together: tuple[str, ...]


def counted_conductors(members: Sequence[Member], grouped_a: Callable[[str, int], float]) -> Mapping[str, Counted]:
    """Loaded conductors of a bundle as each of its runs has to count them.

    Args:
        members: all runs of the section.
        grouped_a: for a run's id and a count of loaded conductors, what the run may carry there [A].

    Returns:
        By run id.

    Raises:
        SizingError: a run is there twice.
    """
    ids = [one.id for one in members]
    for name in ids:
        if ids.count(name) > 1:
            raise SizingError(f"run {name!r} is in the bundle twice; list each run once")
    carrying = [one for one in members if one.amps > 0.0 and one.loaded > 0]
    together = sum(_worst_of_each_set(carrying).values())
    light = {one.id for one in carrying if one.amps <= (1.0 + 1e-9) * LIGHT_SHARE * grouped_a(one.id, max(together, 1))}
    return {one.id: _count_for(one, carrying, light) for one in members}


def _worst_of_each_set(members: Sequence[Member]) -> dict[str, int]:
    """Loaded conductors by run, of each set of runs never loaded together the one with most (the first of equals)."""
    out: dict[str, int] = {}
    best: dict[str, Member] = {}
    for one in members:
        if not one.never_with:
            out[one.id] = one.loaded
        elif one.never_with not in best or one.loaded > best[one.never_with].loaded:
            best[one.never_with] = one
    out.update({one.id: one.loaded for one in best.values()})
    return out


def _count_for(member: Member, carrying: Sequence[Member], light: set[str]) -> Counted:
    others = [
        one
        for one in carrying
        if one.id != member.id
        and one.id not in light
        and not (member.never_with and one.never_with == member.never_with)
    ]
    counted = _worst_of_each_set(others)
    left_out = [one.id for one in carrying if one.id != member.id and one.id not in light and one.id not in counted]
    lights = tuple(one.id for one in carrying if one.id in light and one.id != member.id)
    own = member.loaded if member.amps > 0.0 else 0
    return Counted(max(1, own + sum(counted.values())), lights, tuple(left_out))
