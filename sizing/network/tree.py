"""The two trees of a network: from each node the way to the source; and in words why a network is not radial."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ribway.sizing.errors import NotRadialError
from ribway.sizing.network.parts import Load, Network, Piece


@dataclass(frozen=True)
class Step:
    """The way one node takes towards the source: through which piece, to which node."""

    piece: Piece
    node: str


@dataclass(frozen=True)
class Trees:
    """Both sides of a network with its switches as they stand.

    Attributes:
        plus: each node of the positive side but the terminal, with its step towards the source; a node comes after the
            one that feeds it.
        minus: the same on the negative side.
        dead: loads that a switch in its present position cuts off.
    """

    plus: Mapping[str, Step]
    minus: Mapping[str, Step]
    dead: frozenset[str]


def trees(network: Network) -> Trees:
    """Both trees of a network.

    Args:
        network: the network, its switches where they stand.

    Returns:
        The way from every node to its terminal.

    Raises:
        NotRadialError: a ring, a dead short, a load with both ends on one side, or one that nothing can feed; in words.
    """
    closed = [
        *network.pieces,
        *(Piece(s.id, s.common, s.at, s.contact_ohm) for s in network.switches if s.at is not None),
    ]
    neighbours = _neighbours(closed)
    plus = _grow(network.source.plus, neighbours)
    minus = _grow(network.source.minus, neighbours)
    _refuse_short(network, plus)
    for load in network.loads:
        _refuse_one_sided(load, network, plus, minus)
    dead = frozenset(load.id for load in network.loads if not _is_fed(load, network, plus, minus))
    _refuse_unreachable([load for load in network.loads if load.id in dead], network)
    return Trees(plus, minus, dead)


def way_to_source(node: str, side: Mapping[str, Step]) -> list[Piece]:
    """Pieces from a node to its terminal, the nearest first."""
    out: list[Piece] = []
    while node in side:
        step = side[node]
        out.append(step.piece)
        node = step.node
    return out


def _neighbours(pieces: Iterable[Piece]) -> dict[str, list[Step]]:
    out: dict[str, list[Step]] = {}
    for piece in pieces:
        if piece.a == piece.b:
            raise NotRadialError(f"{piece.id!r} begins and ends at node {piece.a!r}; join it to two nodes")
        out.setdefault(piece.a, []).append(Step(piece, piece.b))
        out.setdefault(piece.b, []).append(Step(piece, piece.a))
    return out


def _grow(terminal: str, neighbours: Mapping[str, list[Step]]) -> dict[str, Step]:
    """Every node that a terminal reaches, nearest first; refuses the first ring met."""
    side: dict[str, Step] = {}
    queue = deque([terminal])
    while queue:
        node = queue.popleft()
        came_by = side[node].piece.id if node in side else None
        for step in neighbours.get(node, ()):
            if step.piece.id == came_by:
                continue
            if step.node in side or step.node == terminal:
                raise NotRadialError(_ring_in_words(node, step, side))
            side[step.node] = Step(step.piece, node)
            queue.append(step.node)
    return side


def _ring_in_words(node: str, step: Step, side: Mapping[str, Step]) -> str:
    one, other = way_to_source(node, side), way_to_source(step.node, side)
    while one and other and one[-1].id == other[-1].id:
        one.pop()
        other.pop()
    names = [piece.id for piece in [*one, step.piece, *reversed(other)]]
    return (
        f"{', '.join(repr(name) for name in names)} form a ring that closes at node {step.node!r}, so current could take "
        "two ways; open the ring at one of them, or put a switch there that is off"
    )


def _refuse_short(network: Network, plus: Mapping[str, Step]) -> None:
    if network.source.minus in plus:
        names = [piece.id for piece in way_to_source(network.source.minus, plus)]
        raise NotRadialError(
            f"{', '.join(repr(name) for name in reversed(names))} join the positive terminal to the negative one: a dead "
            "short; a load belongs between them"
        )


def _refuse_one_sided(load: Load, network: Network, plus: Mapping[str, Step], minus: Mapping[str, Step]) -> None:
    source = network.source
    if load.plus in minus or load.plus == source.minus:
        raise NotRadialError(
            f"load {load.id!r}: its positive end {load.plus!r} lies on the negative side; swap its ends"
        )
    if load.minus in plus or load.minus == source.plus:
        raise NotRadialError(
            f"load {load.id!r}: its negative end {load.minus!r} lies on the positive side; swap its ends"
        )


def _is_fed(load: Load, network: Network, plus: Mapping[str, Step], minus: Mapping[str, Step]) -> bool:
    source = network.source
    return (load.plus in plus or load.plus == source.plus) and (load.minus in minus or load.minus == source.minus)


def _refuse_unreachable(dead: Iterable[Load], network: Network) -> None:
    """A load that stays dead wherever the switches stand is a fault of the network."""
    contacts = [Piece(s.id, s.common, throw, 0.0) for s in network.switches for throw in s.throws if throw != s.common]
    neighbours = _neighbours([*network.pieces, *contacts])
    for load in dead:
        for end, terminal, sign in (
            (load.plus, network.source.plus, "positive"),
            (load.minus, network.source.minus, "negative"),
        ):
            if terminal not in _reached(end, neighbours):
                raise NotRadialError(
                    f"load {load.id!r}: no wire leads from its {sign} end {end!r} to the source's {sign} terminal "
                    f"{terminal!r}; add the missing piece"
                )


def _reached(start: str, neighbours: Mapping[str, list[Step]]) -> set[str]:
    found, queue = {start}, deque([start])
    while queue:
        for step in neighbours.get(queue.popleft(), ()):
            if step.node not in found:
                found.add(step.node)
                queue.append(step.node)
    return found
