"""Which runs are pulled as one bundle, and how that bundle branches."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from ribway.router.circuits.wishes import NO_WISH, Wish
from ribway.router.laying.layer import Laid, Piece
from ribway.router.looms.joining import hanging_together, joined_by_wishes
from ribway.router.memory import Memory

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Member:
    """A run that looks for a loom.

    Args:
        run: its id.
        a, b: devices at its ends.
        circuit: its circuit; empty for a spare.
        zone: destination zone.
        family: runs of different families never share a loom (``ac`` and the rest).
        laid: its route.
        cord: it is a draw cord: it goes along with a loom of cables and makes none.
        wish: what a person wants it to share its loom with.
    """

    run: str
    a: str
    b: str
    circuit: str
    zone: str
    family: str
    laid: Laid
    cord: bool = False
    wish: Wish = NO_WISH


@dataclass(frozen=True, eq=False)
class Section:
    """A stretch of a loom over which the same runs lie together.

    Args:
        from_m, to_m: distance along the loom from its origin [m].
        runs: ids, sorted.
        ways: names of openings and other ways passed.
        points: ``(k, 3)`` polyline [m].
        branch: 0 on the trunk; branches are numbered by where they leave it.
        device: where a branch begins, if that is at a device rather than at the loom.
        way: the last opening or other way that the branch's run passed before; empty if none.
    """

    from_m: float
    to_m: float
    runs: tuple[str, ...]
    ways: tuple[str, ...]
    points: Array
    branch: int
    device: str = ""
    way: str = ""

    @property
    def trunk(self) -> bool:
        """Whether it belongs to the trunk, not to a branch."""
        return self.branch == 0


@dataclass(frozen=True, eq=False)
class Breakout:
    """Where runs leave or join a loom, seen from its start: distance along it, which runs, at which place.

    Args:
        at_m: distance along the loom [m].
        runs: all that leave or join here, sorted.
        joining: those of them that join; the others leave.
        place: the opening before or after it.
        point: ``(3,)`` where [m].
    """

    at_m: float
    runs: tuple[str, ...]
    joining: tuple[str, ...]
    place: str
    point: Array


@dataclass(frozen=True, eq=False)
class Loom:
    """Runs pulled as one bundle.

    Args:
        id: letter.
        zone: where it leads.
        runs: ids, the trunk run first, then sorted.
        sections: along the trunk first, then branch by branch in the order in which they leave it.
        breakouts: along the trunk.
        length_m: of the trunk [m].
    """

    id: str
    zone: str
    runs: tuple[str, ...]
    sections: tuple[Section, ...]
    breakouts: tuple[Breakout, ...]
    length_m: float


def group(members: Sequence[Member], memory: Memory | None = None) -> tuple[Loom, ...]:
    """Looms by destination zone and shared stretches.

    Runs of one zone and family that share a stretch, directly or through others, are one loom; so are the runs of a chain,
    one behind the other, which are made up in one piece. A cable that shares nothing is a loom of its own. A draw cord
    makes no loom and joins none together: it goes with the loom of at least two cables of its zone that it shares most
    of its way with, and lies by itself if there is none. What a person wants goes before all of this.

    Args:
        members: all runs.
        memory: what was made before; the same runs on the same ways are the same loom.

    Returns:
        Looms, largest first, ties by id of their first run.
    """
    looms = _of_cables([member for member in members if not member.cord])
    for cord in sorted((member for member in members if member.cord), key=lambda one: one.run):
        _go_along(cord, [own for _, own in looms if sum(not one.cord for one in own) > 1])
    looms.sort(key=lambda loom: (-len(loom[1]), min(one.run for one in loom[1])))
    memory = Memory() if memory is None else memory
    return tuple(
        memory.of("loom", (number, zone, *own), partial(_loom, letters(number), zone, own))
        for number, (zone, own) in enumerate(looms)
    )


def _go_along(cord: Member, looms: Sequence[list[Member]]) -> None:
    """Put a draw cord into the loom that it shares most of its way with, if any."""
    best, most = None, (False, 0.0)
    for own in looms:
        asked = any(one.wish.joins(cord.wish) for one in own)
        if not asked and not any((one.family, one.zone) == (cord.family, cord.zone) for one in own):
            continue
        if any(one.wish.parts(cord.wish) or one.family != cord.family for one in own):
            continue
        taken = {piece for one in own if not one.cord for piece in _pieces(one.laid)}
        shared_m = round(sum(leg.sharp_m for leg in cord.laid.legs if leg.piece in taken), 6)
        if shared_m > 0.0 and (asked, shared_m) > most:
            best, most = own, (asked, shared_m)
    if best is not None:
        best.append(cord)


def _of_cables(members: Sequence[Member]) -> list[tuple[str, list[Member]]]:
    """Zone and runs of each loom, ordered by the first run; see `group`."""
    pairs: list[tuple[int, int]] = []
    by_piece: dict[tuple[str, str, Piece], int] = {}
    ends = {(member.circuit, member.b): index for index, member in enumerate(members) if member.circuit}
    for index, member in enumerate(members):
        before = ends.get((member.circuit, member.a))
        if before is not None:
            pairs.append((index, before))
        for piece in _pieces(member.laid):
            key = (member.family, member.zone, piece)
            pairs.append((index, by_piece.setdefault(key, index)))
    looms: list[tuple[str, list[Member]]] = []
    components: Iterable[Iterable[int]]
    if any(member.wish != NO_WISH for member in members):
        components = joined_by_wishes(members, [_shared(member.laid) for member in members])
    else:
        components = hanging_together(len(members), pairs)
    for component in components:
        own = [members[index] for index in sorted(component)]
        looms.append((_zone(own), own))
    return sorted(looms, key=lambda loom: min(one.run for one in loom[1]))


def _zone(members: Sequence[Member]) -> str:
    """Where most of the runs lead."""
    count = Counter(member.zone for member in members)
    return min(count, key=lambda zone: (-count[zone], zone))


def letters(number: int) -> str:
    """0 is A, 25 is Z, 26 is AA."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def _pieces(laid: Laid) -> list[Piece]:
    return [leg.piece for leg in laid.legs if leg.piece is not None]


def _shared(laid: Laid) -> dict[Hashable, float]:
    """The stretches that a run may share with others, with their lengths [m]."""
    return {leg.piece: leg.sharp_m for leg in laid.legs if leg.piece is not None}


def _loom(name: str, zone: str, members: Sequence[Member]) -> Loom:
    on: dict[Piece, set[str]] = {}
    for member in members:
        for piece in _pieces(member.laid):
            on.setdefault(piece, set()).add(member.run)
    cables = {member.run for member in members if not member.cord}
    # The trunk is the cable's route that the most cable lies along; ties go to the first run by id.
    trunk = max(
        (member for member in members if not member.cord),
        key=lambda m: (
            round(sum(leg.sharp_m * len(on[leg.piece] & cables) for leg in m.laid.legs if leg.piece), 6),
            [-ord(c) for c in m.run],
        ),
    )
    ends: dict[Piece, float] = {}
    sections, length_m = _along(trunk, on, ends, 0.0, True)
    breakouts = _breakouts(sections)
    reached = {trunk.b: length_m}
    branches: list[list[Section]] = []
    for member in sorted(members, key=lambda m: m.run):
        more, end = _along(member, on, ends, reached.get(member.a, 0.0), False)
        for section in more:
            if section.branch:
                branches.append([])
            branches[-1].append(section)
        reached.setdefault(member.b, end)
    branches.sort(key=lambda branch: (round(branch[0].from_m, 6), branch[0].runs))
    for number, branch in enumerate(branches, 1):
        sections += [replace(section, branch=number) for section in branch]
    runs = (trunk.run, *sorted(member.run for member in members if member.run != trunk.run))
    return Loom(name, zone, runs, tuple(sections), breakouts, length_m)


def _along(
    member: Member, on: Mapping[Piece, set[str]], ends: dict[Piece, float], start_m: float, trunk: bool
) -> tuple[list[Section], float]:
    """Sections of what is new along a route, and how far it leads; ``ends`` says where known stretches end.

    A section that begins a branch has ``branch`` 1, one that carries on from the section before it has 0.
    """
    sections: list[Section] = []
    at = start_m
    runs: tuple[str, ...] = ()
    points: list[Array] = []
    ways: list[str] = []
    begun = at
    device, way, carried_on = member.a, "", trunk
    start = (device, way, carried_on)

    def close() -> None:
        if points:
            at_device, after, goes_on = start
            head = (0, "", "") if goes_on else (1, at_device, after)
            sections.append(Section(begun, at, runs, tuple(ways), np.vstack(points), *head))

    for leg in member.laid.legs:
        known = leg.piece is not None and leg.piece in ends
        here = () if leg.piece is None or known else tuple(sorted(on[leg.piece]))
        if here != runs:
            close()
            runs, points, ways, begun, start = here, [], [], at, (device, way, carried_on)
        at = ends[leg.piece] if leg.piece is not None and known and not trunk else at + leg.sharp_m
        if known and not trunk:
            device, carried_on = "", False
        if leg.piece is not None and leg.kind != "bay":
            way = leg.name
        if leg.piece is None or known:
            continue
        carried_on = True
        ends[leg.piece] = at
        points.append(leg.points)
        if leg.kind not in ("bay", "taped"):
            ways.append(leg.name)
    close()
    return sections, at


def _breakouts(sections: Sequence[Section]) -> tuple[Breakout, ...]:
    out = []
    for before, after in itertools.pairwise(sections):
        changed = tuple(sorted(set(before.runs) ^ set(after.runs)))
        if not changed:
            continue
        place = (
            f"after {before.ways[-1]}" if before.ways else (f"before {after.ways[0]}" if after.ways else "in the bay")
        )
        joining = tuple(sorted(set(after.runs) - set(before.runs)))
        out.append(Breakout(before.to_m, changed, joining, place, before.points[-1]))
    return tuple(out)
