"""Vans that are put together in unusual ways: planned to the end, sound by the audit, their bounds below their copper."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from ribway.models.plan.plan import Plan
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_text
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_project


def place(wall: str, back: float, **more: float) -> dict[str, Any]:
    return {"wall": wall, "back": f"{back} m", **{key: f"{value} m" for key, value in more.items()}}


BATTERY = {"id": "battery", "name": "Battery", "kind": "source", "at": place("left", 1.38, up=0.66)}
BOARD = {"id": "board", "name": "Board", "kind": "board", "at": place("left", 1.04, up=0.9)}
MAIN = {"id": "M", "name": "Main", "from": "battery", "to": ["board"]}


def planned(devices: list[dict[str, Any]], circuits: list[dict[str, Any]], **more: Any) -> Plan:
    data = {"ribway": 1, "name": "Odd", "vehicle": {"preset": "medium-high"}, "devices": devices, "circuits": circuits}
    return plan_project(check_text(yaml.safe_dump({**data, **more}), "odd.yaml", Path()).base, Path())


def test_a_shared_negative_in_hot_air_is_bounded_by_the_fuses_that_it_serves() -> None:
    """25 A and 1 A fuses let 26 A through the negative; one fuse for the 20.2 A of both would be of 30 A, which its wire in the
    roof's air does not stand. The bound must not forbid what the plan does."""
    things = [
        {"id": "fan", "name": "Fan", "at": {"wall": "bulkhead", "up": "1.2 m", "left": "0.06 m"}, "amps": "20 A"},
        {"id": "panel", "name": "Panel", "at": place("roof", 1.29, left=0.51), "amps": "0.2 A"},
    ]
    says = {"return": "shared", "group": "front"}
    circuits = [
        MAIN,
        {"id": "F", "name": "Fan", "from": "board", "to": ["fan"], "drop": "8 %", **says},
        {"id": "P", "name": "Panel", "from": "board", "to": ["panel"], "drop": "8 %", **says},
    ]
    plan = planned([BATTERY, BOARD, *things], circuits)
    assert {circuit.id: circuit.fuse_a for circuit in plan.circuits if circuit.id in "FP"} == {"F": 25.0, "P": 1.0}
    assert any(leg.zone == "roof" for run in plan.runs if run.circuit == "front.negative" for leg in run.legs)
    assert plan.complete
    assert plan.bound is not None
    assert 0.0 < plan.bound.copper_kg <= plan.bound.same_cables_kg <= plan.bound.planned_kg


def test_what_hangs_on_a_main_cable_without_a_route_has_no_volts() -> None:
    """The pump's current comes back through the body to the battery, and the board that feeds it is not joined to that."""
    things = [
        {"id": "pump", "name": "Pump", "at": place("left", 2.4, up=0.5), "amps": "2 A"},
        {
            "id": "earth",
            "name": "Earth",
            "kind": "earth point",
            "allowed_by_maker": True,
            "at": place("left", 2.2, up=0.9),
        },
    ]
    circuits = [
        MAIN,
        {"id": "P", "name": "Pump", "from": "board", "to": ["pump"], "return": "chassis"},
        {"id": "B", "name": "Bond", "from": "battery", "to": ["earth"], "pattern": "bond"},
    ]
    whole = planned([BATTERY, BOARD, *things], circuits)
    runs = [{"circuit": "M", "from": "battery", "to": "board", "via": ["L3b"]}]
    shut = {"preset": "medium-high", "openings": [{"name": "L3b", "state": "blocked"}]}
    plan = planned([BATTERY, BOARD, *things], circuits, runs=runs, vehicle=shut)
    volts = [{one.id: one.lowest_v for one in each.devices}["pump"] for each in (whole, plan)]
    assert volts[0] == pytest.approx(12.0, abs=0.6)
    assert volts[1] is None
    assert not plan.complete


def test_a_chain_with_a_piece_led_elsewhere_is_tried_without_it() -> None:
    """What would free the first cable is looked for with that left out: a slot is not bored."""
    things = [
        {"id": f"lamp-{at}", "name": f"Lamp {at}", "at": place("roof", back), "amps": "15 A"}
        for at, back in ((1, 1.6), (2, 2.0))
    ]
    circuits = [
        MAIN,
        {
            "id": "L",
            "name": "Lamps",
            "from": "board",
            "to": ["lamp-1", "lamp-2"],
            "pattern": "chain",
            "order": "as listed",
        },
    ]
    runs = [{"circuit": "L", "from": "board", "to": "lamp-1", "via": ["B4b"]}]
    shut = {"preset": "medium-high", "openings": [{"name": "B4b", "taken": "20 mm", "state": "measured"}]}
    plan = planned([BATTERY, BOARD, *things], circuits, runs=runs, vehicle=shut)
    (dead,) = [one for one in plan.findings if one.message.startswith("no route ") and one.about == "L-1"]
    assert "B4b" in dead.message
    assert not plan.complete


@pytest.mark.parametrize("depth", ["1 mm", "27 mm"])
def test_no_arc_of_a_cable_over_a_bow_reaches_into_the_bow(depth: str) -> None:
    """A cable that lies near the roof climbs far to pass over a bow; the audit holds its centreline against the metal."""
    lamp = {"id": "lamp", "name": "Lamp", "at": place("roof", 2.4), "amps": "15 A"}
    circuits = [MAIN, {"id": "L", "name": "Lamp", "from": "board", "to": ["lamp"]}]
    vehicle = {"preset": "medium-high", "lining": {"roof": "14 mm"}}
    runs = [{"circuit": "L", "from": "board", "to": "lamp", "via": ["B4-over-1"]}]
    plan = planned([BATTERY, BOARD, lamp], circuits, vehicle=vehicle, runs=runs, shop={"lay_depth": depth})
    assert plan.complete
    (run,) = [one for one in plan.runs if one.circuit == "L"]
    assert "B4-over-1" in [leg.name for leg in run.legs]


def test_a_cable_can_not_lie_in_the_metal() -> None:
    with pytest.raises(ProjectFaults, match=r"lay_depth.*0 m makes no sense here: accepted are 0\.001 to 0\.3 m"):
        planned([BATTERY, BOARD], [MAIN], shop={"lay_depth": "0 mm"})


def test_what_is_fixed_on_a_board_beyond_the_bulkhead_is_refused() -> None:
    """From its lower left corner 0.48 m back the board reaches forward: 0.49 m across is the other side of the bulkhead."""
    panel = {"id": "panel", "name": "Panel", "kind": "mounting board", "width": "0.6 m", "height": "0.4 m"}
    panel["at"] = place("left", 0.48, up=0.35)
    board = {**BOARD, "at": {"on": "panel", "across": "0.49 m", "up": "0.17 m"}}
    with pytest.raises(RouterFaults, match=r"devices / board / at: no cable gets off the board panel from there"):
        planned([BATTERY, board, panel], [MAIN])
    board = {**BOARD, "at": {"on": "panel", "across": "0.2 m", "up": "0.17 m"}}
    assert planned([BATTERY, board, panel], [MAIN]).complete
