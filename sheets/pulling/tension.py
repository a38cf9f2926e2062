"""How hard a cable is to pull.

Round a bend the pull grows by exp(friction times angle), whatever the radius: the capstan formula (Euler 1769; Eytelwein 1808).
Along a straight it grows by friction times the cable's weight, and by the weight itself where it goes up; together that is how
pulls into ducts are reckoned (Rifenburg 1953, AIEE Transactions 72:1275-1288). Stiffness of the cable is left out, so that what
is printed compares ways to pull and is no measured force.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ribway.models.plan.results import PlanRun
from ribway.models.plan.shell import Point

FRICTION_DRY, FRICTION_WET = 0.4, 0.2
"""A sheathed cable over a grommet's edge, dry and with pulling compound (common practice, no source)."""
TAIL_N = 5.0
"""What the hand that feeds holds back (common practice, no source) [N]."""
PULL_N_PER_MM2 = 15.0
"""Greatest pull for copper of flexible cables (EN 50565-1, guide to use of cables) [N/mm2]."""
PASSED = ("opening", "over", "duct", "inside", "outside", "furniture")
"""Kinds of legs that are passed from bay to bay, so that a hand reaches the cable at both ends of them."""
_G = 9.80665
_COPPER_KG_M3, _SHEATH_KG_M3 = (
    8960.0,
    1400.0,
)  # copper at 20 C: IEC 60028's 8.89 rounded up; PVC compound, common practice


@dataclass(frozen=True)
class Stretch:
    """One straight piece of a way.

    Attributes:
        length_m: [m].
        rise_m: how far it goes up; negative down [m].
        angle_rad: the bend behind it [rad].
        opening: name of the opening that it passes; empty for none.
    """

    length_m: float
    rise_m: float
    angle_rad: float
    opening: str = ""


def stretches_of(run: PlanRun) -> tuple[Stretch, ...]:
    """A run's way as straight pieces with bends between them, from its feed to its load.

    Args:
        run: the run.

    Returns:
        The pieces; none if the run has no way.
    """
    points: list[Point] = []
    names: list[str] = []
    for leg in run.legs:
        for point in leg.points:
            if points and math.dist(points[-1], point) < 1e-6:
                continue
            points.append(point)
            names.append(leg.name if leg.kind in PASSED else "")
    made = []
    for index in range(len(points) - 1):
        here, there = points[index], points[index + 1]
        angle = _angle(here, there, points[index + 2]) if index + 2 < len(points) else 0.0
        made.append(Stretch(math.dist(here, there), there[2] - here[2], angle, names[index + 1]))
    return tuple(made)


def turned_round(way: Sequence[Stretch]) -> tuple[Stretch, ...]:
    """The same way from its other end."""
    angles = [one.angle_rad for one in way]
    behind = [0.0, *angles[:-1]] if way else []
    return tuple(
        Stretch(one.length_m, -one.rise_m, before, one.opening)
        for one, before in zip(reversed(way), reversed(behind), strict=True)
    )


def pull_n(way: Sequence[Stretch], kg_per_m: float, friction: float, tail_n: float = TAIL_N) -> float:
    """Pull at the far end of a way.

    Args:
        way: from the end that is fed in to the end that is pulled.
        kg_per_m: of the cable [kg/m].
        friction: coefficient.
        tail_n: pull at the end that is fed in [N].

    Returns:
        The pull [N].
    """
    pull = tail_n
    for one in way:
        level_m = math.sqrt(max(0.0, one.length_m**2 - one.rise_m**2))
        pull = max(0.0, pull + kg_per_m * _G * (friction * level_m + max(0.0, one.rise_m)))
        pull *= math.exp(friction * one.angle_rad)
    return pull


def kg_per_m(run: PlanRun) -> float:
    """Weight of all pieces of a run: copper, and everything else as sheath, which errs to the heavy side.

    Args:
        run: the run.

    Returns:
        [kg/m].
    """
    copper_m2 = run.cores * run.conductor_area_mm2 * 1e-6
    whole_m2 = run.pieces * math.pi / 4 * (run.outside_mm * run.thickness_mm) * 1e-6
    return copper_m2 * _COPPER_KG_M3 + max(0.0, whole_m2 - copper_m2) * _SHEATH_KG_M3


def greatest_pull_n(run: PlanRun) -> float:
    """What a run's copper may be pulled with [N]; unlimited for a cord."""
    return PULL_N_PER_MM2 * run.cores * run.conductor_area_mm2 if run.cores else math.inf


def stops(way: Sequence[Stretch], weight_kg_per_m: float, friction: float, limit_n: float) -> tuple[str, ...]:
    """Openings at which to stop and pull the slack through by hand, so that no pull passes a limit.

    Args:
        way: from the end that is fed in.
        weight_kg_per_m: of the cable [kg/m].
        friction: coefficient.
        limit_n: greatest pull [N].

    Returns:
        Names of openings in order; as few as there can be, since each go is made as long as it can be. A go between two
        openings that is still above the limit is left as it is.
    """
    found: list[str] = []
    start, last = 0, -1
    for index, one in enumerate(way):
        too_hard = pull_n(way[start : index + 1], weight_kg_per_m, friction) > limit_n
        if too_hard and last >= start:
            found.append(way[last].opening)
            start = last + 1
        passed = index + 1 == len(way) or way[index + 1].opening != one.opening
        if one.opening and passed:
            last = index
    return tuple(found)


def hardest_go_n(way: Sequence[Stretch], halts: Sequence[str], weight_kg_per_m: float, friction: float) -> float:
    """The greatest pull of the goes into which stops part a way.

    Args:
        way: from the end that is fed in.
        halts: openings at which the slack is drawn through, in order; each is left by its last stretch.
        weight_kg_per_m: of the cable [kg/m].
        friction: coefficient.

    Returns:
        The pull [N]; of the whole way if there is no stop.
    """
    greatest, start, waiting = 0.0, 0, list(halts)
    for index, one in enumerate(way):
        passed = index + 1 == len(way) or way[index + 1].opening != one.opening
        if waiting and one.opening == waiting[0] and passed:
            greatest = max(greatest, pull_n(way[start : index + 1], weight_kg_per_m, friction))
            start = index + 1
            waiting.pop(0)
    return max(greatest, pull_n(way[start:], weight_kg_per_m, friction))


def _angle(before: Point, here: Point, after: Point) -> float:
    one = [b - a for a, b in zip(before, here, strict=True)]
    two = [b - a for a, b in zip(here, after, strict=True)]
    cross = (
        one[1] * two[2] - one[2] * two[1], one[2] * two[0] - one[0] * two[2], one[0] * two[1] - one[1] * two[0],
    )  # fmt: skip
    return math.atan2(math.hypot(*cross), sum(a * b for a, b in zip(one, two, strict=True)))
