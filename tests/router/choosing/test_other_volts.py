"""Another system voltage: power stays, amps follow Ohm, and what was stated for the old voltage is told."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from plain_shells import on_wall, project

from ribway.models.project import Project
from ribway.models.reading import read_project
from ribway.router.choosing.other_volts import at_volts
from ribway.router.circuits.runs import derive

PLACES = {"battery": on_wall(0.3, 0.4), "pump": on_wall(1.6, 0.4), "fan": on_wall(1.6, 0.8), "stove": on_wall(1.6, 1.0)}
DEVICES: dict[str, dict[str, Any]] = {
    "battery": {"kind": "source"},
    "pump": {"amps": 6.0, "start_amps": 10.0, "cut_out_volts": 10.4},
    "fan": {"watts": 36.0, "load": "constant power"},
    "stove": {"watts": 24.0, "load": "resistance"},
}


def van(**more: Any) -> Project:
    circuits = [{"id": "P", "name": "P", "from": "battery", "to": ["pump", "fan", "stove"], **more}]
    return project(PLACES, circuits, devices=DEVICES)


@pytest.mark.parametrize("volts", [24.0, 48.0])
def test_power_stays_and_amps_follow(volts: float) -> None:
    before = {run.b: run for run in derive(van())[0]}
    after = {run.b: run for run in derive(at_volts(van(), volts).project)[0]}
    for name in ("pump", "fan", "stove"):
        assert after[name].amps * volts == pytest.approx(before[name].amps * 12.0)  # P = U I
    assert after["pump"].start_amps * volts == pytest.approx(10.0 * 12.0)


def test_what_was_stated_for_the_old_voltage_is_told() -> None:
    found = at_volts(van(fuse=15.0, least="2x4"), 24.0)
    told = " | ".join(found.notes)
    assert "pump: stated in amps, for 12 V: taken to need the same power at 24 V" in told
    assert "fan" not in told.split("cut-out")[0], "constant power scales by itself"
    assert "stove: a resistance: the 24 V kind of the same watts is needed" in told
    assert "battery: has to give 24 V" in told
    assert "P: stated fuses are for 12 V; chosen anew" in told
    assert "P: stated cable or least size kept" in told
    (circuit,) = found.project.circuits
    assert circuit.fuse is None
    pump = next(one for one in found.project.devices if one.id == "pump")
    assert pump.cut_out_volts == pytest.approx(20.8)


def test_a_circuit_that_states_the_vans_own_voltage_follows_it() -> None:
    """Its board has one voltage: 12 V said beside the 12 V of the van is no voltage of its own."""
    found = at_volts(van(volts=12.0), 24.0)
    assert [one.volts for one in found.project.circuits] == [None]
    assert not any("own voltage kept" in note for note in found.notes)


def test_circuits_of_their_own_voltage_stay() -> None:
    demo = read_project(Path(__file__).parents[3] / "docs" / "demo" / "survey-van" / "project.yaml")
    found = at_volts(demo, 24.0)
    assert next(one for one in found.project.circuits if one.id == "M6").volts == 18.0
    assert any("M6 18 V: own voltage kept" in note for note in found.notes)
    ac = [one.id for one in demo.circuits if one.kind == "ac"]
    assert [one for one in found.project.circuits if one.id in ac] == [one for one in demo.circuits if one.id in ac]
