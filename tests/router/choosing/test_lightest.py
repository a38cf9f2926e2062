"""The thorough search: never heavier than the quick one, still above the bound, and it stands up to the audit."""

from __future__ import annotations

import pytest
from small_vans import shell, small_project

from ribway.router.choosing.instances import posed, routes_of
from ribway.router.copper import unrounded_kg
from ribway.router.planner import audited, written
from ribway.router.planning import Planning, State
from ribway.router.proof.plans import cost_of
from ribway.router.rising import planned


def made(seed: int, search: str) -> tuple[Planning, State]:
    van = small_project(seed)
    shop = van.shop.model_copy(update={"search": search})
    planning = Planning(van.model_copy(update={"shop": shop}), shell())
    return planning, planned(planning)


@pytest.mark.parametrize("seed", range(3))
def test_it_is_never_heavier_and_holds(seed: int) -> None:
    (quick, plain), (thorough, best) = made(seed, "quick"), made(seed, "thorough")
    assert unrounded_kg(thorough, best) <= unrounded_kg(quick, plain)
    plan = audited(written(thorough, best, "", bounded=True))
    assert plan.complete
    assert plan.bound is not None
    assert plan.bound.copper_kg <= unrounded_kg(thorough, best) + 1e-6
    if best.index == plain.index:  # the same cables: what the search itself counts is no more either
        asked = posed(thorough, best)
        now = cost_of(asked.adapted.instance, routes_of(asked.adapted, best.paths, thorough))
        assert now <= cost_of(asked.adapted.instance, routes_of(asked.adapted, plain.paths, quick)) + 1e-9
