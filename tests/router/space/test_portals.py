"""Devices: where their cables meet the bay, how long the stub is, and which places are refused, all at once."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from metal import Metal
from plain_shells import HALF_WIDTH, Bar, Hole, on_roof, on_wall, plain_shell, project

from ribway.router.faults import RouterFaults
from ribway.router.space.build import build_space
from ribway.router.space.types import Portal

LAY = 0.0275
SHELL = plain_shell(2.0, 1.2, [Bar(1.0, (Hole(0.3), Hole(0.8)))], [Bar(1.0, (Hole(0.1),))], roof=True)


def portals(places: dict[str, dict[str, Any]], **more: Any) -> dict[str, Portal]:
    first, second = list(places)[:2]
    wanted = project(places, [{"id": "C", "name": "C", "from": first, "to": [second]}], **more)
    return {portal.device: portal for portal in build_space(wanted, SHELL).portals}


@pytest.mark.parametrize("stand_off", [0.0, 0.01, LAY, 0.06, 0.3])
def test_a_stub_is_the_difference_of_heights(stand_off: float) -> None:
    found = portals({"a": on_wall(0.4, 0.5, stand_off), "b": on_roof(0.4, -0.2, stand_off)})
    for name, point in (("a", (-0.4, HALF_WIDTH - stand_off, 0.5)), ("b", (-0.4, -0.2, 1.2 - stand_off))):
        assert found[name].point == pytest.approx(np.array(point), abs=1e-9)
        assert found[name].stub_m == pytest.approx(abs(stand_off - LAY), abs=1e-9)
        assert found[name].mouth.height_m == LAY


def test_a_place_by_xyz_is_that_place() -> None:
    found = portals({"a": {"x": -0.4, "y": 0.8, "z": 0.5}, "b": on_wall(0.6, 0.5)})
    assert found["a"].point == pytest.approx([-0.4, 0.8, 0.5])
    assert found["a"].wall == "left"
    assert found["a"].stub_m == pytest.approx(0.1 - LAY)


def test_the_datum_moves_everything() -> None:
    found = portals(
        {"a": on_wall(0.4, 0.5), "b": {"x": -0.4, "y": 0.8, "z": 0.5}}, vehicle={"datum": {"forward": 0.25}}
    )
    assert found["a"].point[0] == pytest.approx(-0.65)
    assert found["b"].point[0] == pytest.approx(-0.65)


def test_a_device_over_a_rib_goes_sideways_then_down() -> None:
    """On the middle of the rib, 80 mm off the skin: 25 + 2 mm aside, 52.5 mm down."""
    found = portals({"a": on_wall(1.0, 0.5, 0.08), "b": on_wall(0.4, 0.5)})
    stub = found["a"].stub
    assert len(stub) == 3
    assert found["a"].stub_m == pytest.approx(0.027 + 0.0525, abs=1e-4)
    assert stub[1, 1] == pytest.approx(stub[0, 1]), "sideways at its own height"
    assert abs(stub[1, 0] - stub[0, 0]) == pytest.approx(0.027, abs=1e-4)
    assert abs(stub[2, 0] - stub[1, 0]) < 1e-6, "then straight down"


KEEP_OUT = {
    "name": "bag", "why": "airbag", "corner": {"wall": "left", "back": 0.3, "up": 0.7},
    "opposite": {"wall": "left", "back": 0.5, "up": 0.9},
}  # fmt: skip


@pytest.mark.parametrize(
    ("place", "says"),
    [
        (on_wall(2.5, 0.5), "there is no metal on the left at back 2.500 m, up 0.500 m"),
        (on_wall(0.5, 1.5), "there is no metal on the left"),
        ({"wall": "right", "back": 0.5, "up": 0.5}, "this shell has no right"),
        (on_wall(0.4, 0.8), "stands inside keep-out bag (airbag), margin 20 mm included"),
        (on_wall(0.515, 0.8), "stands inside keep-out bag"),
        (on_wall(1.0, 0.5, 0.03), "it would sit inside member L1, 30 mm off the skin"),
        ({"x": -0.4, "y": 0.0, "z": 0.4}, "0.80 m from the nearest skin"),
        ({"x": -0.4, "y": 0.95, "z": 0.4}, "m from the nearest skin"),  # behind the wall: the roof is next
    ],
)
def test_places_that_are_refused(place: dict[str, Any], says: str) -> None:
    with pytest.raises(RouterFaults) as faults:
        portals({"a": on_wall(0.2, 0.2), "b": place}, vehicle={"keep_outs": [KEEP_OUT]})
    assert len(faults.value.faults) == 1
    assert faults.value.faults[0].place == "devices / b / at"
    assert says in str(faults.value)


def test_all_refused_places_are_said_at_once() -> None:
    places = {"a": on_wall(0.2, 0.2), "b": on_wall(2.5, 0.5), "c": on_wall(0.5, 1.5), "d": on_wall(0.4, 0.8)}
    with pytest.raises(RouterFaults) as faults:
        portals(places, vehicle={"keep_outs": [KEEP_OUT]})
    assert [fault.place for fault in faults.value.faults] == [f"devices / {name} / at" for name in "bcd"]


@pytest.mark.parametrize("inside_m", [0.001, 0.003, 0.008, 0.02, 0.025])
def test_a_device_over_the_edge_of_a_rib_keeps_clear_of_it(inside_m: float) -> None:
    """60 mm off the skin, 5 mm off the rib's face, this far inside its edge at 975 mm: the stub goes round the edge."""
    found = portals({"a": on_wall(0.975 + inside_m, 0.5, 0.06), "b": on_wall(0.4, 0.5)})
    rib = next(member.mesh for member in SHELL.members if member.name == "L1")
    metal = Metal(rib.vertices[rib.faces], ["L1"] * len(rib.faces))
    assert not metal.crossings(found["a"].stub)
    assert metal.distance(found["a"].stub, 0.05) == pytest.approx(0.002, abs=2e-4)
