"""Other routes and other plans: they differ as asked, cost what is said, and none cheaper is missed on small instances."""

from __future__ import annotations

import itertools
import math

import proof_reference as reference
import pytest
from random_lattices import random_instance

from ribway.router.proof.alternatives import different_routes, other_plans, overlap
from ribway.router.proof.plans import faults_of
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve

CLOSE = Limits(tolerance=1e-7)


@pytest.mark.parametrize("seed", [1, 3, 5])
def test_routes_of_a_run_share_little_and_start_with_the_best(seed: int) -> None:
    instance = random_instance(seed, 4)
    for run in range(4):
        found = different_routes(instance, run, 3, shared=0.5, longer=2.0)
        every = reference.all_routes(instance, instance.runs[run])
        assert bool(found) == bool(every)
        if found:
            assert found[0].cost == pytest.approx(every[0][0])
            assert found[-1].cost <= 2.0 * found[0].cost
        for one, other in itertools.combinations(found, 2):
            assert overlap(instance, one, other) <= 0.5


@pytest.mark.parametrize("seed", [1, 3, 6])
def test_another_plan_is_the_cheapest_of_those_that_differ(seed: int) -> None:
    instance = random_instance(seed, 3)
    plan = solve(instance, CLOSE).routes
    passages = {(route.run, way) for route in plan for way in route.ways}
    choices = [reference.all_routes(instance, run) for run in instance.runs]
    for differ in (1, 2):
        if differ > len(passages):
            continue
        best = math.inf
        # The reference: every combination of the 40 cheapest routes of each run, which hold the best at these sizes.
        for some in itertools.product(*(one[:40] for one in choices)):
            cost = sum(one[0] for one in some)
            taken = sum((k, way) in passages for k, one in enumerate(some) for way in one[2])
            if cost < best and taken <= len(passages) - differ and _fits(instance, some):
                best = cost
        found = other_plans(instance, plan, differ, math.inf, limits=CLOSE)
        assert len(found) == 1
        assert found[0].cost == pytest.approx(best, rel=1e-6)
        assert found[0].bound <= best * (1 + 1e-12)
        assert faults_of(instance, found[0].routes) == []
        assert other_plans(instance, plan, differ, best * 0.999, limits=CLOSE) == ()


def _fits(instance: object, some: tuple[tuple[float, int, frozenset[int], tuple[int, ...]], ...]) -> bool:
    load: dict[int, float] = {}
    kinds: dict[int, set[str]] = {}
    for k, (_, size, ways, _) in enumerate(some):
        run = instance.runs[k]  # type: ignore[attr-defined]
        for way in ways:
            load[way] = load.get(way, 0.0) + run.sizes[size].area_mm2
            kinds.setdefault(way, set()).add(run.kind)
    limit = instance.network.limit_mm2  # type: ignore[attr-defined]
    apart = all(not ("ac" in one and len(one) > 1) for one in kinds.values())
    return apart and all(area <= limit[way] * (1 + 1e-9) for way, area in load.items())
