"""Other routes and other plans of a small van: they differ as they say, cost what they say, and stand up to the audit."""

from __future__ import annotations

from functools import cache

import pytest
from small_vans import shell, small_project

from ribway.router.audit.check import audit_plan
from ribway.router.choosing.instances import posed, routes_of
from ribway.router.choosing.other_plans import different_plans
from ribway.router.choosing.other_routes import SHARED, other_routes
from ribway.router.copper import unrounded_kg
from ribway.router.faults import RouterFaults
from ribway.router.planning import Planning, State
from ribway.router.proof.from_space import admitted, paths_of
from ribway.router.rising import planned

KG_PER_M_MM2 = 8.96e-3  # density of copper 8.96 g/cm3


@cache
def van(seed: int) -> tuple[Planning, State]:
    planning = Planning(small_project(seed), shell())
    return planning, planned(planning)


def test_routes_there_and_back_are_the_same() -> None:
    planning, state = van(0)
    asked = posed(planning, state)
    routes = routes_of(asked.adapted, state.paths, planning)
    again = paths_of(asked.adapted, routes)
    assert admitted(planning.network, asked.jobs, again, planning.separation) == []
    for run, path, route in zip(planning.routed, again, routes, strict=True):
        laid = planning.layout(again).laid[run.id]
        assert [planning.space.ways[way].name for way in route.ways] == [
            leg.name for leg in laid.legs if leg.kind == "opening"
        ]
        assert route.length_m == pytest.approx(sum(float(planning.network.length[edge]) for edge in path.edges))


def test_other_routes_of_a_run() -> None:
    planning, state = van(0)
    for run in ("C3", "C1-1"):
        found = other_routes(planning, state, run, 3)
        assert found[0].now
        assert found[0].fits
        assert found[0].holds
        assert sum(one.now for one in found) == 1
        assert len({one.openings for one in found}) == len(found) >= 2
        cable = planning.cables[run][state.index[run]]
        for one in found:
            assert one.copper_kg == pytest.approx(one.cut_m * cable.copper_mm2 * KG_PER_M_MM2)
            assert one.cut_m <= 2.0 * min(other.cut_m for other in found) + 2.0
        assert 0.0 < SHARED < 1.0


def test_an_unknown_run_is_refused() -> None:
    planning, state = van(0)
    with pytest.raises(RouterFaults, match="no way is computed for a run C9"):
        other_routes(planning, state, "C9", 3)


def test_other_plans_differ_and_hold() -> None:
    planning, state = van(1)
    for one in different_plans(planning, state, 2, 3, 10.0):
        assert one.differs >= 3
        assert one.plan.complete
        assert not [finding for finding in audit_plan(one.plan) if finding.level == "error"]
        assert one.plan.bound is not None
        assert one.kg == pytest.approx(one.plan.bound.planned_kg, abs=2e-6)
        assert one.plan.bound.copper_kg <= unrounded_kg(planning, state) + 1e-6, "a bound holds for the base too"
        assert one.plan.alternative.startswith("other way ")
    assert different_plans(planning, state, 2, 3, 10.0)


def test_nothing_is_found_where_nothing_more_may_be_spent() -> None:
    planning, state = van(1)
    assert different_plans(planning, state, 1, 40, 0.0) == ()
