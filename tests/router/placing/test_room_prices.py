"""Bounds that know how full holes are: below every plan at every place, and on one rib a number that is reckoned here."""

from __future__ import annotations

import functools
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from plain_shells import CLEAR, WIDTH, Bar, Hole, on_wall, plain_shell, project
from small_vans import shell, small_project

from ribway.models.project import Project
from ribway.models.reading import read_project
from ribway.router.faults import RouterFaults
from ribway.router.placing.device import planned_field
from ribway.router.placing.field import Bounds, least_kg
from ribway.router.placing.grid import tape_places
from ribway.router.placing.moving import moved_to
from ribway.router.placing.room_prices import RoomPrices, room_prices
from ribway.router.placing.spots import Spots, spots_of
from ribway.router.placing.trying import Tried, Trying, trying_of
from ribway.router.planning import Planning
from ribway.router.shell.parts import Shell
from ribway.router.space.bays import chart_skins

DEMO = Path(__file__).parents[3] / "docs" / "demo" / "survey-van" / "project.yaml"
PLAY_KG = 2e-6
KG_PER_M = 2 * 1.5 * 8.96e-3


@functools.cache
def the_shell() -> Shell:
    return shell()


def crowded(seed: int, fill: float) -> Project:
    """A van whose holes take little, so that cables have to go round others."""
    return small_project(seed, fill_limit=fill, spare="none")


def grid(van: Project, ground: Planning, name: str, step_m: float) -> Spots:
    device = next(one for one in van.devices if one.id == name)
    datum = ground.project.vehicle.datum
    wall = next(one.wall for one in ground.network.space.portals if one.device == name)
    places = tape_places(device.at, chart_skins(ground.shell), [wall], step_m, datum.forward, datum.up)
    return spots_of(van, ground, name, [device.at, *places], clear_m=0.0)


def prices_of(tried: Tried) -> RoomPrices | None:
    assert tried.found is not None
    return room_prices(*tried.found)


def held(van: Project, trying: Trying, ground: Planning, found: Spots, at: list[int]) -> tuple[int, int]:
    """How many plans were held against bounds by the prices of all of them, and how many bounds those raised."""
    bounds = Bounds(ground, found)
    tried: dict[int, Tried] = {}
    for k in at:
        try:
            trial = trying.plan(moved_to(van, found.device, found.found[k].place))
        except RouterFaults:
            continue
        if math.isfinite(trial.kg):
            tried[k] = trial
    plain, checks, raised = bounds.kg(), 0, 0
    for trial in tried.values():
        prices = prices_of(trial)
        if prices is None:
            continue
        known = bounds.kg(prices)
        for k, other in tried.items():
            checks += 1
            assert known[k] <= other.kg + PLAY_KG
        raised += int((known > plain + 1e-6).sum())
    for k, other in tried.items():
        assert plain[k] <= other.kg + PLAY_KG
    return checks, raised


@pytest.mark.parametrize(
    ("seed", "fill", "name", "tells"),
    [
        (7, 24.0, "usb", True),
        (11, 24.0, "heater", True),
        (1, 28.0, "usb", True),
        (11, 28.0, "fridge", True),
        (0, 24.0, "fridge", False),
        (2, 24.0, "board", False),
        (6, 28.0, "socket", False),
    ],
)
def test_no_plan_of_a_crowded_van_lies_below_its_bounds(seed: int, fill: float, name: str, tells: bool) -> None:
    van = crowded(seed, fill)
    trying = Trying(Path(), the_shell())
    ground = trying.prepared(van)
    found = grid(van, ground, name, 0.45)
    some = np.linspace(0, len(found.found) - 1, 6).astype(int).tolist()
    checks, raised = held(van, trying, ground, found, some)
    assert checks >= 4
    assert raised > 0 or not tells


def test_no_plan_of_the_demo_lies_below_its_bounds() -> None:
    van = read_project(DEMO)
    trying = trying_of(van, DEMO.parent)
    ground = trying.prepared(van)
    found = grid(van, ground, "fridge", 0.4)
    checks, raised = held(van, trying, ground, found, [0, 1, len(found.found) // 3, len(found.found) // 2])
    assert checks >= 9
    assert raised > 0


@pytest.mark.parametrize(("seed", "name"), [(5, "heater"), (6, "usb"), (7, "fridge")])
def test_the_best_place_of_a_crowded_van_is_that_of_planning_all(seed: int, name: str) -> None:
    van = crowded(seed, 26.0)
    trying = Trying(Path(), the_shell())
    ground = trying.prepared(van)
    found = grid(van, ground, name, 0.7)
    known: dict[str, Tried] = {}

    def planner(project: Project) -> Tried:
        key = project.model_dump_json()
        if key not in known:
            known[key] = trying.plan(project)
        return known[key]

    field = planned_field(van, ground, found, planner, 0.7, 1000)
    costs = []
    for spot in found.found:
        try:
            costs.append(planner(moved_to(van, name, spot.place)).kg)
        except RouterFaults:
            costs.append(math.inf)
    assert field.proven
    assert field.best[0].planned_kg == pytest.approx(min(costs), abs=PLAY_KG)
    assert all(low is None or low <= cost + PLAY_KG for low, cost in zip(field.bound_kg, costs, strict=True))


def two_lamps() -> tuple[Project, Shell]:
    """Two cables whose straight way is one hole that has room for one of them; the other hole lies 0.2 m higher."""
    holes = (Hole(0.6, bore=0.0155), Hole(0.8, bore=0.0155))
    metal = plain_shell(2.0, 1.2, [Bar(1.0, holes)])
    places = {"a": on_wall(0.5, 0.6), "b": on_wall(1.5, 0.6), "c": on_wall(0.4, 0.6), "d": on_wall(1.6, 0.6)}
    kinds: dict[str, dict[str, Any]] = {"a": {"kind": "source"}, "c": {"kind": "source"}}
    kinds |= {"b": {"amps": 0.5}, "d": {"amps": 0.5}}
    circuits = [
        {"id": "B", "name": "B", "from": "a", "to": ["b"], "cable": "2x1.5"},
        {"id": "D", "name": "D", "from": "c", "to": ["d"], "cable": "2x1.5"},
    ]
    return project(places, circuits, devices=kinds), metal


def test_a_hole_for_one_of_two_is_reckoned_by_pencil() -> None:
    """One of the two goes 2 x 0.2 m round, whichever it is; the shortest ways know nothing of it."""
    van, metal = two_lamps()
    trying = Trying(Path(), metal)
    ground = trying.prepared(van)
    tried = trying.plan(van)
    straight = KG_PER_M * (1.0 + 1.2 + 2 * 0.6)
    assert WIDTH + 2 * CLEAR < 1.0
    assert least_kg(ground) == pytest.approx(straight, rel=1e-3)
    assert tried.kg == pytest.approx(straight + KG_PER_M * 0.4, rel=1e-3)
    found = grid(van, ground, "d", 0.5)
    prices = prices_of(tried)
    assert prices is not None
    assert Bounds(ground, found).kg(prices)[0] == pytest.approx(tried.kg, rel=1e-3)


def test_a_chain_of_one_load_behind_its_switch_keeps_its_order() -> None:
    """Nothing is left open by moving the load, so its bound is that of the van as it stands."""
    van = read_project(DEMO)
    ground = trying_of(van, DEMO.parent).prepared(van)
    found = grid(van, ground, "pump", 1.0)
    assert Bounds(ground, found).kg()[0] == pytest.approx(least_kg(ground), rel=1e-9)
