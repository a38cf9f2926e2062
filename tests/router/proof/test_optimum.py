"""Plans and bounds against all plans tried one by one, and against an arc-flow programme."""

from __future__ import annotations

import math

import proof_reference as reference
import pytest
from random_lattices import random_instance

from ribway.router.proof import many
from ribway.router.proof import solve as solving
from ribway.router.proof.plans import cost_of, faults_of
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve

EXACT = Limits(tolerance=1e-7)


@pytest.mark.parametrize("seed", [0, 1, 3, 4, 5, 6, 8, 9])
def test_equal_to_trying_all_plans(seed: int) -> None:
    instance = random_instance(seed, 4, tight=(0.8, 1.0)[seed % 2])
    best = reference.brute_force(instance)
    found = solve(instance, EXACT)
    if math.isinf(best):
        assert not found.routes
        return
    assert faults_of(instance, found.routes) == []
    assert found.cost == pytest.approx(best, rel=1e-7)
    assert found.bound <= best * (1 + 1e-12)
    assert found.proven


@pytest.mark.parametrize("seed", [1, 3, 5, 8])
def test_equal_to_an_arc_flow_programme(seed: int) -> None:
    instance = random_instance(100 + seed, 7, rows=3)
    best = reference.arc_flow(instance)
    found = solve(instance, EXACT)
    if math.isinf(best):
        assert not found.routes
    else:
        assert found.cost == pytest.approx(best, rel=1e-6)
        assert found.bound <= best + 1e-6
        assert cost_of(instance, found.routes) == found.cost


@pytest.mark.parametrize("arcs", [0, many.ARCS])
@pytest.mark.parametrize("seed", [1, 3, 5])
def test_what_is_done_for_many_runs_bounds_the_optimum_and_keeps_the_rules(
    seed: int, arcs: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The schedules for more than a hundred runs, with and without very many arcs, on a body small enough to be solved."""
    for room in (many, solving):
        monkeypatch.setattr(room, "MANY_RUNS", 3)
    for name, few in (("ARCS", arcs), ("TRIES", 30), ("FEW_TRIES", 30)):
        monkeypatch.setattr(many, name, few)
    begun: list[int] = []
    shorter = many.ManyRuns._one_after_the_other
    monkeypatch.setattr(
        many.ManyRuns, "_one_after_the_other", lambda self, ascent: (begun.append(1), shorter(self, ascent))[1]
    )
    instance = random_instance(100 + seed, 7, tight=2.0, rows=3)
    best = reference.arc_flow(instance)
    found = solve(instance, Limits(tolerance=1e-7, steps=10))
    assert not math.isinf(best)
    assert bool(begun) == (arcs == 0)
    assert found.bound <= best * (1 + 1e-9)
    assert found.cost >= best * (1 - 1e-9)
    assert faults_of(instance, found.routes) == []
    assert cost_of(instance, found.routes) == found.cost
