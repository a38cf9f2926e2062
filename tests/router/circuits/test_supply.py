"""What switches a device's power, followed from the source outwards, and colours in a plan."""

from __future__ import annotations

from typing import Any

import pytest
import small_vans
from plain_shells import on_roof, on_wall, project

from ribway.models.project import Project
from ribway.router.circuits.patterns import arranged
from ribway.router.circuits.supply import Misfit, supplies_of
from ribway.router.planner import plan_on
from ribway.sheets.circuits_list import pattern_text


def van(circuits: list[dict[str, Any]] | None = None, shop: dict[str, Any] | None = None, **said: Any) -> Project:
    """A battery, an isolator before the board, a second board on the ignition, an alarm, a lamp, mains."""
    places = {
        "battery": on_wall(0.2, 0.3, 0.06),
        "isolator": on_wall(0.3, 0.5, 0.06),
        "board": on_wall(0.4, 0.7, 0.06),
        "alarm": on_roof(0.8, 0.3, 0.06),
        "lamp": on_roof(1.6, 0.1, 0.06),
        "inlet": on_wall(2.6, 0.3, 0.06),
        "socket": on_wall(2.7, 0.9, 0.06),
    }
    devices: dict[str, dict[str, Any]] = {
        "battery": {"kind": "source"},
        "isolator": {"kind": "switch"},
        "board": {"kind": "board"},
        "alarm": {"amps": 0.1},
        "lamp": {"amps": 1.0},
        "inlet": {"kind": "source"},
        "socket": {"kind": "outlet", "amps": 3.0},
    }
    devices = {name: {**values, **said.get(name, {})} for name, values in devices.items()}
    main = {"id": "main", "name": "Main", "from": "battery", "to": ["isolator", "board"], "pattern": "chain"}
    usual: list[dict[str, Any]] = [
        {"id": "A", "name": "Alarm", "from": "board", "to": ["alarm"]},
        {"id": "L", "name": "Lamp", "from": "board", "to": ["lamp"]},
        {"id": "M", "name": "Mains", "from": "inlet", "to": ["socket"], "kind": "ac"},
    ]
    return arranged(project(places, [main, *(circuits or usual)], {"spare": "none", **(shop or {})}, devices=devices))


def test_behind_an_isolator_all_is_on_the_main_switch() -> None:
    found = supplies_of(van())
    assert found.circuits == {"main": "always", "A": "main switch", "L": "main switch", "M": "always"}
    assert found.misfits == ()


def test_an_alarm_behind_the_isolator_is_found() -> None:
    found = supplies_of(van(alarm={"supply": "always"}))
    assert found.misfits == (Misfit("alarm", "always", "main switch", "board", "A"),)


def test_an_alarm_before_the_isolator_is_right() -> None:
    circuits = [{"id": "A", "name": "Alarm", "from": "battery", "to": ["alarm"]}]
    found = supplies_of(van(circuits, alarm={"supply": "always"}))
    assert (found.circuits["A"], found.misfits) == ("always", ())


@pytest.mark.parametrize("wants", ["always", "ignition", "load shed", "solar"])
def test_a_board_passes_on_its_class(wants: str) -> None:
    found = supplies_of(van(board={"supply": "ignition"}, lamp={"supply": wants}))
    assert found.circuits["A"] == "ignition"
    assert [misfit.about for misfit in found.misfits] == ([] if wants == "ignition" else ["lamp"])


def test_a_circuit_of_another_class_than_its_board_is_found_once() -> None:
    circuits = [{"id": "L", "name": "Lamp", "from": "board", "to": ["lamp"], "supply": "load shed"}]
    found = supplies_of(van(circuits, lamp={"supply": "always"}))
    assert [(misfit.about, misfit.wants) for misfit in found.misfits] == [("L", "load shed")]


def test_the_plan_says_it() -> None:
    plan = plan_on(van(alarm={"supply": "always"}), small_vans.shell())
    assert {circuit.id: circuit.supply for circuit in plan.circuits}["L"] == "main switch"
    alarm = next(circuit for circuit in plan.circuits if circuit.id == "A")
    assert (alarm.supply, alarm.supply_given) == ("always", "main switch")
    assert pattern_text(alarm) == "home run\nalways, but fed by: main switch"
    (finding,) = [one for one in plan.findings if one.code == "other-supply"]
    assert (finding.about, finding.level) == ("alarm", "warning")
    assert [one for one in plan.findings if one.code == "colour-means-two"] == []


def test_black_for_two_things_is_said() -> None:
    """DC negative black beside AC line black, as ABYC E-11 has them: its other choice, yellow, avoids it."""
    for dc, expected in (("red and black", ["black"]), ("red and yellow", [])):
        shop = {"dc_colours": dc, "ac_colours": "black and white"}
        plan = plan_on(van(shop=shop), small_vans.shell())
        assert [one.about for one in plan.findings if one.code == "colour-means-two"] == expected
        mains = next(run for run in plan.runs if run.kind == "ac")
        assert mains.wire_colours == ("black", "white", "green")
        assert next(run for run in plan.runs if run.circuit == "L").wire_colours == tuple(dc.split(" and "))
