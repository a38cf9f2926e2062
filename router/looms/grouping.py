"""Which runs are pulled as one bundle, and how that bundle branches."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import networkx as nx
import numpy as np
from numpy.typing import NDArray

from ribway.router.laying import Laid, Leg, Piece

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
    """

    run: str
    a: str
    b: str
    circuit: str
    zone: str
    family: str
    laid: Laid


@dataclass(frozen=True, eq=False)
class Section:
    """A stretch of a loom over which the same runs lie together.

    Args:
        from_m, to_m: distance along the loom from its origin [m].
        runs: ids, sorted.
        ways: names of openings and other ways passed.
        points: ``(k, 3)`` polyline [m].
        trunk: it belongs to the trunk, not to a branch.
    """

    from_m: float
    to_m: float
    runs: tuple[str, ...]
    ways: tuple[str, ...]
    points: Array
    trunk: bool


@dataclass(frozen=True, eq=False)
class Breakout:
    """Where runs leave (or join) a loom: distance along it, which runs, at which place."""

    at_m: float
    runs: tuple[str, ...]
    place: str
    point: Array


@dataclass(frozen=True, eq=False)
class Loom:
    """Runs pulled as one bundle.

    Args:
        id: letter.
        zone: where it leads.
        runs: ids, the trunk run first, then sorted.
        sections: along the trunk first, then branches.
        breakouts: along the trunk.
        length_m: of the trunk [m].
    """

    id: str
    zone: str
    runs: tuple[str, ...]
    sections: tuple[Section, ...]
    breakouts: tuple[Breakout, ...]
    length_m: float


def group(members: Sequence[Member]) -> tuple[Loom, ...]:
    """Looms by destination zone and shared stretches.

    Runs of one zone and family that share a stretch, directly or through others, are one loom; so are the runs of a chain,
    one behind the other, which are made up in one piece. A run that shares nothing is a loom of its own.

    Args:
        members: all runs.

    Returns:
        Looms, largest first, ties by id of their first run.
    """
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(len(members)))
    by_piece: dict[tuple[str, str, Piece], int] = {}
    ends = {(member.circuit, member.b): index for index, member in enumerate(members) if member.circuit}
    for index, member in enumerate(members):
        before = ends.get((member.circuit, member.a))
        if before is not None:
            graph.add_edge(index, before)
        for piece in _pieces(member.laid):
            key = (member.family, member.zone, piece)
            graph.add_edge(index, by_piece.setdefault(key, index))
    looms: list[tuple[str, list[Member]]] = []
    for component in nx.connected_components(graph):
        own = [members[index] for index in sorted(component)]
        looms.append((_zone(own), own))
    looms.sort(key=lambda loom: (-len(loom[1]), loom[1][0].run))
    return tuple(_loom(letters(number), zone, own) for number, (zone, own) in enumerate(looms))


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


def _loom(name: str, zone: str, members: Sequence[Member]) -> Loom:
    on: dict[Piece, set[str]] = {}
    for member in members:
        for piece in _pieces(member.laid):
            on.setdefault(piece, set()).add(member.run)
    # The trunk is the route that the most cable lies along; ties go to the first run by id.
    trunk = max(
        members,
        key=lambda m: (
            round(sum(_length(leg) * len(on[leg.piece]) for leg in m.laid.legs if leg.piece), 6),
            [-ord(c) for c in m.run],
        ),
    )
    ends: dict[Piece, float] = {}
    sections, length_m = _along(trunk.laid.legs, on, ends, 0.0, True)
    breakouts = _breakouts(sections)
    reached = {trunk.b: length_m}
    for member in sorted(members, key=lambda m: m.run):
        more, end = _along(member.laid.legs, on, ends, reached.get(member.a, 0.0), False)
        sections += more
        reached.setdefault(member.b, end)
    runs = (trunk.run, *sorted(member.run for member in members if member.run != trunk.run))
    return Loom(name, zone, runs, tuple(sections), breakouts, length_m)


def _length(leg: Leg) -> float:
    return leg.sharp_m


def _along(
    legs: Sequence[Leg], on: Mapping[Piece, set[str]], ends: dict[Piece, float], start_m: float, trunk: bool
) -> tuple[list[Section], float]:
    """Sections of what is new along a route, and how far it leads; ``ends`` says where known stretches end."""
    sections: list[Section] = []
    at = start_m
    runs: tuple[str, ...] = ()
    points: list[Array] = []
    ways: list[str] = []
    begun = at

    def close() -> None:
        if points:
            sections.append(Section(begun, at, runs, tuple(ways), np.vstack(points), trunk))

    for leg in legs:
        known = leg.piece is not None and leg.piece in ends
        here = () if leg.piece is None or known else tuple(sorted(on[leg.piece]))
        if here != runs:
            close()
            runs, points, ways, begun = here, [], [], at
        at = ends[leg.piece] if leg.piece is not None and known and not trunk else at + leg.sharp_m
        if leg.piece is None or known:
            continue
        ends[leg.piece] = at
        points.append(leg.points)
        if leg.kind != "bay":
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
        out.append(Breakout(before.to_m, changed, place, before.points[-1]))
    return tuple(out)
