"""The order of evaluation: the best of all is found, nothing is evaluated in vain, and a proof is never claimed too early."""

from __future__ import annotations

import math
import random

import pytest

from ribway.router.placing.search import best_first


def instance(seed: int) -> tuple[list[float], list[float]]:
    """Bounds and costs; some candidates cannot be, and of these some are known not to be."""
    rng = random.Random(seed)
    costs = [math.inf if rng.random() < 0.2 else rng.uniform(5.0, 9.0) for _ in range(30)]
    bounds = [rng.uniform(3.0, 6.0) if math.isinf(cost) else cost - rng.uniform(0.0, 1.0) for cost in costs]
    return [
        math.inf if math.isinf(cost) and rng.random() < 0.5 else low for low, cost in zip(bounds, costs, strict=True)
    ], costs


@pytest.mark.parametrize("seed", range(8))
def test_the_best_of_all_is_found_and_proven(seed: int) -> None:
    bounds, costs = instance(seed)
    found = best_first(bounds, lambda k: (costs[k], k), 100, (3,))
    assert found.proven
    assert found.best == min(costs)
    assert found.open_bound >= found.best
    assert [k for k, _, what in found.tried if k != what] == []
    assert found.tried[0][0] == 3
    # Whoever was evaluated after the first could have been the best for all that was known of it.
    for place, (k, _, _) in enumerate(found.tried[1:], start=1):
        assert bounds[k] < min(cost for _, cost, _ in found.tried[:place])


@pytest.mark.parametrize("seed", range(8))
def test_a_cap_claims_no_more_than_was_found(seed: int) -> None:
    bounds, costs = instance(seed)
    for most in (1, 2, 4):
        found = best_first(bounds, lambda k: (costs[k], k), most, (3,))
        assert len(found.tried) <= most
        done = {k for k, _, _ in found.tried}
        assert found.open_bound == min(low for k, low in enumerate(bounds) if k not in done)
        if found.proven:
            assert found.best == min(costs)


@pytest.mark.parametrize("seed", range(8))
def test_what_is_learned_of_bounds_spares_evaluations_and_changes_no_answer(seed: int) -> None:
    bounds, costs = instance(seed)
    rng = random.Random(seed + 100)
    told: list[list[float]] = []

    def learn(_: int) -> list[float]:
        told.append(
            [
                low if math.isinf(low) else rng.uniform(low - 1.0, min(cost, 99.0))
                for low, cost in zip(bounds, costs, strict=True)
            ]
        )
        return told[-1]

    plain = best_first(bounds, lambda k: (costs[k], k), 100, (3,))
    found = best_first(bounds, lambda k: (costs[k], k), 100, (3,), learn)
    assert found.proven
    assert found.best == min(costs)
    assert len(found.tried) <= len(plain.tried)
    assert found.bounds == tuple(max(some) for some in zip(bounds, *told, strict=True))
    assert all(low <= cost for low, cost in zip(found.bounds, costs, strict=True))
    capped = best_first(bounds, lambda k: (costs[k], k), 2, (3,), learn)
    done = {k for k, _, _ in capped.tried}
    assert capped.open_bound == min(low for k, low in enumerate(capped.bounds) if k not in done)


def test_nothing_possible_is_no_proof() -> None:
    found = best_first([1.0, math.inf], lambda k: (math.inf, k), 10)
    assert not found.proven
    assert math.isinf(found.best)
