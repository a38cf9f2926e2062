"""The cheapest order in which one cable visits many places: an open path from a fixed start, exact for few places.

Costs are whole numbers (tenths of a millimetre, say), so that equal costs are equal and ties can go by index.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
EXACT_UP_TO = 12
STARTS = 8


@dataclass(frozen=True)
class Order:
    """An order of places.

    Args:
        places: indices, each once.
        cost: of the whole path.
        exact: whether no order is cheaper; otherwise the best that was found.
    """

    places: tuple[int, ...]
    cost: int
    exact: bool


def cheapest_order(start: Ints, between: Ints) -> Order:
    """The cheapest open path from a fixed start through all places.

    Args:
        start: ``(n,)`` cost from the start to each place, not negative.
        between: ``(n, n)`` cost from each place to each other one, not negative.

    Returns:
        Exact up to `EXACT_UP_TO` places; of equal orders the first by index. Beyond that, nearest-neighbour paths mended
        by 2-opt and Or-opt.

    Source: Held and Karp 1962 (dynamic programming over subsets); Croes 1958 (2-opt); Or 1976 (moving short pieces).
    """
    count = len(start)
    if count <= EXACT_UP_TO:
        return _exact(start, between, np.ones(count, dtype=np.int64), weighted=False)
    return _found(start, between)


def least_moment(start: Ints, between: Ints, loads: Ints) -> int:
    """The least sum of length times current over all orders, each length carrying what is drawn beyond it.

    Args:
        start: ``(n,)`` length from the start to each place.
        between: ``(n, n)`` length from each place to each other one.
        loads: ``(n,)`` current drawn at each place; whole numbers, like the lengths.

    Returns:
        The least moment. It is exact: what is still to be fed depends only on which places were visited.

    Raises:
        ValueError: more than `EXACT_UP_TO` places.
    """
    if len(start) > EXACT_UP_TO:
        raise ValueError(f"{len(start)} places; the least moment is found for {EXACT_UP_TO} at most")
    return _exact(start, between, loads, weighted=True).cost


def _exact(start: Ints, between: Ints, loads: Ints, *, weighted: bool) -> Order:
    """Held-Karp from the far end: ``rest[mask, last]`` is what remains once the places of ``mask`` are visited."""
    count = len(start)
    if count == 0:
        return Order((), 0, True)
    full = (1 << count) - 1
    rest = np.zeros((full + 1, count), dtype=np.int64)
    left = np.array([sum(int(loads[k]) for k in range(count) if not mask >> k & 1) for mask in range(full + 1)])
    weight = left if weighted else np.ones(full + 1, dtype=np.int64)
    for mask in range(full - 1, 0, -1):
        following = [k for k in range(count) if not mask >> k & 1]
        after = np.array([rest[mask | 1 << k, k] for k in following])
        rest[mask] = (between[:, following] * weight[mask] + after).min(axis=1)
    places: list[int] = []
    mask, total = 0, 0
    while mask != full:
        following = [k for k in range(count) if not mask >> k & 1]
        steps = start if not places else between[places[-1]]
        costs = [int(steps[k] * weight[mask] + rest[mask | 1 << k, k]) for k in following]
        total = total or min(costs)
        place = following[costs.index(min(costs))]
        places.append(place)
        mask |= 1 << place
    return Order(tuple(places), total, True)


def _found(start: Ints, between: Ints) -> Order:
    """The best of several mended nearest-neighbour paths."""
    firsts = np.argsort(start, kind="stable")[:STARTS]
    mended = [_mended(_nearest(int(first), between), start, between) for first in firsts]
    return min((Order(tuple(path), _cost(path, start, between), False) for path in mended), key=_rank)


def _rank(order: Order) -> tuple[int, tuple[int, ...]]:
    return order.cost, order.places


def _nearest(first: int, between: Ints) -> list[int]:
    path, rest = [first], [k for k in range(len(between)) if k != first]
    while rest:
        path.append(min(rest, key=lambda k: (int(between[path[-1], k]), k)))
        rest.remove(path[-1])
    return path


def _mended(path: list[int], start: Ints, between: Ints) -> list[int]:
    """2-opt and Or-opt, the best step first, until none is cheaper."""
    cost = _cost(path, start, between)
    while True:
        steps = [*_turned(path), *_moved(path)]
        best = min(steps, key=lambda one: (_cost(one, start, between), one))
        if _cost(best, start, between) >= cost:
            return path
        path, cost = best, _cost(best, start, between)


def _turned(path: list[int]) -> list[list[int]]:
    """Paths with one piece turned round, the far end included."""
    count = len(path)
    return [[*path[:i], *reversed(path[i : j + 1]), *path[j + 1 :]] for i in range(count) for j in range(i + 1, count)]


def _moved(path: list[int]) -> list[list[int]]:
    """Paths with a piece of up to three places moved elsewhere."""
    out = []
    for size in (1, 2, 3):
        for i in range(len(path) - size + 1):
            piece, rest = path[i : i + size], path[:i] + path[i + size :]
            out += [[*rest[:j], *piece, *rest[j:]] for j in range(len(rest) + 1) if j != i]
    return out


def _cost(path: Sequence[int], start: Ints, between: Ints) -> int:
    return int(start[path[0]]) + sum(int(between[a, b]) for a, b in pairwise(path))
