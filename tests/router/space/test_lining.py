"""A lining that stands off the members of a wall: a crossing over each of them, none if nobody says so."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from plain_shells import DEPTH, WIDTH, Bar, Corner, Hole, on_roof, on_wall, plain_shell, project

from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_on
from ribway.router.space.build import build_space
from samples.spoilt.changes import take

LAY = 0.0275
GAP = 0.025
SHELL = plain_shell(3.0, 1.6, [Bar(1.0, ()), Bar(2.0, ())], [Bar(1.0, ()), Bar(2.0, ())], [Corner(0.5)], roof=True)
PLACES = {"a": on_wall(0.4, 0.7), "b": on_wall(1.6, 0.7)}
CIRCUIT = [{"id": "C", "name": "C", "from": "a", "to": ["b"], "cable": "2x2.5"}]


def plan_of(lining: dict[str, Any], places: dict[str, Any] = PLACES, runs: int = 1) -> Plan:
    circuits = [{**CIRCUIT[0], "id": f"C{n}"} for n in range(runs)]
    wanted = project(places, circuits, None, {"lining": lining}, {"a": {"kind": "source"}, "b": {"amps": 1.0}})
    return plan_on(wanted, SHELL)


def test_a_crossing_over_every_member_of_that_wall() -> None:
    """Every member of the roof, none of the wall; one every half metre of the bow's 1.7 m, evenly spread."""
    space = build_space(project(PLACES, CIRCUIT, None, {"lining": {"roof": GAP}}), SHELL)
    over = {way.name: way for way in space.ways if way.kind == "over"}
    assert sorted(over) == sorted(f"B{n}-over-{k}" for n in (1, 2) for k in (1, 2, 3))
    places = sorted(float(way.line[0][1]) for name, way in over.items() if name.startswith("B1"))
    assert max(np.diff(places)) < 0.7
    assert min(places) < -0.4
    assert max(places) > 0.4
    for way in over.values():
        assert way.lined
        assert (way.shape, way.bore_m, way.room_m) == ("gap", GAP, 0.06)
        assert way.limit == 0.4
        assert way.length_m == pytest.approx(2 * (DEPTH + GAP / 2 - LAY) + WIDTH + 2 * 0.008, abs=1e-6)
    none = build_space(project(PLACES, CIRCUIT), SHELL)
    assert not [way for way in none.ways if way.kind == "over"]


def test_it_is_used_and_said() -> None:
    assert not plan_of({"roof": GAP}).complete, "the ribs of the wall have no holes, and its lining is not told of"
    plan = plan_of({"left": GAP})
    run = plan.runs[0]
    assert len(run.openings) == 1
    assert run.openings[0].startswith("L1-over-")
    way = take(plan, "ways", run.openings[0])
    assert way.lined
    assert way.fill_limit_percent == 40.0
    assert not [one for one in audit_plan(plan) if one.level == "error"]
    said = next(one for one in plan.findings if one.code == "over-member")
    assert "must not press on the cable" in said.remedy


def test_its_fill_limit_holds() -> None:
    """40 % of 25 x 60 mm is 600 mm2 a crossing; what does not fit goes over another one, and at last nowhere."""
    few = plan_of({"left": GAP}, runs=4)
    assert few.complete
    for way in few.ways:
        assert way.fill_percent <= 40.0
    many = plan_of({"left": 0.008}, runs=16)
    assert not many.complete or len({run.openings for run in many.runs}) > 1


def test_a_wall_that_is_not_there_and_walls_that_keep_their_holes() -> None:
    with pytest.raises(RouterFaults, match="vehicle / lining / floor: this shell has no floor"):
        plan_of({"floor": GAP})
    holes = plain_shell(3.0, 1.6, [Bar(1.0, (Hole(0.7),)), Bar(2.0, ())])
    wanted = project(PLACES, CIRCUIT, None, {"lining": {"left": GAP}}, {"a": {"kind": "source"}, "b": {"amps": 1.0}})
    assert plan_on(wanted, holes).runs[0].openings == ("L1a",), "a hole is the shorter way"


def test_over_the_bows_to_the_other_side() -> None:
    places = {"a": on_roof(0.5, 0.6), "b": on_roof(2.5, -0.6)}
    plan = plan_of({"roof": GAP}, places)
    assert [name[:2] for name in plan.runs[0].openings] == ["B1", "B2"]
    assert plan.runs[0].sharp_m == pytest.approx(2.0 + 1.2 + 4 * (DEPTH + GAP / 2 - LAY), abs=1e-3)
