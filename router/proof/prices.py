"""Prices on ways, what branching has shut, and the lower bound that follows from any prices at all."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ribway.router.proof.instance import Array, Flags
from ribway.router.proof.kinds import Groups

UNIT = float(np.finfo(np.float64).eps)


@dataclass(frozen=True, eq=False)
class Prices:
    """Multipliers of the rules that couple runs, none negative.

    A plan that keeps every rule pays for what it uses at most what the rules allow. So for any prices the cheapest priced
    path of each run, summed, less what the rules allow at these prices, is at most the cost of the best plan.

    Args:
        per_mm2: ``(g + 1, w)`` price of area in a way for each group; the last row is for all runs.
        toll: ``(k, w)`` price for a run to pass a way.
        reward: ``(g, w)`` what is given back if a group is let into a way.
        allowed: what is given back in any case.
    """

    per_mm2: Array
    toll: Array
    reward: Array
    allowed: float


@dataclass(frozen=True, eq=False)
class Shut:
    """What is not to be used in one part of the search tree.

    Args:
        ways: ``(g, w)`` ways shut for a group.
        arcs: arcs shut for a run.
    """

    ways: Flags
    arcs: dict[int, frozenset[int]]


def nothing_shut(groups: int, ways: int) -> Shut:
    """Everything open."""
    return Shut(np.zeros((groups, ways), dtype=bool), {})


def no_prices(groups: int, runs: int, ways: int) -> Prices:
    """All prices zero: every run on its cheapest route."""
    return Prices(np.zeros((groups + 1, ways)), np.zeros((runs, ways)), np.zeros((groups, ways)), 0.0)


def lower_bound(values: Array, prices: Prices, groups: Groups, shut: Shut, nodes: int) -> float:
    """Lower bound on the cost of every plan, rounded to the safe side.

    A sum of n positive numbers is wrong by at most n units in the last place (Higham, Accuracy and Stability of Numerical
    Algorithms, 2nd ed., section 4.2), so each path value is lowered by more than a path of all nodes could be wrong by,
    and what is given back is raised likewise.

    Args:
        values: ``(k,)`` cheapest priced path of each run; infinite if it has none.
        prices: at which they were found.
        groups: groups of the runs.
        shut: what was shut.
        nodes: most nodes that a path can have.

    Returns:
        The bound; infinite if a run has no path.
    """
    if not np.isfinite(values).all():
        return math.inf
    open_reward = np.where(shut.ways, 0.0, prices.reward)
    given = np.max([open_reward[list(some)].sum(axis=0) for some in groups.together], axis=0)
    back = math.fsum([*given, prices.allowed])
    return math.fsum(values) * (1.0 - (nodes + 32) * 2.0 * UNIT) - back * (1.0 + (groups.count + 64) * 2.0 * UNIT)
