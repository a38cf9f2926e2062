"""The order of a chain against all orders there are; what is not exact against what is."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, permutations

import numpy as np
import pytest

from ribway.router.laying.chain_order import EXACT_UP_TO, Ints, cheapest_order, least_moment


def cost(path: Sequence[int], start: Ints, between: Ints) -> int:
    return sum(int(step) for step in (start[path[0]], *(between[a, b] for a, b in pairwise(path)))) if path else 0


def moment(path: Sequence[int], start: Ints, between: Ints, loads: Ints) -> int:
    steps = [start[path[0]], *(between[a, b] for a, b in pairwise(path))]
    return sum(int(step) * sum(int(loads[k]) for k in path[number:]) for number, step in enumerate(steps))


@pytest.mark.parametrize("count", range(1, 8))
def test_no_order_is_cheaper(count: int) -> None:
    """Small whole numbers, so that there are many equal orders: the first by index is taken. Lengths need not be alike
    both ways, nor keep the triangle's law."""
    rng = np.random.default_rng(count)
    for _ in range(15):
        start, between = rng.integers(0, 12, count), rng.integers(0, 12, (count, count))
        best = min(permutations(range(count)), key=lambda path: (cost(path, start, between), path))
        found = cheapest_order(start, between)
        assert (found.places, found.cost, found.exact) == (best, cost(best, start, between), True)


@pytest.mark.parametrize("count", range(1, 7))
def test_no_order_has_a_smaller_moment(count: int) -> None:
    rng = np.random.default_rng(100 + count)
    for _ in range(15):
        start, between = rng.integers(0, 50, count), rng.integers(0, 50, (count, count))
        loads = rng.integers(0, 9, count)
        least = min(moment(path, start, between, loads) for path in permutations(range(count)))
        assert least_moment(start, between, loads) == least


def test_lamps_on_a_line_are_taken_one_after_another() -> None:
    """On a line with the start at its end every other order goes some piece twice: 30 lamps, beyond what is exact."""
    rng = np.random.default_rng(5)
    at = rng.permutation(30) * 7 + 3
    found = cheapest_order(at, np.abs(at[:, None] - at[None]))
    assert found.places == tuple(np.argsort(at))
    assert found.cost == at.max()
    assert not found.exact


def test_what_is_not_proven_is_near_what_is() -> None:
    """Of one lamp more than is exact: visited the exact way once, with the last lamp tried at every place."""
    rng = np.random.default_rng(6)
    for _ in range(3):
        points = rng.integers(0, 4000, (EXACT_UP_TO + 1, 2))
        start, between = points.sum(1), np.abs(points[:, None] - points[None]).sum(2)
        found = cheapest_order(start, between)
        assert sorted(found.places) == list(range(EXACT_UP_TO + 1))
        assert found.cost == cost(found.places, start, between)
        short = cheapest_order(start[:-1], between[:-1, :-1]).places
        inserted = min(cost((*short[:k], EXACT_UP_TO, *short[k:]), start, between) for k in range(EXACT_UP_TO + 1))
        assert not found.exact
        assert found.cost <= inserted


def test_nothing_to_order() -> None:
    assert cheapest_order(np.array([], dtype=np.int64), np.zeros((0, 0), dtype=np.int64)).places == ()
    with pytest.raises(ValueError, match="13 places"):
        least_moment(np.zeros(13, np.int64), np.zeros((13, 13), np.int64), np.zeros(13, np.int64))
