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
STEPS = 8
WAYS = tuple(2.0 * step / STEPS - 1.0 for step in range(STEPS + 1))


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


@dataclass(frozen=True)
class Change:
    """How an error changes a run's length: evenly spread about a mean.

    Args:
        mean_m: of the change [m].
        bound_m: how far it may be from its mean, to either side [m].
    """

    mean_m: float
    bound_m: float


def change(stretches: Sequence[Stretch], moves: Moves) -> Change:
    """How a run's length changes if things lie elsewhere by up to so far, one way or the other.

    A thing that two stretches share moves both: a rib that lies further back makes one longer and the next shorter,
    and a run that goes straight through it is as long as before. A device that stands at a hole's very height makes
    its run longer whether it is higher or lower in truth: a length is a convex function of where things are, so that
    the mean of its change is never less than nothing (Jensen's inequality). The change is looked at in `STEPS` steps
    from one end of the error to the other: the mean is that of the straight lines between them, which for a convex
    function is not less than the true one, and the spread goes from the least to the greatest. What stands between the
    ends of a stretch (a wheel arch that it goes round) is left out of account.

    Args:
        stretches: of one run, in order.
        moves: how far things move together [m].

    Returns:
        The change.
    """
    touched = [one for one in stretches if one.a in moves or one.b in moves]
    before = sum(stretch_m(one.start, one.end, one.lay) for one in touched)
    changes = [-before] * (STEPS + 1)
    for one in touched:
        by_a, by_b = moves.get(one.a, STILL), moves.get(one.b, STILL)
        x, y, z = (end - start for start, end in zip(one.start, one.end, strict=True))
        dx, dy, dz = (b - a for a, b in zip(by_a, by_b, strict=True))
        for step, way in enumerate(WAYS):
            along, across = x + way * dx, math.hypot(y + way * dy, z + way * dz)
            changes[step] += abs(along) + across if one.lay == "square" else math.hypot(along, across)
    mean = (sum(changes) - (changes[0] + changes[-1]) / 2.0) / STEPS
    return Change(max(0.0, mean), (max(changes) - min(changes)) / 2.0)
