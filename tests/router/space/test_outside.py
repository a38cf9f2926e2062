"""Taped stretches outside the model: their length is the tape's, their air what lies round them, their line a sketch."""

from __future__ import annotations

from typing import Any

import pytest
from plain_shells import HALF_WIDTH, Bar, Hole, on_wall, plain_shell, project
from pydantic import ValidationError

from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_on
from samples.spoilt.changes import change, leg, rules, take

LAY = 0.0275
SHELL = plain_shell(3.0, 1.6, [Bar(1.0, ()), Bar(2.0, (Hole(0.3),))])
PLACES: dict[str, dict[str, Any]] = {"a": on_wall(0.5, 0.3), "b": on_wall(1.5, 0.3)}
ROUND = {
    "name": "below", "kind": "outside", "bore": 0.02, "taped": 1.9, "surroundings": "under floor",
    "ends": [{"wall": "left", "back": 0.7, "up": 0.1}, {"wall": "left", "back": 1.3, "up": 0.1}],
}  # fmt: skip
ENGINE = {
    "name": "X", "kind": "outside", "bore": 0.03, "taped": 1.8, "surroundings": "engine space", "device": "starter",
    "ends": [{"wall": "left", "back": 0.3, "up": 0.2}],
}  # fmt: skip
STARTER = {"starter": {"outside": "engine space"}}


def plan_of(ways: list[dict[str, Any]], more: dict[str, dict[str, Any]] | None = None, **circuit: Any) -> Plan:
    wanted = [{"id": "C", "name": "C", "from": "a", "to": ["b"], **circuit}]
    devices: dict[str, dict[str, Any]] = {"a": {"kind": "source"}, "b": {"amps": 4.0}}
    if more:
        devices["starter"] = {"kind": "source"}
    return plan_on(project({**PLACES, **(more or {})}, wanted, None, {"ways": ways}, devices), SHELL)


def errors(plan: Plan) -> list[tuple[str, str]]:
    return [(one.code, one.about) for one in audit_plan(plan) if one.level == "error"]


def test_round_a_member_that_has_no_hole() -> None:
    """0.2 and 0.2 m of wall on either side, and 1.9 m that the tape says between: the sketch of 0.6 m counts for nothing."""
    assert not plan_of([]).complete
    plan = plan_of([ROUND])
    run = plan.runs[0]
    assert (run.openings, run.measured) == (("below",), "computed")
    assert run.sharp_m == pytest.approx(2 * (0.2 + 0.2) + 1.9, abs=1e-3)
    assert run.straight_m <= run.taut_m <= run.sharp_m + 2e-4
    assert run.rounded_m <= run.sharp_m
    assert run.rounded_m > 1.9 + 0.5
    way = take(plan, "ways", "below")
    assert (way.taped_m, way.surroundings, way.runs) == (1.9, "under floor", ("C",))
    assert errors(plan) == []
    said = next(one for one in plan.findings if one.code == "outside-model")
    assert (said.about, said.level) == ("below", "warning")
    assert "fuse at the source" in said.remedy


def test_a_device_outside_the_model() -> None:
    """From a starter battery in the engine space: 1.8 m by tape, then 1.2 m along the wall and 0.1 m up."""
    wanted = {"from": "starter", "to": ["a"], "load_can_feed": True}
    plan = plan_of([ENGINE], STARTER, **wanted)
    run = plan.runs[0]
    assert run.openings == ("X",)
    assert run.legs[0].kind == "outside"
    assert run.sharp_m == pytest.approx(1.8 + 0.2 + 0.1, abs=1e-3)
    assert (run.legs[0].zone, run.legs[0].ambient_c) == ("engine space", 50.0)
    device = take(plan, "devices", "starter")
    assert device.wall == "engine space"
    assert device.zone == "engine space"
    assert device.point[1] > HALF_WIDTH, "it is drawn beyond the skin"
    assert errors(plan) == []
    back = plan_of([ENGINE], STARTER, **{"from": "a", "to": ["starter"], "load_can_feed": True}).runs[0]
    assert back.sharp_m == pytest.approx(run.sharp_m)
    assert back.legs[-1].kind == "outside"


def test_the_heat_outside_derates() -> None:
    """33 CFR 183.425 note 1: 50 C in the engine space leaves sqrt((Tc - 50) / (Tc - 30)) of the ampacity."""
    plan = plan_of([ENGINE], STARTER, **{"from": "starter", "to": ["a"], "load_can_feed": True})
    run = plan.runs[0]
    insulation = next(one.insulation_c for one in plan.cables if one.id == run.cable)
    assert run.ambient_factor == pytest.approx(((insulation - 50) / (insulation - 30)) ** 0.5, abs=1e-4)
    cool = plan_of(
        [{**ENGINE, "surroundings": "under floor"}], STARTER, **{"from": "starter", "to": ["a"]}, load_can_feed=True
    )
    assert cool.runs[0].ambient_factor > run.ambient_factor


def test_its_hole_fills() -> None:
    """Two singles of 16 mm2 take more than 40 % of a 16 mm hole."""
    mains = {"from": "starter", "to": ["a"], "cable": "1x16", "load_can_feed": True}
    assert plan_of([ENGINE], STARTER, **mains).complete
    plan = plan_of([{**ENGINE, "bore": 0.016}], STARTER, **mains)
    assert not plan.complete
    assert any("X" in one.message for one in plan.findings if one.level == "error")


def test_a_plan_that_makes_it_cooler_or_shorter() -> None:
    plan = plan_of([ROUND])
    place = next(index for index, one in enumerate(plan.runs[0].legs) if one.kind == "outside")
    assert ("ambient", "C") in errors(leg(plan, "C", place, ambient_c=20.0))
    assert ("ambient", "C") in errors(leg(plan, "C", place, zone="cab"))
    assert ("ambient", "C") in errors(change(plan, "ways", "below", surroundings="engine space"))
    assert ("ambient", "C") in errors(rules(plan, ambient_outside_c={}))
    assert ("leg-short", "C") in errors(leg(plan, "C", place, sharp_m=0.5))
    assert ("taped-short", "C") in errors(leg(plan, "C", place, sharp_m=1.7))
    assert ("centreline", "C") in errors(change(plan, "runs", "C", rounded_m=plan.runs[0].rounded_m - 1.0))
    assert ("no-length", "below") in errors(change(plan, "ways", "below", taped_m=None))


def test_only_the_sketch_may_cross_metal() -> None:
    """The sketch lies in the rib; the same line as a duct's is refused."""
    plan = plan_of([ROUND])
    place = next(index for index, one in enumerate(plan.runs[0].legs) if one.kind == "outside")
    assert ("through-metal", "C") in errors(leg(plan, "C", place, kind="duct"))
    line = plan.runs[0].centreline
    beside = tuple((-1.0 + dx, HALF_WIDTH - LAY, 0.12) for dx in (0.04, -0.04))
    bent = (*line[: len(line) // 2], *beside, *line[len(line) // 2 :])
    assert ("through-metal", "C") in errors(change(plan, "runs", "C", centreline=bent))


def test_faults() -> None:
    for ways, more, words in (
        ([{**ROUND, "taped": 0.5}], None, "0.500 m, but its ends are 0.600 m apart"),
        ([{**ROUND, "ends": [{"wall": "left", "back": 1.0, "up": 0.1}, ROUND["ends"][1]]}], None, "ends 1: there is no open"),
        ([{**ENGINE, "device": "b"}], None, "b stands in the model"),
        ([{**ENGINE, "device": "dynamo"}], STARTER, "there is no device dynamo; one of starter"),
        ([], STARTER, "no way leads to it"),
    ):  # fmt: skip
        with pytest.raises(RouterFaults, match=words):
            plan_of(ways, more)


def test_what_a_stretch_outside_needs_and_takes() -> None:
    for changed, words in (
        ({"surroundings": None}, "needs surroundings"),
        ({"gap": 0.02}, "takes no gap"),
        ({"device": "b"}, "has two ends"),
        ({"surroundings": "in a tree"}, "engine space"),
    ):
        with pytest.raises(ValidationError, match=words):
            plan_of([{**ROUND, **changed}])


def test_the_first_bay_by_hand() -> None:
    """A run by hand may begin at a device outside."""
    devices: dict[str, dict[str, Any]] = {"a": {"kind": "source"}, "b": {"amps": 4.0}, "starter": {"kind": "source"}}
    circuit = [{"id": "C", "name": "C", "from": "starter", "to": ["b"]}]
    for named, words in (
        (["X", "below"], ""),
        (["below"], "below can't follow starter"),
        (["X"], "after X one comes to"),
    ):
        runs = [{"circuit": "C", "from": "starter", "to": "b", "by_hand": named}]
        wanted = project({**PLACES, **STARTER}, circuit, None, {"ways": [ENGINE, ROUND]}, devices, runs)
        if words:
            with pytest.raises(RouterFaults, match=words):
                plan_on(wanted, SHELL)
        else:
            assert plan_on(wanted, SHELL).runs[0].openings == ("X", "below")
