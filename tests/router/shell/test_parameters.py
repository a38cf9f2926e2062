"""Parameters that make no van are refused by name, with the value and what is accepted."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from mesh_facts import is_closed

from ribway.router.shell.build import build
from ribway.router.shell.errors import ShellError
from ribway.router.shell.parameters import HoleRow, ShellParameters, SideDoor, WheelArch, WindowBox
from ribway.router.shell.presets import PRESETS, preset

BAD: list[tuple[dict[str, Any], list[str]]] = [
    ({"length_m": -3.7}, ["length_m is -3.7", "1.2 to 8.0"]),
    ({"length_m": float("nan")}, ["length_m is nan"]),
    ({"length_m": "3.7"}, ["length_m is '3.7'", "a number"]),
    ({"taper": 0.3}, ["taper is 0.3", "0.0 to 0.05"]),
    ({"rib_depth_m": 0.2, "sheet_m": 0.0}, ["rib_depth_m is 0.2", "sheet_m is 0.0"]),
    ({"waist_height_m": 1.60}, ["roof_edge_height_m is 1.62", "or more"]),
    ({"centre_height_m": 1.60}, ["centre_height_m is 1.6", "1.670 or more"]),
    ({"floor_width_m": 1.1}, ["floor_width_m is 1.1", "waist_width_m (1.84)"]),
    ({"roof_edge_width_m": 1.25, "centre_height_m": 2.3}, ["roof_edge_width_m is 1.25", "leans too far"]),
    ({"rib_stations_left": (0.42, 1.36, 0.88)}, ["rib_stations_left goes from 1.36 to 0.88", "rising"]),
    ({"rib_stations_right": (0.42, 0.50)}, ["rib_stations_right holds 0.42 and 0.5", "apart"]),
    ({"rib_stations_left": (0.42, 5.0)}, ["rib_stations_left holds 5.0", "length_m is 3.7"]),
    ({"rib_stations_left": (0.42, None)}, ["rib_stations_left holds None"]),
    ({"bow_stations": (0.05, 1.0)}, ["bow_stations holds 0.05"]),
    ({"side_door": SideDoor("right", 0.3, 9.0)}, ["side_door is from 0.3 to 9.0", "up to"]),
    ({"side_door": SideDoor("right", 1.5, 0.3)}, ["side_door is from 1.5 to 0.3"]),
    ({"side_door": SideDoor("top", 0.3, 1.5)}, ["side_door.side is 'top'", "left or right"]),  # type: ignore[arg-type]
    ({"side_door": SideDoor("right", 0.3, 2.5)}, ["wheel_arch is from 2.12", "side door (0.3 to 2.5)"]),
    ({"side_door": "right"}, ["side_door is 'right'", "SideDoor"]),
    ({"wheel_arch": WheelArch(2.1, 1.0, 1.2, 0.24)}, ["wheel_arch.height_m is 1.2"]),
    ({"wheel_arch": WheelArch(2.1, 3.0, 0.3, 0.24)}, ["wheel_arch.length_m is 3.0"]),
    ({"windows": (WindowBox("left", 0.6, 1.1, 1.2, 1.4),)}, ["window from 0.6 to 1.1", "between ribs"]),
    ({"windows": (WindowBox("left", 0.97, 1.27, 0.9, 1.4),)}, ["is from 0.9 to 1.4 high"]),
    (
        {"windows": (WindowBox("left", 0.95, 1.1, 1.15, 1.4), WindowBox("left", 1.12, 1.28, 1.15, 1.4))},
        ["window from 0.95 to 1.1", "runs into the one from 1.12"],
    ),
    ({"rib_rows": (HoleRow(0.5, 0.060),)}, ["rib_rows[0].bore_m is 0.06", "0.0470"]),
    ({"rib_rows": (HoleRow(0.5, -0.02),)}, ["rib_rows[0].bore_m is -0.02"]),
    ({"rib_rows": (HoleRow(0.5, 0.02, "slot", 0.01),)}, ["rib_rows[0].length_m is 0.01"]),
    ({"rib_rows": (HoleRow(0.5, 0.02, "star"),)}, ["rib_rows[0].shape is 'star'"]),  # type: ignore[arg-type]
    ({"rib_rows": (HoleRow(0.03, 0.02),)}, ["rib_rows[0].place_m is 0.03", "between sill"]),
    ({"rib_rows": (HoleRow(1.00, 0.02),)}, ["rib_rows[0].place_m is 1.0", "behind the waist rail"]),
    ({"rib_rows": (HoleRow(0.5, 0.02), HoleRow(0.51, 0.02))}, ["rib_rows has holes at 0.5 and 0.51"]),
    ({"bow_rows": (HoleRow(-0.2, 0.02), HoleRow(0.2, 0.02))}, ["bow_rows has holes at -0.2 and 0.2", "from the left"]),
    ({"bow_rows": (HoleRow(0.79, 0.02),)}, ["bow_rows[0].place_m is 0.79"]),
    ({"missing_holes": (("L99", 1),)}, ["missing_holes names 'L99'", "B1"]),
    ({"missing_holes": (("L1", 9),)}, ["missing_holes names row 9 of L1", "1 to 5"]),
]


@pytest.mark.parametrize(("overrides", "expected"), BAD)
def test_bad_parameters_are_named(overrides: dict[str, Any], expected: list[str]) -> None:
    with pytest.raises(ShellError) as caught:
        ShellParameters(**overrides)
    for part in expected:
        assert part in str(caught.value)


def test_all_faults_at_once() -> None:
    with pytest.raises(ShellError) as caught:
        preset("long-high", length_m=0, floor_width_m=-1, rib_width_m=True)
    assert all(name in str(caught.value) for name in ("length_m", "floor_width_m", "rib_width_m"))


def test_unknown_preset_or_field() -> None:
    with pytest.raises(ShellError, match=r"'huge'.*short-high, medium-high, long-high"):
        preset("huge")
    with pytest.raises(ShellError, match=r"'ribs' is no parameter.*rib_stations_left"):
        preset("short-high", ribs=3)


def test_presets_differ_in_length_only_as_named() -> None:
    assert preset("short-high").length_m < preset("medium-high").length_m < preset("long-high").length_m


@pytest.mark.parametrize("seed", range(6))
def test_accepted_parameters_build(seed: int) -> None:
    """Whatever passes the checks gives closed metal; drawn at random about the presets."""
    rng = np.random.default_rng(seed)
    base = preset(sorted(PRESETS)[seed % 3], windows=())
    built = 0
    while built < 1:
        changes = {
            "floor_width_m": base.floor_width_m + rng.uniform(-0.2, 0.1),
            "waist_height_m": base.waist_height_m + rng.uniform(-0.05, 0.05),
            "roof_edge_width_m": base.roof_edge_width_m + rng.uniform(-0.15, 0.15),
            "centre_height_m": base.centre_height_m + rng.uniform(-0.15, 0.2),
            "taper": rng.uniform(0.0, 0.03),
            "rib_width_m": rng.uniform(0.03, 0.09),
            "rib_stations_left": tuple(np.sort(rng.uniform(0.2, base.length_m - 0.1, 6)).tolist()),
        }
        try:
            parameters = ShellParameters(**{**vars(base), **changes})
        except ShellError:
            continue
        shell = build(parameters)
        assert all(is_closed(member.mesh.faces) for member in shell.members)
        built += 1


def test_building_twice_gives_the_same_bytes(shells: Any) -> None:
    again = build(preset("medium-high"))
    for one, other in zip(shells["medium-high"].members, again.members, strict=True):
        assert one.mesh.vertices.tobytes() == other.mesh.vertices.tobytes(), one.name
        assert one.mesh.faces.tobytes() == other.mesh.faces.tobytes(), one.name
