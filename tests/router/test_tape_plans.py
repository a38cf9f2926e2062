"""Projects on a van by tape, planned from end to end: alone, with airbags, from a finished floor, and with faults."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.reading import check_data
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_project
from samples.small_lab import SMALL

# The small lab's van as ten lines, so that the tape and the preset are the same van.
TEN_LINES: dict[str, Any] = {
    "length": "1.70 m",
    "floor_width": "1.80 m",
    "waist_width": "1.84 m",
    "waist_height": "1.02 m",
    "roof_edge_width": "1.60 m",
    "roof_edge_height": "1.62 m",
    "centre_height": "1.92 m",
    "ribs_left": "0.40 0.84 1.30 m",
    "ribs_right": "same as left",
    "without": ["side_door", "wheel_arch"],
    "rib": {"depth": "55 mm", "face_width": "55 mm"},
}
FLOOR_M = 0.018
DOOR_BACKWARDS = {"without": ["wheel_arch"], "side_door": {"side": "right", "front": "1.2 m", "rear": "0.4 m"}}
WIDE_WINDOW = {"side": "left", "front": "0.5 m", "rear": "0.9 m", "bottom": "1.2 m", "top": "1.4 m"}


def taped(**lines: Any) -> dict[str, Any]:
    raw = copy.deepcopy(SMALL)
    raw["vehicle"] = {"tape": {**TEN_LINES, **lines}}
    return raw


def plan(raw: dict[str, Any]) -> Plan:
    return plan_project(check_data(raw).base, Path())


def lengths(one: Plan) -> dict[str, float]:
    return {run.id: run.sharp_m for run in one.runs}


def raised_by(raw: dict[str, Any], up_m: float) -> dict[str, Any]:
    """The same places, their heights counted from that far above the bare floor."""
    for device in raw["devices"]:
        if "up" in device["at"]:
            device["at"]["up"] = f"{float(device['at']['up'].split()[0]) - up_m:.4f} m"
    return raw


def beside_the_door(raw: dict[str, Any]) -> dict[str, Any]:
    """The fridge moved to where the preset has a wall, not its side door."""
    next(device for device in raw["devices"] if device["id"] == "fridge")["at"]["back"] = "2.00 m"
    return raw


@pytest.fixture(scope="module")
def preset_plan() -> Plan:
    raw = copy.deepcopy(SMALL)
    return plan(raw)


@pytest.fixture(scope="module")
def tape_plan() -> Plan:
    return plan(taped(curtain_airbags="no"))


def test_a_preset_alone_plans() -> None:
    raw = beside_the_door(copy.deepcopy(SMALL))
    raw["vehicle"] = {"preset": "short-high"}
    found = plan(raw)
    assert found.complete
    assert {opening.state for opening in found.openings} == {"assumed"}


def test_ten_lines_alone_plan_and_keep_off_the_roof_edge() -> None:
    """Whether there are curtain airbags was not said: the lamp's cable goes round by the bulkhead."""
    found = plan(taped())
    assert found.complete
    assert {keep_out.id for keep_out in found.keep_outs} == {"roof edge left", "roof edge right"}
    assert all("airbag, unknown" in keep_out.why for keep_out in found.keep_outs)
    used = {name for run in found.runs for name in run.openings}
    assert not [name for name in used if name[1] == "E"]
    assert [name for name in used if name.startswith("B0")]


def test_the_same_van_by_tape_and_by_preset_gives_the_same_plan(preset_plan: Plan, tape_plan: Plan) -> None:
    assert tape_plan.complete
    assert lengths(tape_plan) == pytest.approx(lengths(preset_plan), abs=1e-6)
    assert [run.openings for run in tape_plan.runs] == [run.openings for run in preset_plan.runs]


def test_airbags_that_are_there_are_said_to_be_there() -> None:
    found = plan(taped(curtain_airbags="yes"))
    assert {keep_out.why for keep_out in found.keep_outs} == {"curtain airbag"}


def test_hole_rows_decide_the_route_and_carry_their_state() -> None:
    rows = "L*: 25 mm at 300 mm\nR*: as left\nL2 at 300 mm: measured\nL3: none\nLW3: none\nLS3: none"
    found = plan(taped(curtain_airbags="no", holes=rows))
    assert found.complete
    openings = {opening.id: opening for opening in found.openings}
    assert openings["L2a"].state == "measured"
    assert openings["L1a"].state == "assumed"
    assert not [name for name in openings if name.startswith(("L3", "LW3", "LS3"))]
    radio = next(run for run in found.runs if run.circuit == "C3")
    assert not [name for name in radio.openings if name[:2] == "L3"]
    assert "LE3" in {name[:3] for name in radio.openings}, "the bay behind L3 can be reached over the roof alone"


def test_a_blocked_row_is_not_used_and_what_is_written_by_name_comes_first() -> None:
    raw = taped(curtain_airbags="no", holes="L2 at 480 mm: blocked\nL2 at 780 mm: taken 9 mm")
    raw["vehicle"]["openings"] = [{"name": "L2c", "taken": "12 mm"}]
    openings = {opening.id: opening for opening in plan(raw).openings}
    assert openings["L2b"].state == "blocked"
    assert openings["L2b"].runs == ()
    assert openings["L2c"].taken_mm == pytest.approx(12.0)


def test_heights_from_the_finished_floor_give_the_plan_of_the_bare_one(tape_plan: Plan) -> None:
    """Every height 18 mm less and the floor 18 mm thick: the same van, the same cables, heights as they were written."""
    less = {key: f"{float(TEN_LINES[key].split()[0]) - FLOOR_M:.4f} m" for key in TEN_LINES if key.endswith("height")}
    raw = taped(curtain_airbags="no", heights_from="finished floor", floor_thickness="18 mm", **less)
    found = plan(raised_by(raw, FLOOR_M))
    assert lengths(found) == pytest.approx(lengths(tape_plan), abs=1e-6)
    for one, other in zip(found.devices, tape_plan.devices, strict=True):
        assert one.point == pytest.approx(other.point, abs=1e-6)
        assert one.up_m == pytest.approx(other.up_m - FLOOR_M, abs=1.1e-4)
    for hole, same in zip(found.openings, tape_plan.openings, strict=True):
        assert hole.up_m == pytest.approx(same.up_m - FLOOR_M, abs=1.1e-4)
    assert "18 mm above the bare floor" in found.datum


@pytest.mark.parametrize("vehicle", [{"preset": "short-high"}, None])
def test_a_raised_datum_lifts_every_place_by_itself(vehicle: dict[str, Any] | None) -> None:
    raw = beside_the_door(copy.deepcopy(SMALL)) if vehicle is not None else copy.deepcopy(SMALL)
    shell = raw["vehicle"] if vehicle is None else vehicle
    raw["vehicle"] = {**shell, "datum": {"up": "18 mm"}}
    raw["vehicle"]["ways"] = [
        {"name": "tube", "kind": "duct", "bore": "30 mm", "path": [
            {"wall": "left", "back": "1.0 m", "up": "0.60 m", "stand_off": "80 mm"},
            {"x": "-1.10 m", "y": "0.80 m", "z": "0.60 m"}]},
    ]  # fmt: skip
    raw["vehicle"]["keep_outs"] = [
        {"name": "screw", "why": "screws", "corner": {"wall": "left", "back": "0.5 m", "up": "1.2 m"},
         "opposite": {"wall": "left", "back": "0.6 m", "up": "1.3 m"}},
    ]  # fmt: skip
    found = plan(raw)
    at = {device.id: device for device in found.devices}
    assert at["battery"].up_m == pytest.approx(0.3, abs=1e-9)
    assert at["battery"].point[2] == pytest.approx(0.3 + FLOOR_M, abs=1e-9)
    tube = next(way for way in found.ways if way.id == "tube")
    assert [point[2] for point in tube.line] == pytest.approx([0.618, 0.618], abs=1e-4)
    heights = [point[2] for keep_out in found.keep_outs for point in keep_out.outline]
    margin = 0.02
    assert min(heights) == pytest.approx(1.2 + FLOOR_M - margin, abs=0.003)
    assert max(heights) == pytest.approx(1.3 + FLOOR_M + margin, abs=0.003)


def test_a_fault_that_speaks_of_raised_heights_says_so() -> None:
    raw = taped(curtain_airbags="no", heights_from="finished floor", floor_thickness="18 mm")
    raw["devices"][0]["at"]["back"] = "1.69 m"
    raw["devices"][1]["at"]["up"] = "1.90 m"
    with pytest.raises(RouterFaults) as caught:
        plan(raw)
    assert len(caught.value.faults) == 1
    assert "up 1.918 m" in caught.value.faults[0].found
    assert "heights here are from the bare floor, 18 mm lower" in caught.value.faults[0].accepted


def test_devices_stand_on_the_lining() -> None:
    """Rib 55 mm and lining 9 mm: wires end 64 mm off the bare metal, unless the device says otherwise."""
    raw = taped(curtain_airbags="no", lining_thickness="9 mm")
    raw["devices"][1]["at"]["stand_off"] = "100 mm"
    found = {device.id: device for device in plan(raw).devices}
    assert found["lamp"].point[2] == pytest.approx(1.92 - 0.064, abs=1e-4)
    assert found["board"].stand_off_m == pytest.approx(0.100, abs=0.005)
    assert found["radio"].stand_off_m == pytest.approx(0.064, abs=0.015)


def test_faults_of_the_tape_come_all_at_once_with_their_places() -> None:
    raw = taped(
        waist_height="1.7 m", roof_edge_width="1.95 m", ribs_right="0.40 0.44 1.9 m",
        holes="L1: 60 mm at 420 mm\nL2: 25 mm at 1.8 m",
    )  # fmt: skip
    with pytest.raises(RouterFaults) as caught:
        plan(raw)
    found = [(fault.place.rsplit(" / ", 1)[1], fault.found) for fault in caught.value.faults]
    assert [place for place, _ in found] == [
        "roof_edge_height", "roof_edge_width", "ribs_right", "ribs_right", "holes", "holes",
    ]  # fmt: skip
    assert "not above waist_height (1.700 m)" in found[0][1]
    assert "wider than waist_width (1.840 m)" in found[1][1]
    assert "1.900 m lies behind the rear sill" in found[2][1]
    assert "too near each other" in found[3][1]
    assert "row 1 <L1: 60 mm at 420 mm>: a hole 0.060 m wide is bigger than a rib 0.055 m deep" in found[4][1]
    assert "row 2 <L2: 25 mm at 1.8 m>: 1.800 m is above the wall" in found[5][1]


@pytest.mark.parametrize(
    ("lines", "place", "found"),
    [
        ({"length": "0.3 m"}, "length", "0.300 m is no such measure"),
        ({"rib": {"depth": "200 mm", "face_width": "55 mm"}}, "rib / depth", "0.200 m is no such measure"),
        ({"rear_waist_width": "1.9 m"}, "rear_waist_width", "the van would widen rearwards"),
        (DOOR_BACKWARDS, "side_door", "open from"),
        (
            {"without": ["side_door"], "wheel_arch": {"front": "1.2 m", "length": "0.9 m", "height": "0.3 m"}},
            "wheel_arch", "behind the rear sill",
        ),
        ({"floor_width": "1.10 m"}, "tape", "floor_width is 1.1"),
        ({"windows": [WIDE_WINDOW]}, "tape", "window from 0.5"),
    ],
)  # fmt: skip
def test_one_line_that_cannot_be(lines: dict[str, Any], place: str, found: str) -> None:
    with pytest.raises(RouterFaults) as caught:
        plan(taped(**lines))
    assert any(fault.place.endswith(place) and found in fault.found for fault in caught.value.faults), caught.value
