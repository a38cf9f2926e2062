"""Furniture: square lengths between its entries, room that all ways share, and devices that stand in it."""

from __future__ import annotations

from typing import Any

import pytest
from plain_shells import HALF_WIDTH, Bar, on_wall, plain_shell, project
from pydantic import ValidationError

from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_on
from ribway.router.space.build import build_space
from ribway.router.space.types import Way
from samples.spoilt.changes import change, leg, take

LAY = 0.0275
SHELL = plain_shell(3.0, 1.6, [Bar(1.0, ()), Bar(2.0, ())])
PLACES: dict[str, dict[str, Any]] = {"a": on_wall(0.5, 0.3), "b": on_wall(1.5, 0.3)}
GALLEY = {
    "name": "galley",
    "corner": {"x": -0.6, "y": HALF_WIDTH - 0.06, "z": 0.1},
    "opposite": {"x": -2.6, "y": 0.3, "z": 0.9},
    "entries": [
        {"name": "front", "at": on_wall(0.7, 0.3), "bore": 0.03},
        {"name": "middle", "at": on_wall(1.5, 0.5), "bore": 0.03},
        {"name": "top", "at": {"x": -1.4, "y": 0.7, "z": 0.9}, "bore": 0.02},
    ],
}


def space_ways(furniture: dict[str, Any], more: dict[str, Any] | None = None) -> dict[str, Way]:
    places = {**PLACES, **(more or {})}
    circuit = [{"id": "C", "name": "C", "from": "a", "to": ["b"]}]
    space = build_space(project(places, circuit, None, {"furniture": [furniture]}), SHELL)
    return {way.name: way for way in space.ways}


def plan_of(
    furniture: dict[str, Any], places: dict[str, Any] | None = None, to: tuple[str, ...] = ("b",), **circuit: Any
) -> Plan:
    wanted = [{"id": f"to-{name}", "name": name, "from": "a", "to": [name], "cable": "2x2.5", **circuit} for name in to]
    devices: dict[str, dict[str, Any]] = {"a": {"kind": "source"}, **{name: {"amps": 1.0} for name in to}}
    return plan_on(project({**PLACES, **(places or {})}, wanted, None, {"furniture": [furniture]}, devices), SHELL)


def errors(plan: Plan) -> list[tuple[str, str]]:
    return [(one.code, one.about) for one in audit_plan(plan) if one.level == "error"]


def test_every_two_entries_are_a_square_way() -> None:
    found = space_ways(GALLEY)
    assert [name for name, way in found.items() if way.kind == "furniture"] == [
        "galley front-middle", "galley front-top", "galley middle-top",
    ]  # fmt: skip
    way = found["galley front-middle"]
    assert way.closed == ""
    # From the cable's depth at the wall 32.5 mm out to the box, where ribs are cleared, 0.8 m along and 0.2 m up.
    assert way.length_m == pytest.approx(2 * (0.06 - LAY) + 0.8 + 0.2)
    assert found["galley front-top"].length_m >= 0.7 + (HALF_WIDTH - LAY - 0.7) + 0.6
    assert way.shares == ("galley front", "galley middle")
    assert found["galley front"].room_only
    assert found["galley front-top"].bore_m == 0.02, "the smaller of the two"


def test_a_run_through_furniture() -> None:
    """The ribs have no holes: what crosses L1 goes through the galley, in at the front and out at the middle."""
    raised = {**GALLEY, "entries": [{**one, "at": {**one["at"], "stand_off": 0.1}} for one in GALLEY["entries"][:2]]}
    plan = plan_of(raised)
    run = plan.runs[0]
    assert run.openings == ("galley front-middle",)
    inside = 2 * (0.1 - LAY) + 0.8 + 0.2
    assert take(plan, "runs", "to-b").sharp_m == pytest.approx(0.2 + inside + 0.2, abs=1e-3)
    assert [one.kind for one in run.legs if one.kind != "stub"] == ["bay", "furniture", "bay"]
    for name in ("galley front", "galley middle", "galley front-middle"):
        assert take(plan, "ways", name).runs == ("to-b",)
        assert take(plan, "ways", name).furniture == "galley"
    assert take(plan, "ways", "galley front").kind == "entry"
    assert errors(plan) == []
    said = next(one for one in plan.findings if one.code == "in-furniture")
    assert said.about == "galley"
    assert "stored" in said.message


def test_entries_are_shared_by_all_ways_that_use_them() -> None:
    """One 2x2.5 fills 14 mm to more than a fifth: of two runs that part inside, only one gets through the front."""
    narrow = {
        **GALLEY,
        "entries": [
            {"name": "front", "at": {**on_wall(0.7, 0.3), "stand_off": 0.1}, "bore": 0.014},
            {"name": "middle", "at": {**on_wall(1.5, 0.5), "stand_off": 0.1}, "bore": 0.03},
            {"name": "rear", "at": {**on_wall(2.2, 0.5), "stand_off": 0.1}, "bore": 0.03},
        ],
    }
    places = {"c": on_wall(2.5, 0.3)}
    one = plan_of(narrow, places, ("b",))
    fill = take(one, "ways", "galley front").fill_percent
    assert 20.0 < fill <= 40.0
    both = plan_of(narrow, places, ("b", "c"))
    assert len(both.runs) == 1
    assert not both.complete
    dead = next(one for one in both.findings if one.level == "error")
    assert "galley front" in dead.message
    wide = {**narrow, "entries": [{**entry, "bore": 0.03} for entry in narrow["entries"]]}
    plan = plan_of(wide, places, ("b", "c"))
    assert set(take(plan, "ways", "galley front").runs) == {"to-b", "to-c"}
    assert errors(plan) == []
    assert ("runs-in-opening", "galley front") in errors(change(plan, "ways", "galley front", runs=("to-b",)))
    assert ("fill", "galley front") in errors(change(plan, "ways", "galley front", fill_percent=1.0))
    place = next(index for index, one in enumerate(plan.runs[0].legs) if one.kind == "furniture")
    assert ("leg-short", "to-b") in errors(leg(plan, "to-b", place, sharp_m=0.3))
    straight = leg(
        plan, "to-b", place, points=plan.runs[0].legs[place].points[:: len(plan.runs[0].legs[place].points) - 1]
    )
    assert ("off-opening", "to-b") in errors(straight), "a leg that cuts the corners is not on the way's line"
    assert ("not-square", "to-b") in errors(leg(straight, "to-b", place, sharp_m=0.85))


def test_a_device_in_it_leaves_by_an_entry() -> None:
    """A pump 0.5 m into the room: from the wall to the entry, then |dx| + |dy| + |dz|."""
    pump = {"pump": {"x": -1.2, "y": 0.4, "z": 0.2}}
    front = {**GALLEY, "entries": GALLEY["entries"][:1], "devices": ["pump"]}
    plan = plan_of(front, pump, ("pump",))
    run = plan.runs[0]
    assert run.openings == ("galley front-pump",)
    assert run.legs[-1].kind == "furniture"
    assert run.sharp_m == pytest.approx(0.2 + 0.5 + (HALF_WIDTH - LAY - 0.4) + 0.1, abs=1e-3)
    assert take(plan, "ways", "galley front").runs == ("to-pump",)
    assert errors(plan) == []


def test_two_devices_in_it() -> None:
    """Both inside: the cable between them never leaves, and fills no entry."""
    inside = {"pump": {"x": -1.2, "y": 0.4, "z": 0.2}, "tank": {"x": -2.0, "y": 0.6, "z": 0.5}}
    both = {**GALLEY, "entries": GALLEY["entries"][:1], "devices": ["pump", "tank"]}
    places = {**PLACES, **inside}
    wanted = [{"id": "C", "name": "C", "from": "pump", "to": ["tank"]}]
    devices: dict[str, dict[str, Any]] = {"pump": {"kind": "source"}, "tank": {"amps": 1.0}}
    plan = plan_on(project(places, wanted, None, {"furniture": [both]}, devices), SHELL)
    assert plan.runs[0].openings == ("galley pump-tank",)
    assert plan.runs[0].sharp_m == pytest.approx(0.8 + 0.2 + 0.3, abs=1e-3)
    assert take(plan, "ways", "galley front").runs == ()
    assert errors(plan) == []


def test_keep_outs_hold_in_furniture() -> None:
    """A region on the wall shuts a way that lies against it, and not one that keeps a hand's breadth off."""
    gas = {
        "name": "gas", "why": "gas locker", "corner": {"wall": "left", "back": 1.05, "up": 0.0},
        "opposite": {"wall": "left", "back": 1.3, "up": 1.6},
    }  # fmt: skip
    for off, closed in ((0.1, "in keep-out gas"), (0.25, "")):
        entries = [{**one, "at": {**one["at"], "stand_off": off}} for one in GALLEY["entries"][:2]]
        wanted = project(PLACES, [{"id": "C", "name": "C", "from": "a", "to": ["b"]}], None,
                         {"furniture": [{**GALLEY, "entries": entries}], "keep_outs": [gas]})  # fmt: skip
        way = next(one for one in build_space(wanted, SHELL).ways if one.kind == "furniture")
        assert way.closed == closed


def test_faults() -> None:
    far = {"name": "far", "at": on_wall(2.9, 0.3), "bore": 0.02}
    for furniture, more, words in (
        ({"entries": [*GALLEY["entries"], far]}, None, "entries / far / at: that is 0.3"),
        ({"devices": ["pump"]}, None, "there is no device pump"),
        ({"devices": ["pump"]}, {"pump": {"x": -0.2, "y": 0.4, "z": 0.2}}, "devices / pump / at: that is 0.40 m off"),
    ):
        with pytest.raises(RouterFaults, match=words):
            space_ways({**GALLEY, **furniture}, more)


def test_what_a_piece_of_furniture_needs() -> None:
    for changed, words in (
        ({"corner": on_wall(0.6, 0.1)}, "given by x, y, z"),
        ({"entries": GALLEY["entries"][:1]}, "needs two entries"),
        ({"entries": [GALLEY["entries"][0], GALLEY["entries"][0]]}, "two entries are called front"),
    ):
        with pytest.raises(ValidationError, match=words):
            space_ways({**GALLEY, **changed})
