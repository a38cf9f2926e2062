"""Which cables come into one loom: those that hang together, and what a person wants instead."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Protocol

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from ribway.router.circuits.wishes import Wish


class Joinable(Protocol):
    """What of a cable decides which loom it comes into."""

    @property
    def run(self) -> str: ...
    @property
    def a(self) -> str: ...
    @property
    def b(self) -> str: ...
    @property
    def circuit(self) -> str: ...
    @property
    def zone(self) -> str: ...
    @property
    def family(self) -> str: ...
    @property
    def wish(self) -> Wish: ...


def hanging_together(count: int, pairs: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Numbers below a count, parted into those that pairs join, directly or through others."""
    one, other = np.array(pairs, dtype=np.int64).reshape(-1, 2).T
    _, label = connected_components(coo_array((np.ones(len(one)), (one, other)), shape=(count, count)), directed=False)
    out: dict[int, list[int]] = {}
    for index, part in enumerate(label.tolist()):
        out.setdefault(part, []).append(index)
    return list(out.values())


def joined_by_wishes(members: Sequence[Joinable], pieces: Sequence[dict[Hashable, float]]) -> list[list[int]]:
    """Groups of cables, no two of one group asked to go apart.

    Pairs are joined one after the other unless that would bring two together that go apart: first those that are asked to go
    together and share a stretch, then those of one zone and family that share one, and those of a chain, the longest shared
    stretch first.

    Args:
        members: the cables.
        pieces: of each, the stretches of its way with their lengths [m].

    Returns:
        Numbers of the cables, group by group, in rising order.
    """
    groups: dict[int, list[int]] = {number: [number] for number in range(len(members))}
    of = {number: number for number in groups}
    for _, _, one, other in sorted(_pairs(members, pieces)):
        first, second = groups[of[one]], groups[of[other]]
        if first is second or any(members[a].wish.parts(members[b].wish) for a in first for b in second):
            continue
        gone = of[other]
        for number in groups.pop(gone):
            of[number] = of[one]
            first.append(number)
    return sorted(sorted(group) for group in groups.values())


def _pairs(members: Sequence[Joinable], pieces: Sequence[dict[Hashable, float]]) -> list[tuple[bool, float, int, int]]:
    """Pairs that may be joined: whether nobody asked for it, how much they share (negative), and who."""
    found = []
    for one, a in enumerate(members):
        for other in range(one + 1, len(members)):
            b = members[other]
            if a.family != b.family:
                continue
            shared_m = round(sum(m for piece, m in pieces[one].items() if piece in pieces[other]), 6)
            asked = a.wish.joins(b.wish)
            chained = bool(a.circuit) and a.circuit == b.circuit and (a.b == b.a or b.b == a.a)
            if (shared_m > 0.0 and (asked or a.zone == b.zone)) or chained:
                found.append((not (asked and shared_m > 0.0), -shared_m, one, other))
    return found
