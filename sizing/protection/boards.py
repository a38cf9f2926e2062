"""Boards: each circuit gets a way that may carry its fuse, and the spare ways are counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ribway.sizing.errors import BadNumberError, SizingError, check_number
from ribway.sizing.protection.finding import ProtectionFinding


@dataclass(frozen=True)
class Board:
    """A fuse board.

    Attributes:
        id: its name.
        ways_a: `(n,)` greatest fuse of each way [A]; way 1 first.
        total_a: what the whole board may carry [A].
    """

    id: str
    ways_a: tuple[float, ...]
    total_a: float

    def __post_init__(self) -> None:
        if not self.ways_a:
            raise BadNumberError(f"board {self.id!r} has no ways; give the amperes of each")
        for number, amps in enumerate(self.ways_a, start=1):
            check_number(amps, f"board {self.id!r}: amperes of way {number} [A]", positive=True)
        check_number(self.total_a, f"board {self.id!r}: total [A]", positive=True)


@dataclass(frozen=True)
class BoardCircuit:
    """A circuit that wants a way.

    Attributes:
        id: its name.
        fuse_a: its fuse [A].
        load_a: what flows through it in the worst state of the van [A].
        way: the way it has already (1 is the first); None to be given one.
    """

    id: str
    fuse_a: float
    load_a: float
    way: int | None = None


@dataclass(frozen=True)
class Allotment:
    """The ways of a board.

    Attributes:
        ways: way by circuit id; circuits without one are not in it.
        spare: free ways, rising.
        total_a: worst simultaneous load of all circuits that have a way [A].
        findings: what is wrong.
    """

    ways: Mapping[str, int]
    spare: tuple[int, ...]
    total_a: float
    findings: tuple[ProtectionFinding, ...]


def allot_ways(board: Board, circuits: Sequence[BoardCircuit], diversity: float = 1.0) -> Allotment:
    """Give each circuit a way.

    Circuits with a stated way keep it. Of the rest the biggest fuse chooses first, and takes the smallest way that may carry
    it: as smaller fuses fit wherever bigger ones do, no other order places more of them.

    Args:
        board: the board.
        circuits: what it feeds.
        diversity: share of the summed loads that flows at once, above 0 to 1.

    Raises:
        SizingError: a circuit twice, two in one way, or a way the board does not have.
    """
    if not 0.0 < diversity <= 1.0:
        raise BadNumberError(f"diversity is {diversity!r}; give a share above 0, up to 1")
    taken = _stated(board, circuits)
    free = [way for way in range(1, len(board.ways_a) + 1) if way not in taken.values()]
    findings: list[ProtectionFinding] = []
    order = {one.id: place for place, one in enumerate(circuits)}
    for one in sorted(circuits, key=lambda one: (-one.fuse_a, order[one.id])):
        if one.way is not None:
            if one.fuse_a > board.ways_a[one.way - 1]:
                findings.append(_too_big(board, one, board.ways_a[one.way - 1]))
            continue
        fitting = [way for way in free if board.ways_a[way - 1] >= one.fuse_a]
        if not fitting:
            findings.append(_too_big(board, one, max(board.ways_a)) if free else _none_left(board, one))
            continue
        way = min(fitting, key=lambda way: (board.ways_a[way - 1], way))
        taken[one.id] = way
        free.remove(way)
    total_a = diversity * sum(one.load_a for one in circuits if one.id in taken)
    if total_a > board.total_a * (1.0 + 1e-9):
        says = f"{total_a:.4g} A may flow through {board.id} at once; it may carry {board.total_a:g} A: feed some from another"
        findings.append(ProtectionFinding("ways of a board", board.id, says))
    ways = {one.id: taken[one.id] for one in circuits if one.id in taken}
    return Allotment(ways, tuple(free), total_a, tuple(findings))


def _stated(board: Board, circuits: Sequence[BoardCircuit]) -> dict[str, int]:
    seen: set[str] = set()
    taken: dict[str, int] = {}
    for one in circuits:
        check_number(one.fuse_a, f"fuse of {one.id!r} [A]", positive=True)
        check_number(one.load_a, f"load of {one.id!r} [A]")
        if one.id in seen:
            raise SizingError(f"circuit {one.id!r} is on board {board.id!r} twice")
        seen.add(one.id)
        if one.way is None:
            continue
        if not 1 <= one.way <= len(board.ways_a):
            raise SizingError(
                f"circuit {one.id!r} is in way {one.way}; board {board.id!r} has ways 1 to {len(board.ways_a)}"
            )
        if one.way in taken.values():
            raise SizingError(f"circuit {one.id!r} is in way {one.way} of board {board.id!r}, which is taken")
        taken[one.id] = one.way
    return taken


def _too_big(board: Board, one: BoardCircuit, way_a: float) -> ProtectionFinding:
    says = f"{one.id} has a {one.fuse_a:g} A fuse and no free way of {board.id} may carry it (its biggest: {way_a:g} A)"
    if one.way is not None:
        says = f"{one.id} has a {one.fuse_a:g} A fuse in way {one.way} of {board.id}, which may carry {way_a:g} A"
    return ProtectionFinding("ways of a board", board.id, f"{says}: feed it from the bar with a fuse of its own")


def _none_left(board: Board, one: BoardCircuit) -> ProtectionFinding:
    says = f"no way of {board.id} is left for {one.id}: take a board with more ways, or join circuits"
    return ProtectionFinding("ways of a board", board.id, says)
