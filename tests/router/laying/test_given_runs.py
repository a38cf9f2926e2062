"""Runs by hand and by tape: the way that was named and no other, the length that was taped and nothing filled by it."""

from __future__ import annotations

from typing import Any

import pytest
from plain_shells import Bar, Hole, on_wall, plain_shell, project
from pydantic import ValidationError

from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_on

SHELL = plain_shell(3.0, 1.2, [Bar(1.0, (Hole(0.3), Hole(0.8))), Bar(2.0, (Hole(0.3), Hole(0.8)))])
PLACES = {"a": on_wall(0.4, 0.3), "b": on_wall(2.6, 0.3), "c": on_wall(0.5, 0.3)}
CIRCUIT = [{"id": "C", "name": "C", "from": "a", "to": ["b"]}]


def plan_of(run: dict[str, Any], vehicle: dict[str, Any] | None = None, **shop: Any) -> Plan:
    runs = [{"circuit": "C", "from": "a", "to": "b", **run}]
    wanted = project(PLACES, CIRCUIT, shop, vehicle, {"a": {"kind": "source"}, "b": {"amps": 2.0}}, runs)
    return plan_on(wanted, SHELL)


def errors(plan: Plan) -> list[str]:
    return [f"{one.about}: {one.message}" for one in audit_plan(plan) if one.level == "error"]


def test_the_ways_named_by_hand_in_their_order() -> None:
    """Low hole, high hole: 2.2 m along and 0.5 m up and down; the planner by itself stays low."""
    free = plan_of({})
    assert (free.runs[0].openings, free.runs[0].measured) == (("L1a", "L2a"), "computed")
    plan = plan_of({"by_hand": ["L1a", "L2b"]})
    run = plan.runs[0]
    assert (run.openings, run.by_hand, run.measured) == (("L1a", "L2b"), ("L1a", "L2b"), "by hand")
    assert run.sharp_m == pytest.approx(2.2 + 2 * 0.5, abs=1e-3)
    assert errors(plan) == []


def test_no_way_is_added_to_those_by_hand() -> None:
    """Named in an order that only a detour through unnamed holes could keep: a fault, not a detour."""
    for named, where in (
        (["L2a"], "L2a can't follow a"),
        (["L1a"], "after L1a"),
        (["L2a", "L1a"], "L2a can't follow a"),
    ):
        with pytest.raises(RouterFaults) as faults:
            plan_of({"by_hand": named})
        text = str(faults.value)
        assert where in text
        assert "runs / item 1 / by_hand" in text
        assert "one of" in text


def test_a_way_by_hand_that_is_not_there_or_shut() -> None:
    with pytest.raises(RouterFaults, match="no opening or way called L1z"):
        plan_of({"by_hand": ["L1z", "L2a"]})
    plan = plan_of({"by_hand": ["L1a", "L2a"]}, {"openings": [{"name": "L1a", "state": "blocked"}]})
    assert not plan.complete
    dead = next(one for one in plan.findings if one.code == "no-way")
    assert dead.about == "C"
    assert "L1a, which by_hand asks for, can't be used: blocked" in dead.message


def test_others_make_room_for_a_run_by_hand() -> None:
    """A hole that holds one 2x2.5 and not two: the free run takes the high one, whichever comes first in the file."""
    for names in (("b", "d"), ("d", "b")):
        places = {**PLACES, "d": on_wall(2.6, 0.3)}
        circuits = [{"id": f"to-{one}", "name": "C", "from": "a", "to": [one], "cable": "2x2.5"} for one in names]
        runs = [{"circuit": "to-b", "from": "a", "to": "b", "by_hand": ["L1a", "L2a"]}]
        wanted = project(
            places, circuits, {"fill_limit": 10.0}, None, {"a": {"kind": "source"}, "b": {"amps": 2.0}, "d": {"amps": 2.0}}, runs
        )  # fmt: skip
        plan = plan_on(wanted, SHELL)
        found = {run.id: run.openings for run in plan.runs}
        assert found == {"to-b": ("L1a", "L2a"), "to-d": ("L1b", "L2b")}
        assert errors(plan) == []


def test_a_taped_run() -> None:
    """4.2 m by tape: with 5 % of slack and two tails of 0.3 m it is cut to 5.05 m; no hole is filled by it."""
    plan = plan_of({"taped": 4.2}, slack=5.0)
    run = plan.runs[0]
    assert (run.measured, run.openings, [leg.kind for leg in run.legs]) == ("taped", (), ["taped"])
    assert (run.sharp_m, run.taut_m, run.rounded_m) == (4.2, 4.2, 4.2)
    assert run.slack_m == pytest.approx(0.21)
    assert run.one_way_m == pytest.approx(4.41)
    assert run.cut_m == pytest.approx(5.05)
    assert run.straight_m == pytest.approx(2.2, abs=1e-3)
    assert not any(opening.runs for opening in plan.openings)
    assert run.legs[0].ambient_c == 60.0, "in the hottest air of the shell, for nobody said where it lies"
    assert [(one.measurement, one.metres) for one in run.errors] == [("tape of run C", 0.02)]
    assert run.short_chance == 0.0
    said = next(one for one in plan.findings if one.code == "taped-run")
    assert said.about == "C"
    assert "fill no opening" in said.message
    assert errors(plan) == []


def test_the_drop_follows_from_the_tape() -> None:
    """Twice the cut length, twice the drop: 9.6 m by tape and two tails are twice 4.5 m and two tails."""
    short, long = plan_of({"taped": 4.5, "cable": "2x6"}).runs[0], plan_of({"taped": 9.6, "cable": "2x6"}).runs[0]
    tails = short.tail_a_m + short.tail_b_m
    assert short.cut_m == pytest.approx(4.5 + tails, abs=0.05)
    assert long.drop_v / short.drop_v == pytest.approx(long.cut_m / short.cut_m, rel=1e-3)
    assert plan_of({"taped": 30.0}).runs[0].conductor_area_mm2 > short.conductor_area_mm2 / 6


def test_a_taped_run_in_the_engine_space() -> None:
    """33 CFR 183.425 note 1: 50 C in an engine space; of a conductor for 105 C sqrt(55 / 75) of its ampacity is left."""
    plan = plan_of({"taped": 4.2, "surroundings": "engine space"})
    run = plan.runs[0]
    assert (run.legs[0].zone, run.legs[0].ambient_c) == ("engine space", 50.0)
    insulation = next(one.insulation_c for one in plan.cables if one.id == run.cable)
    assert run.ambient_factor == pytest.approx(((insulation - 50) / (insulation - 30)) ** 0.5, abs=1e-4)
    assert plan.rules.ambient_outside_c == {"engine space": 50.0}
    assert errors(plan) == []


def test_a_tape_shorter_than_the_straight_line() -> None:
    with pytest.raises(RouterFaults) as faults:
        plan_of({"taped": 2.1})
    assert "runs / item 1 / taped" in str(faults.value)
    assert "2.100 m, but a and b are 2.200 m apart" in str(faults.value)


def test_one_way_of_measuring_a_run() -> None:
    for run, words in (
        ({"taped": 4.0, "by_hand": ["L1a"]}, "give one of by_hand, taped"),
        ({"by_hand": ["L1a"], "avoid": ["L1b"]}, "give one of by_hand, avoid"),
        ({"surroundings": "cab"}, "for a taped run"),
        ({"taped": 0.0}, "a taped run has a length"),
    ):
        with pytest.raises(ValidationError, match=words):
            plan_of(run)


def test_via_and_avoid_still_go_together() -> None:
    assert plan_of({"via": ["L1b"], "avoid": ["L2a"]}).runs[0].openings == ("L1b", "L2b")
