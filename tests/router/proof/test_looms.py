"""A price on distinct metres of loom, against all plans tried."""

from __future__ import annotations

import itertools
import math
from typing import Any

import proof_reference as reference
import pytest
from random_lattices import random_instance

from ribway.router.proof.looms import loom_metres, solve_with_looms
from ribway.router.proof.plans import faults_of
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve

CLOSE = Limits(tolerance=1e-6)


def best_with_looms(instance: Any, price: float) -> float:
    """Every combination of the 25 cheapest routes of each run, with looms counted edge by edge."""
    net, best = instance.network, math.inf
    choices = [reference.all_routes(instance, run)[:25] for run in instance.runs]
    for some in itertools.product(*choices):
        cost = sum(one[0] for one in some)
        if cost >= best:
            continue
        load: dict[int, float] = {}
        kinds: dict[int, set[str]] = {}
        edges: dict[frozenset[int], float] = {}
        for run, (_, size, ways, arcs) in zip(instance.runs, some, strict=True):
            for way in ways:
                load[way] = load.get(way, 0.0) + run.sizes[size].area_mm2
                kinds.setdefault(way, set()).add(run.kind)
            for arc in arcs:
                edges[frozenset((int(net.source[arc]), int(net.target[arc])))] = float(net.length_m[arc])
        if any(area > net.limit_mm2[way] for way, area in load.items()) or any(
            "ac" in k and len(k) > 1 for k in kinds.values()
        ):
            continue
        best = min(best, cost + price * sum(edges.values()))
    return best


@pytest.mark.parametrize("seed", [1, 3, 8])
@pytest.mark.parametrize("price", [0.02, 0.2])
def test_equal_to_trying_all_plans(seed: int, price: float) -> None:
    instance = random_instance(seed, 3)
    found = solve_with_looms(instance, price, CLOSE)
    best = best_with_looms(instance, price)
    assert found.result.cost == pytest.approx(best, rel=1e-6)
    assert found.result.bound <= best * (1 + 1e-12)
    assert found.copper + price * found.loom_m == pytest.approx(found.result.cost)
    assert faults_of(instance, found.routes) == []


def test_dearer_looms_never_make_more_metres_of_loom() -> None:
    """Of two best plans at two prices, the one at the dearer price has no more loom and no less copper (an exchange argument)."""
    instance = random_instance(3, 4)
    plain = solve(instance, CLOSE)
    before, copper = loom_metres(instance, plain.routes), plain.cost
    for price in (0.01, 0.1, 1.0):
        found = solve_with_looms(instance, price, CLOSE)
        assert found.loom_m <= before * (1 + 1e-4) + 1e-6
        assert found.copper >= copper * (1 - 1e-4)
        before, copper = found.loom_m, found.copper
