"""What must hold between instances: more room never costs more, fewer runs never cost more, order does not matter."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from random_lattices import random_instance

from ribway.router.proof.instance import Instance
from ribway.router.proof.kinds import groups_of
from ribway.router.proof.prices import Prices, lower_bound, nothing_shut
from ribway.router.proof.pricing import Pricer
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve

CLOSE = Limits(tolerance=1e-7)
SEEDS = [1, 3, 4, 6, 8, 9]


def best(instance: Instance) -> tuple[float, float]:
    found = solve(instance, CLOSE)
    assert found.bound <= found.cost
    return found.cost, found.bound


@pytest.mark.parametrize("seed", SEEDS)
def test_more_room_and_fewer_runs_never_cost_more(seed: int) -> None:
    instance = random_instance(seed, 5, tight=1.0)
    cost, bound = best(instance)
    net = instance.network
    for way in (0, net.ways // 2):
        # A way opened wide is a way added beside it.
        limit, bore = net.limit_mm2.copy(), net.bore_mm.copy()
        limit[way], bore[way] = limit[way] + 100.0, 100.0
        wider, _ = best(replace(instance, network=replace(net, limit_mm2=limit, bore_mm=bore)))
        assert wider <= cost * (1 + 1e-7)
    for gone in range(len(instance.runs)):
        fewer, _ = best(replace(instance, runs=tuple(run for k, run in enumerate(instance.runs) if k != gone)))
        assert fewer <= cost
    assert bound <= cost


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_runs_does_not_matter_and_the_same_input_gives_the_same_plan(seed: int) -> None:
    instance = random_instance(seed, 5)
    turned = replace(instance, runs=instance.runs[::-1])
    one, other = solve(instance, CLOSE), solve(turned, CLOSE)
    if not one.routes:
        assert not other.routes
        return
    assert one.cost == pytest.approx(other.cost, rel=2e-7)
    assert solve(instance, CLOSE) == one


@pytest.mark.parametrize("seed", SEEDS)
def test_any_prices_at_all_give_a_bound(seed: int) -> None:
    """The bound needs no solver: prices drawn by lot never lift it above a plan, and a thinned search says the same."""
    instance = random_instance(seed, 5)
    cost, _ = best(instance)
    groups, rng = groups_of(instance), np.random.default_rng(seed)
    runs, ways = len(instance.runs), instance.network.ways
    narrow, whole = Pricer(instance, groups), Pricer(instance, groups, full=True)
    shut = nothing_shut(groups.count, ways)
    for scale in (1e-4, 1e-3, 1e-2):
        per_mm2 = rng.random((groups.count + 1, ways)) * scale
        toll = rng.random((runs, ways)) * scale * 10
        # What a group is let into a way for: its runs' tolls there, and its price of area up to the limit.
        reward = np.array([toll[groups.of == g].sum(axis=0) for g in range(groups.count)])
        reward += per_mm2[:-1] * instance.network.limit_mm2 * (1 + 1e-9)
        allowed = float((per_mm2[-1] * instance.network.limit_mm2).sum()) * (1 + 1e-9)
        prices = Prices(per_mm2, toll, reward, allowed)
        values = narrow.price(prices, shut).values
        assert np.allclose(values, whole.price(prices, shut).values, rtol=1e-12)
        assert lower_bound(values, prices, groups, shut, instance.network.nodes) <= cost * (1 + 1e-12)
