"""Many knapsacks at once, against all subsets tried."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from ribway.router.proof.sacks import UNITS, fullest, in_units, unit_of


def best_of_all(worth: list[float], area: list[float], limit: float) -> float:
    """Every subset."""
    best = 0.0
    for some in itertools.product((0, 1), repeat=len(worth)):
        if sum(a for a, taken in zip(area, some, strict=True) if taken) <= limit:
            best = max(best, sum(w for w, taken in zip(worth, some, strict=True) if taken))
    return best


@pytest.mark.parametrize("seed", range(6))
def test_never_below_the_best_and_seldom_above(seed: int) -> None:
    rng = np.random.default_rng(seed)
    sizes = rng.uniform(5.0, 80.0, 4)
    limit = rng.uniform(60.0, 300.0, 20)
    area, worth = rng.choice(sizes, (20, 8)), rng.random((20, 8))
    size, room = in_units(area, limit[:, None], unit_of(sizes, limit)[:, None])
    assert room.max() <= UNITS
    value, taken = fullest(worth, size, room[:, 0])
    exact = np.array([best_of_all(w, a, one) for w, a, one in zip(worth.tolist(), area.tolist(), limit, strict=True)])
    assert (value >= exact * (1 - 1e-12)).all()
    assert value.sum() <= exact.sum() * 1.02
    assert np.allclose((worth * taken).sum(axis=1), value)


def test_three_that_just_overfill_are_two() -> None:
    # Three cables of 70.9 mm2 in 212.06 mm2: 0.3 % too much.
    unit = unit_of(np.array([70.9]), np.array([212.06]))
    size, room = in_units(np.full((1, 4), 70.9), np.array([[212.06]]), unit[:, None])
    value, taken = fullest(np.ones((1, 4)), size, room[:, 0])
    assert value[0] == 2.0
    assert taken.sum() == 2


def test_what_fits_exactly_still_fits() -> None:
    unit = unit_of(np.array([0.1]), np.array([0.1 + 0.1 + 0.1]))
    size, room = in_units(np.full((1, 3), 0.1), np.array([[0.1 + 0.1 + 0.1]]), unit[:, None])
    assert fullest(np.ones((1, 3)), size, room[:, 0])[0][0] == 3.0


def test_where_all_are_alike_they_are_counted_one_by_one() -> None:
    limit = 0.675 * np.pi / 4.0 * np.array([20.0, 25.0, 40.0]) ** 2
    one = np.pi / 4.0 * 9.5**2
    assert unit_of(np.array([one]), limit) == pytest.approx(one)
