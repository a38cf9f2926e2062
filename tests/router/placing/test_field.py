"""The field of bounds against whole plans at the same places, and its lengths against networks with the device there."""

from __future__ import annotations

import functools
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from plain_shells import on_roof, on_wall, project
from small_vans import shell, small_project

from ribway.models.place import Place
from ribway.models.project import Project
from ribway.router.bounding import Bounds, sharpened
from ribway.router.faults import RouterFaults
from ribway.router.paths.search import distances
from ribway.router.placing.away import Away, Places
from ribway.router.placing.device import planned_field
from ribway.router.placing.field import bounds_kg, least_kg
from ribway.router.placing.moving import moved_to
from ribway.router.placing.spots import Spots, spots_of
from ribway.router.placing.trying import Tried, Trying
from ribway.router.planning import Planning
from ribway.router.space.build import build_space
from ribway.router.space.network import build_network

PLAY_KG = 2e-6


def place(at: dict[str, Any]) -> Place:
    return Place.model_validate(at, context={"si": True})


def places(count: int, seed: int) -> list[Place]:
    rng = np.random.default_rng(seed)
    out = []
    for _ in range(count):
        back = 0.3 + 0.6 * int(rng.integers(5)) + float(rng.uniform(-0.2, 0.2))
        if rng.random() < 0.7:
            out.append(place(on_wall(round(back, 3), round(float(rng.uniform(0.1, 1.4)), 3), 0.06)))
        else:
            out.append(place(on_roof(round(back, 3), round(float(rng.uniform(-0.7, 0.7)), 3), 0.06)))
    return out


@functools.cache
def the_shell() -> Any:
    return shell()


def small_van(seed: int, **shop: Any) -> Project:
    """The main feed, a fridge that starts hard, a heater, and a chain of two lamps: what places depend on."""
    van = small_project(seed, **shop)
    kept = {"main", "C1", "C2", "C4"}
    gone = {"pump", "lamp3", "usb", "radio", "aerial", "inlet", "socket"}
    circuits = [
        one.model_copy(update={"loads": tuple(load for load in one.loads if load not in gone)})
        for one in van.circuits
        if one.id in kept
    ]
    devices = tuple(one for one in van.devices if one.id not in gone)
    return van.model_copy(update={"circuits": tuple(circuits), "devices": devices})


def planned(van: Project) -> Tried:
    return _planned(van.model_dump_json())


@functools.cache
def _planned(van: str) -> Tried:
    return Trying(Path(), the_shell()).plan(Project.model_validate_json(van, context={"si": True}))


def spots(van: Project, name: str, at: list[Place]) -> Spots:
    return spots_of(van, Planning(van, the_shell()), name, at, clear_m=0.0)


@pytest.mark.parametrize("lay", ["square", "taut"])
def test_lengths_are_those_of_a_network_with_the_device_there(lay: str) -> None:
    van = small_van(1, lay=lay)
    ground = Planning(van, the_shell())
    found = spots(van, "fridge", places(6, 5))
    away, at = Away(ground.network), Places(ground.network, [one.portals["fridge"] for one in found.found])
    start = [portal.device for portal in ground.space.portals].index("board")
    lengths = away.to_places(start, np.zeros(ground.network.ways), at)
    assert len(lengths) >= 4
    for one, metres in zip(found.found, lengths, strict=True):
        other = build_network(build_space(moved_to(van, "fridge", one.place), the_shell()))
        names = [portal.device for portal in other.space.portals]
        want = distances(other, [names.index("board")])[0, other.reaching(names.index("fridge"))]
        assert metres == pytest.approx(want, abs=1e-9)
        assert one.portals["fridge"].stub_m == other.space.portals[names.index("fridge")].stub_m


@pytest.mark.parametrize(
    ("seed", "name", "lay"), [(0, "board", "square"), (1, "battery", "taut"), (2, "lamp2", "square")]
)
def test_no_plan_lies_below_its_bound(seed: int, name: str, lay: str) -> None:
    van = small_van(seed, lay=lay)
    found = spots(van, name, places(4, seed + 10))
    bounds = bounds_kg(Planning(van, the_shell()), found)
    held = 0
    for one, least in zip(found.found, bounds.tolist(), strict=True):
        try:
            plan = planned(moved_to(van, name, one.place))
        except RouterFaults:
            continue
        if math.isfinite(plan.kg):
            held += 1
            assert least <= plan.kg + PLAY_KG
            assert least >= 0.5 * plan.kg, "a bound that says something"
    assert held >= 2


@pytest.mark.parametrize("seed", range(3))
def test_no_plan_as_the_van_stands_lies_below_its_bound(seed: int) -> None:
    """Other prices turn other routes; the rules of length and of size stay as they are."""
    van = small_van(seed)
    least = least_kg(Planning(van, the_shell()))
    assert least > 0.0
    for bend, opening in ((0.0, 0.0), (2.0, 1.0)):
        shop = van.shop.model_copy(update={"bend_costs": bend, "opening_costs": opening})
        assert least <= planned(van.model_copy(update={"shop": shop})).kg + PLAY_KG


def test_the_greater_bound_holds() -> None:
    found = Bounds(10.0, 7.0, 9.9, False)
    assert sharpened(found, 6.0) == found
    assert sharpened(found, 8.0) == Bounds(10.0, 8.0, 9.9, False)
    assert sharpened(found, 9.95) == Bounds(10.0, 9.95, 9.95, False)
    assert sharpened(found, 9.995) == Bounds(10.0, 9.995, 9.995, True)


def test_one_cable_alone_costs_what_its_bound_says() -> None:
    """Nothing couples it to others and nothing turns it from the shortest way: bound and plan are one number."""
    van = project(
        {"battery": on_wall(0.3, 0.4, 0.06), "pump": on_wall(2.6, 1.0, 0.06)},
        [{"id": "P", "name": "Pump", "from": "battery", "to": ["pump"]}],
        {"slack": 5.0},
        devices={"battery": {"kind": "source"}, "pump": {"amps": 6.0}},
    )
    found = spots(van, "pump", [one for one in places(7, 3) if one.wall == "left"])
    bounds = bounds_kg(Planning(van, the_shell()), found)
    same = 0
    for one, least in zip(found.found, bounds.tolist(), strict=True):
        plan = planned(moved_to(van, "pump", one.place))
        assert least <= plan.kg + PLAY_KG
        same += math.isclose(least, plan.kg, rel_tol=2e-3)
    assert same >= len(bounds) - 2, "a size may still turn at the outside of a bend"


def test_the_best_place_is_that_of_planning_all() -> None:
    van = small_van(5)
    ground = Planning(van, the_shell())
    here = next(device.at for device in van.devices if device.id == "heater")
    found = spots(van, "heater", [here, *places(6, 21)])
    field = planned_field(van, ground, found, planned, 0.1, 100)
    costs = [planned(moved_to(van, "heater", one.place)).kg for one in found.found]
    assert field.proven
    assert field.best[0].planned_kg == pytest.approx(min(costs), abs=PLAY_KG)
    assert field.best[0].at == costs.index(min(costs))
    assert len(field.planned) < len(found.found), "some places are left out by their bounds"
    again = type(field).model_validate_json(field.model_dump_json(), context={"si": True})
    assert again == field


def test_places_in_the_way_are_refused() -> None:
    van = small_van(2)
    ground = Planning(van, the_shell())
    heater = next(device.at for device in van.devices if device.id == "heater")
    bare = place(on_wall(0.6, 0.4, 0.0275))  # inside rib L1
    far = place(on_wall(9.0, 0.4, 0.06))
    found = spots_of(van, ground, "fridge", [heater, bare, far])
    assert found.found == ()
    assert found.refused == {"another device is there": 1, "off the skin, inside a member or in a keep-out": 2}
    free = place(on_wall(1.5, 0.05, 0.06))
    assert spots_of(van, ground, "fridge", [free], (0.3, 0.3)).refused == {"not enough open skin": 1}
    assert len(spots_of(van, ground, "fridge", [free], (0.1, 0.04)).found) == 1
