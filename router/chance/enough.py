"""Tails that make the whole van long enough: by how much cut lengths must grow, all alike or run by run."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from ribway.router.chance.survey import Short
from ribway.router.chance.tail import chance_over

MOST_CHANCE = 0.05
"""The whole van is to be long enough with a chance of 95 %."""
_HALVINGS = 60
_DUST = 1e-12
"""What rounding may do to a chance: one that is just as great as allowed asks for no step more."""


def chance_with(short: Short, extra_m: float) -> float:
    """Chance that a run is short if it is cut longer.

    Args:
        short: its margin and errors.
        extra_m: what is added to its cut length [m]; negative if it is cut shorter.
    """
    mean_m = sum(one.change.mean_m for one in short.bounds)
    return chance_over(short.margin_m + extra_m - mean_m, [one.change.bound_m for one in short.bounds])


def common_extra_m(shorts: Sequence[Short], step_m: float, most: float = MOST_CHANCE) -> float:
    """What every cut length needs more so that the chance that any is short is no more than stated.

    The chances are added up: the chance that any of several things happens is never more than their sum (Boole's inequality),
    whatever errors the runs share.

    Args:
        shorts: of all runs.
        step_m: lengths are cut in steps of this [m].
        most: greatest chance, 0 to 1.

    Returns:
        The least multiple of the step that will do [m]; negative if all may be cut shorter.

    Raises:
        ValueError: the step is not positive, or the chance is not between 0 and 1.
    """
    _check(step_m, most)
    if not shorts:
        return 0.0
    reach = max(abs(one.margin_m) + sum(b.change.bound_m + abs(b.change.mean_m) for b in one.bounds) for one in shorts)
    far = math.ceil(reach / step_m) + 1
    return (
        _least(lambda steps: sum(chance_with(one, steps * step_m) for one in shorts) <= most + _DUST, -far, far)
        * step_m
    )


def extras_m(shorts: Mapping[str, Short], step_m: float, most: float = MOST_CHANCE) -> dict[str, float]:
    """What single cut lengths need more so that the chance that any is short is no more than stated.

    No run may be likelier short than a bound that is the same for all: the greatest with which the chances, each cut down to
    it, add up to no more than stated. Runs below it are left as they are.

    Args:
        shorts: by run.
        step_m: lengths are cut in steps of this [m].
        most: greatest chance, 0 to 1.

    Returns:
        For each run that needs more the least multiple of the step [m]; none if the chances add up to no more as they are.
    """
    _check(step_m, most)
    chances = {run: chance_with(one, 0.0) for run, one in shorts.items()}
    if sum(chances.values()) <= most + _DUST:
        return {}
    low, high = 0.0, most
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if sum(min(chance, middle) for chance in chances.values()) <= most:
            low = middle
        else:
            high = middle
    out = {}
    for run, one in shorts.items():
        if chances[run] > low + _DUST:
            far = (
                math.ceil(
                    (sum(b.change.bound_m + abs(b.change.mean_m) for b in one.bounds) + abs(one.margin_m)) / step_m
                )
                + 1
            )
            out[run] = _least(lambda steps, one=one: chance_with(one, steps * step_m) <= low + _DUST, 0, far) * step_m  # type: ignore[misc]
    return out


def _least(holds: Callable[[int], bool], low: int, high: int) -> int:
    """The least number from low to high that holds; what holds for one holds for all above it."""
    while low < high:
        middle = (low + high) // 2
        if holds(middle):
            high = middle
        else:
            low = middle + 1
    return low


def _check(step_m: float, most: float) -> None:
    if step_m <= 0.0 or not 0.0 < most < 1.0:
        raise ValueError(f"lengths are cut in steps above 0 m, chances lie between 0 and 1: {step_m} m, {most}")
