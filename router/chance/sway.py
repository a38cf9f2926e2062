"""How a run's length changes when the things that it passes lie elsewhere than they were measured."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Vector = tuple[float, float, float]
Moves = Mapping[str, Vector]
"""How far each thing moves [m], by its name; things that are not named stay."""

STILL: Vector = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Stretch:
    """A stretch of a run between two things that hold it.

    Args:
        a, b: names of the things at its ends.
        start, end: where it leaves them [m].
        lay: square (along the van, and square to that) or taut.
    """

    a: str
    b: str
    start: Vector
    end: Vector
    lay: Literal["square", "taut"]


def stretch_m(start: Vector, end: Vector, lay: Literal["square", "taut"]) -> float:
    """Length of a cable between two points, nothing standing in between [m].

    Args:
        start, end: the points [m].
        lay: square counts the way along the van and the way across it apart.
    """
    along, *across = (b - a for a, b in zip(start, end, strict=True))
    return abs(along) + math.hypot(*across) if lay == "square" else math.hypot(along, *across)


def change_m(stretches: Sequence[Stretch], moves: Moves) -> float:
    """By how much a run's length changes at most if things move so far one way or the other.

    A thing that two stretches share moves both: a rib that lies further back makes one longer and the next shorter,
    and a run that goes straight through it is as long as before. What stands between the ends of a stretch (a wheel
    arch that it goes round) is left out of account.

    Args:
        stretches: of one run, in order.
        moves: how far things move together [m].

    Returns:
        The greater of the two changes, without its sign [m].
    """
    changes = [
        sum(
            stretch_m(
                _moved(one.start, moves.get(one.a, STILL), way), _moved(one.end, moves.get(one.b, STILL), way), one.lay
            )
            - stretch_m(one.start, one.end, one.lay)
            for one in stretches
            if one.a in moves or one.b in moves
        )
        for way in (1.0, -1.0)
    ]
    return max(abs(change) for change in changes)


def _moved(point: Vector, by: Vector, way: float) -> Vector:
    x, y, z = (at + way * step for at, step in zip(point, by, strict=True))
    return (x, y, z)
