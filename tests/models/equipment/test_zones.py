"""Rows of the kind zone: places of several things, side by side."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import pytest

from ribway.models.catalogue.loading import load_catalogue
from ribway.models.equipment.expand import Expansion, expand
from ribway.models.equipment.opening import grid_of
from ribway.models.equipment.outline import outline_of
from ribway.models.equipment.reading import read_rows
from ribway.models.equipment.side_by_side import APART_M

ExpandIt = Callable[..., Expansion]
HEAD = "Name,Kind,Place,Stand-off\nHouse battery,house battery,left 0.62 m back 0.3 m up,\n"
HEAD += "Board,fuse board,left 1.1 m back 0.8 m up,\n"
KITCHEN = "Kitchen,zone,right 2.05 m back 0.9 m up,\n"
THREE = "Socket,12 V socket,kitchen,\nUsb,USB-A socket,Kitchen,75 mm\nFridge,fridge,KITCHEN,\n"


def faults_of(text: str) -> list[str]:
    rows, faults = read_rows(grid_of(text.encode("utf-8"), "e.csv"), load_catalogue())
    if not faults:
        faults = list(expand(rows, load_catalogue(), outline_of({"preset": "medium-high"}), file="e.csv").faults)
    return [str(fault) for fault in faults]


def places(devices: tuple[dict[str, Any], ...], *names: str) -> list[dict[str, str]]:
    return [one["at"] for one in devices if one["id"] in names]


def test_things_in_a_zone_lie_side_by_side(expand_it: ExpandIt) -> None:
    found = expand_it(HEAD + KITCHEN + THREE)
    assert "kitchen" not in {one["id"] for one in found.devices}
    at = places(found.devices, "socket", "usb", "fridge")
    assert [(one["wall"], one["up"]) for one in at] == [("right", "0.9 m")] * 3
    back = [float(one["back"].removesuffix(" m")) for one in at]
    assert back == sorted(back)
    assert min(b - a for a, b in itertools.pairwise(back)) >= APART_M - 1e-9
    assert any(abs(one - 2.05) < 1e-9 for one in back)
    outline = outline_of({"preset": "medium-high"})
    assert outline is not None
    assert not [one for one in back if any(patch.holds("right", one, 0.9) for patch in outline.patches)]
    assert at[1]["stand_off"] == "75 mm"
    assert {one["zone"] for one in found.devices if one["id"] in ("socket", "usb", "fridge")} == {"Kitchen"}


def test_what_they_may_be_off_by_is_half_the_zones_width(expand_it: ExpandIt) -> None:
    """By the tape the zone is exact; which of the three stands where nobody said."""
    found = expand_it(HEAD + KITCHEN + THREE)
    said = [entry for entry in found.assumed if entry["what"] == "place"]
    at = places(found.devices, "socket", "usb", "fridge")
    back = [float(one["back"].removesuffix(" m")) for one in at]
    half = (max(back) - min(back)) / 2 + APART_M / 2
    assert [entry["error"] for entry in said] == [f"{half:.2f} m"] * 3
    assert all("in Kitchen" in entry["source"] for entry in said)


def test_a_rough_zones_error_is_kept(expand_it: ExpandIt) -> None:
    rough = "Kitchen,zone,right rear low,\n"
    alone = expand_it(HEAD + rough + "Socket,12 V socket,kitchen,\n")
    three = expand_it(HEAD + rough + THREE)
    error = [float(entry["error"].removesuffix(" m")) for entry in alone.assumed if entry["what"] == "place"]
    errors = [float(entry["error"].removesuffix(" m")) for entry in three.assumed if entry["what"] == "place"]
    assert len(error) == 1
    assert len(errors) == 3
    assert min(errors) >= error[0] + APART_M


def test_one_thing_in_a_measured_zone_is_where_the_zone_is(expand_it: ExpandIt) -> None:
    found = expand_it(HEAD + KITCHEN + "Socket,12 V socket,kitchen,\n")
    assert places(found.devices, "socket") == [{"wall": "right", "back": "2.05 m", "up": "0.9 m"}]
    assert not [entry for entry in found.assumed if entry["what"] == "place"]


@pytest.mark.parametrize(
    "place", ["roof 2 m back 300 mm left", "floor 1 m back", "bulkhead 0.1 m left 0.6 m up", "x -1.2 m y 0.6 m z 0.9 m"]
)
def test_zones_on_every_wall(expand_it: ExpandIt, place: str) -> None:
    found = expand_it(HEAD + f"Kitchen,zone,{place},\n" + THREE)
    at = places(found.devices, "socket", "usb", "fridge")
    spots = {(one.get("back"), one.get("x"), one.get("left"), one.get("right")) for one in at}
    assert len(spots) == 3
    assert {one.get("wall") for one in at} == {None if place.startswith("x") else place.split()[0]}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (KITCHEN + KITCHEN + THREE, "there is a zone Kitchen already"),
        (",zone,right 2 m back 0.9 m up,\n" + THREE, "the zone has no name"),
        ("Kitchen,zone,right,\n" + "Lamp,ceiling light,kitchn,\n", "unknown"),
        (KITCHEN + "".join(f"S{n},12 V socket,kitchen,\n" for n in range(60)), "no room for 60 things"),
    ],
)
def test_zones_that_cannot_be(text: str, words: str) -> None:
    faults = faults_of(HEAD + text)
    assert any(words in fault for fault in faults), faults


def test_a_zone_with_distances_beside_it_is_refused() -> None:
    text = "Name,Kind,Place,Back\nKitchen,zone,right 2 m back 0.9 m up,\nSocket,12 V socket,kitchen,1 m\n"
    assert any("the zone's name alone" in fault or "distances beside it" in fault for fault in faults_of(text))
