"""Openings with what the user said of them, crossings over members, ducts: sizes, lengths, and when they are shut."""

from __future__ import annotations

import math
from typing import Any

import pytest
from plain_shells import CLEAR, DEPTH, WIDTH, Bar, Corner, Hole, on_roof, on_wall, plain_shell, project, with_filled

from ribway.models.plan.plan import Plan
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_on
from ribway.router.shell.parts import Shell
from ribway.router.space.build import build_space
from ribway.router.space.types import Way

LAY = 0.0275
SHELL = plain_shell(2.0, 1.2, [Bar(1.0, (Hole(0.3), Hole(0.8)))])
PLACES = {"a": on_wall(0.4, 0.5), "b": on_wall(1.6, 0.55)}
CIRCUIT = [{"id": "C", "name": "C", "from": "a", "to": ["b"]}]


def ways(vehicle: dict[str, Any], shell: Shell = SHELL, **shop: Any) -> dict[str, Way]:
    space = build_space(project(PLACES, CIRCUIT, shop, vehicle), shell)
    return {way.name: way for way in space.ways}


def plan_of(vehicle: dict[str, Any], shell: Shell = SHELL, **shop: Any) -> Plan:
    wanted = project(PLACES, CIRCUIT, shop, vehicle, {"b": {"amps": 0.1}})
    return plan_on(wanted, shell)


@pytest.mark.parametrize(
    ("entry", "bore_mm", "limit"),
    [
        ({}, 21.0, 0.4),  # 25 mm less 2 mm of grommet all round
        ({"grommet": 0.018}, 18.0, 0.4),  # the grommet that is really fitted
        ({"size": 0.020}, 16.0, 0.4),  # measured smaller than drawn
        ({"size": 0.030}, 21.0, 0.4),  # measured larger than drawn: what is drawn decides
        ({"fill_limit": 50.0}, 21.0, 0.5),
    ],
)
def test_what_the_user_said_of_an_opening(entry: dict[str, Any], bore_mm: float, limit: float) -> None:
    way = ways({"openings": [{"name": "L1a", **entry}]})["L1a"]
    assert way.bore_m * 1000 == pytest.approx(bore_mm, abs=0.05)
    assert way.area_m2 == pytest.approx(math.pi / 4 * way.bore_m**2)
    assert way.limit == limit
    assert way.closed == ""
    assert way.length_m == pytest.approx(WIDTH + 2 * CLEAR)


def test_states() -> None:
    """Blocked is shut; taken takes; a hole to be drilled needs none in the mesh, and costs a detour."""
    found = ways({"openings": [{"name": "L1a", "state": "blocked"}, {"name": "L1b", "taken": 0.008}]})
    assert found["L1a"].closed == "blocked"
    assert found["L1b"].taken_m == 0.008
    filled = with_filled(SHELL, "L1a")
    assert ways({}, filled)["L1a"].closed == "there is no hole in the metal"
    drilled = ways({"openings": [{"name": "L1a", "state": "drill"}]}, filled)["L1a"]
    assert drilled.closed == ""
    assert drilled.bore_m * 1000 == pytest.approx(21.0)
    drill = {"openings": [{"name": "L1a", "state": "drill"}]}
    near, far = plan_of(drill, filled, drill_costs=0.0), plan_of(drill, filled, drill_costs=1.0)
    # By L1a 0.2 + 0.25 up and down, by L1b 0.3 + 0.25: 0.1 m is not worth a hole of 1 m, but one of 0 m.
    assert near.runs[0].openings == ("L1a",)
    assert far.runs[0].openings == ("L1b",)
    assert ("drill", "L1a") in [(found.code, found.about) for found in near.findings]


def test_a_keep_out_over_a_hole_shuts_it() -> None:
    keep_out = {
        "name": "bag", "why": "airbag", "corner": {"wall": "left", "back": 0.9, "up": 0.2},
        "opposite": {"wall": "left", "back": 1.1, "up": 0.4},
    }  # fmt: skip
    found = ways({"keep_outs": [keep_out]})
    assert found["L1a"].closed == "in keep-out bag"
    assert found["L1b"].closed == ""


def test_over_a_rib_by_hand() -> None:
    """Gap 20 mm: up from the lay depth to the middle of the gap, across rib and margins and 6 mm either side, down."""
    over = {"name": "over", "kind": "over", "member": "L1", "at": {"wall": "left", "back": 1.0, "up": 0.5}, "gap": 0.02}
    way = ways({"ways": [over]})["over"]
    across = WIDTH + 2 * (0.002 + 0.006)
    rise = DEPTH + 0.01 - LAY
    assert way.length_m == pytest.approx(2 * rise + across, abs=1e-6)
    assert way.turns == 2
    assert (way.shape, way.bore_m, way.room_m) == ("gap", 0.02, 0.06)
    assert way.area_m2 == pytest.approx(0.02 * 0.06)
    plan = plan_of({"ways": [over]})
    assert plan.runs[0].openings == ("over",)
    # 0.6 - across / 2 on either side of it, 0.05 of height on one side.
    assert plan.runs[0].sharp_m == pytest.approx(2 * rise + across + 2 * (0.6 - across / 2) + 0.05, abs=6e-4)
    assert plan_of({"ways": [{**over, "gap": 0.4}]}).runs[0].openings == ("L1a",), "up and down by 0.23 is too far"


def test_a_way_over_what_stands_higher_or_is_not_there() -> None:
    over = {"name": "over", "kind": "over", "member": "L1", "at": {"wall": "left", "back": 1.5, "up": 0.5}, "gap": 0.02}
    with pytest.raises(RouterFaults) as faults:
        ways({"ways": [over]})
    assert "L1 does not pass there" in str(faults.value)
    with pytest.raises(RouterFaults) as faults:
        ways({"ways": [{**over, "member": "L7"}]})
    assert "no member is called L7" in str(faults.value)


def test_a_duct_by_hand() -> None:
    """From bay to bay in front of the rib: 0.4 in, 0.8 along, 0.4 back, at 80 mm off the metal between."""
    path = [
        {"wall": "left", "back": 0.6, "up": 0.5, "stand_off": LAY},
        {"wall": "left", "back": 0.6, "up": 0.5, "stand_off": 0.08},
        {"wall": "left", "back": 1.4, "up": 0.5, "stand_off": 0.08},
        {"wall": "left", "back": 1.4, "up": 0.5, "stand_off": LAY},
    ]
    duct = {"name": "duct", "kind": "duct", "path": path, "bore": 0.016}
    way = ways({"ways": [duct]})["duct"]
    assert way.length_m == pytest.approx(0.8 + 2 * (0.08 - LAY), abs=1e-9)
    assert way.turns == 2
    assert way.bore_m == 0.016, "a duct needs no grommet"
    plan = plan_of(
        {"ways": [duct], "openings": [{"name": "L1a", "state": "blocked"}, {"name": "L1b", "state": "blocked"}]}
    )
    assert plan.runs[0].openings == ("duct",)
    assert plan.runs[0].sharp_m == pytest.approx(0.2 + way.length_m + 0.2 + 0.05, abs=6e-4)


def test_names_that_are_not_there() -> None:
    """All at once: an opening, a way with a taken name, a hole in via."""
    wanted = project(
        PLACES,
        CIRCUIT,
        None,
        {
            "openings": [{"name": "L9z"}],
            "ways": [{"name": "L1a", "kind": "duct", "bore": 0.02, "path": [on_wall(0.2, 0.2), on_wall(0.3, 0.2)]}],
        },
        runs=[{"circuit": "C", "from": "a", "to": "b", "via": ["L1c"]}],
    )
    with pytest.raises(RouterFaults) as faults:
        build_space(wanted, SHELL)
    text = str(faults.value)
    assert len(faults.value.faults) == 3
    assert "no opening of that name" in text
    assert "already has that name" in text
    assert "no opening or way called L1c" in text


def test_a_corner_passage_by_hand() -> None:
    """Wall to roof through the rail: 70 + 6 mm less the height off the skin, twice; one bend."""
    shell = plain_shell(2.0, 1.2, [], [], [Corner(0.5, 0.03, 0.025)], roof=True)
    wanted = project({"a": on_wall(0.4, 0.5), "b": on_roof(0.6, 0.3)}, CIRCUIT, devices={"b": {"amps": 0.1}})
    way = build_space(wanted, shell).ways[0]
    assert way.length_m == pytest.approx(2 * 0.076 - 0.03 - 0.025, abs=1e-12)
    assert way.turns == 1
    assert way.bore_m * 1000 == pytest.approx(21.0, abs=0.05)
