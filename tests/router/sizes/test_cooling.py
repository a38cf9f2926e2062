"""Thinner cables led round hot air, on a wall and a roof whose lengths follow from a pencil drawing.

Two sockets stand at 1.3 m, with a rib between them: one way leads down to the rib's hole and up again, the other over the roof,
in air of 60 C. 1.5 mm2 by method A2 carries 14 A at 30 C, 2.5 mm2 carries 18.5 A (IEC 60364-5-52, table B.52.2, PVC, two
loaded conductors; from memory), times sqrt((70 - t) / 40): 12.1 A and 16.0 A on the wall at 40 C, 7.0 A and 9.25 A in the roof.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from plain_shells import CLEAR, RAIL, Bar, Corner, Hole, on_wall, plain_shell, project
from small_vans import shell, small_project

from ribway.models.project import Project
from ribway.router.again.replan import Planned, again, start_on
from ribway.router.copper import cut_kg, unrounded_kg
from ribway.router.planner import audited, written
from ribway.router.planning import Planning, State
from ribway.router.rising import lowered, planned, risen
from ribway.router.shell.parts import Shell

HEIGHT, UP, OFF = 1.6, 1.3, 0.0275
ROOF_M = 2 * (0.3 + HEIGHT - RAIL - CLEAR - UP) + 4 * (RAIL + CLEAR - OFF) + 0.6
TAILS_M = 0.6
COPPER_KG_PER_M_MM2 = 8.96e-3
WATTS = 1840.0  # 8 A at 230 V


def wall_m(hole: float) -> float:
    return 1.2 + 2 * (UP - hole)


def metal(*holes: float) -> Shell:
    bar = Bar(1.0, tuple(Hole(at, bore=0.032) for at in holes))
    return plain_shell(2.0, HEIGHT, [bar], [], [Corner(0.7), Corner(1.3)], roof=True)


def van(lamp: bool = False, **more: Any) -> Project:
    places = {"inlet": on_wall(0.4, UP), "socket": on_wall(1.6, UP)}
    kinds: dict[str, dict[str, Any]] = {"inlet": {"kind": "source"}, "socket": {"watts": WATTS}}
    circuits = [{"id": "A", "name": "Socket", "from": "inlet", "to": ["socket"], "kind": "ac"}]
    if lamp:
        places |= {"battery": on_wall(0.3, 0.9), "lamp": on_wall(1.7, 0.9)}
        kinds |= {"battery": {"kind": "source"}, "lamp": {"amps": 0.5}}
        circuits.append({"id": "L", "name": "Lamp", "from": "battery", "to": ["lamp"]})
    return project(places, circuits, more, devices=kinds)


def state_of(shell: Shell, lamp: bool = False) -> tuple[Planning, State]:
    planning = Planning(van(lamp), shell)
    return planning, planned(planning)


def size(planning: Planning, state: State, run: str) -> float:
    return planning.cables[run][state.index[run]].stock.area_mm2


@pytest.mark.parametrize("hole", [0.95, 0.6, 0.4])
def test_a_longer_way_in_cooler_air_is_taken_where_it_is_less_copper(hole: float) -> None:
    assert wall_m(hole) > ROOF_M, "over the roof is shorter"
    assert 1.5 * (wall_m(hole) + TAILS_M) < 2.5 * (ROOF_M + TAILS_M), "and takes more copper"
    planning, state = state_of(metal(hole))
    assert size(planning, state, "A") == 1.5
    assert state.cuts["A"].sharp_m == pytest.approx(wall_m(hole), abs=1e-3)
    assert state.led_round["A"].airs == {"roof"}
    assert state.led_round["A"].through.stock.area_mm2 == 2.5
    plan = audited(written(planning, state, "", bounded=True))
    (note,) = [one for one in plan.findings if one.code == "led-round"]
    assert note.about == "A"
    assert "60 °C" in note.message
    assert "3G2.5" in note.remedy


def test_a_way_that_would_take_more_copper_is_not() -> None:
    hole = 0.1
    assert 1.5 * (wall_m(hole) + TAILS_M) > 2.5 * (ROOF_M + TAILS_M)
    planning, state = state_of(metal(hole))
    assert size(planning, state, "A") == 2.5
    assert state.cuts["A"].sharp_m == pytest.approx(ROOF_M, abs=1e-3)
    assert not state.led_round


def test_another_run_makes_room_where_that_is_less_in_all() -> None:
    """AC shares no hole with the lamp's cable, which lies straight through the hole that the AC needs.

    Through the lower hole the lamp's cable is 2 x 0.1 m longer, or the AC is; a metre of AC takes more copper.
    """
    planning, state = state_of(metal(0.9, 0.8), lamp=True)
    assert size(planning, state, "A") == 1.5
    assert state.cuts["A"].sharp_m == pytest.approx(wall_m(0.9), abs=1e-3)
    assert state.cuts["L"].sharp_m == pytest.approx(1.4 + 0.2, abs=1e-3)


def test_the_bound_for_these_cables_keeps_out_of_the_roof_too() -> None:
    planning, state = state_of(metal(0.6))
    found = planning.bounds(state)
    assert found.same_cables_kg == pytest.approx(3 * 1.5 * COPPER_KG_PER_M_MM2 * (wall_m(0.6) + TAILS_M), rel=1e-3)
    assert found.any_sizes_kg <= found.same_cables_kg <= found.planned_kg + 1e-9


@pytest.mark.parametrize("seed", range(4))
def test_it_is_never_worse_and_what_it_gives_passes_the_audit(seed: int) -> None:
    van = small_project(seed)
    hot = van.shop.ambients.model_copy(update={"roof": 65.0})
    planning = Planning(van.model_copy(update={"shop": van.shop.model_copy(update={"ambients": hot})}), shell())
    before = lowered(planning, risen(planning), planning.feeds)
    after = planned(planning)
    assert cut_kg(planning, after) <= cut_kg(planning, before) + 1e-9
    assert unrounded_kg(planning, after) <= unrounded_kg(planning, before) + 1e-9
    assert audited(written(planning, after, "", bounded=False)).complete


def test_it_is_still_said_when_something_else_has_moved() -> None:
    first: Planned = start_on(van(lamp=True), metal(0.9, 0.8), Path())
    lamp = first.project.devices[-1]
    there = lamp.model_copy(update={"at": lamp.at.model_copy(update={"up": 0.85})})
    moved = first.project.model_copy(update={"devices": (*first.project.devices[:-1], there)})
    second = again(first, moved)
    assert not second.cold
    assert [one.about for one in second.plan.findings if one.code == "led-round"] == ["A"]
