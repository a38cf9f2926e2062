"""Members are closed metal of true sections with their holes really cut."""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest
from mesh_facts import is_closed, volume

from ribway.router.shell.build import build
from ribway.router.shell.parameters import HoleRow, ShellParameters
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import PRESETS, preset


@pytest.mark.parametrize("name", PRESETS)
def test_all_metal_is_closed(shells: dict[str, Shell], name: str) -> None:
    shell = shells[name]
    named = [(m.name, m.mesh) for m in shell.members] + [(o.name, o.mesh) for o in shell.obstacles] + list(shell.panels)
    for part, mesh in named:
        assert is_closed(mesh.faces), part
        assert volume(mesh.vertices, mesh.faces) > 0, part
        assert np.isfinite(mesh.vertices).all(), part


@pytest.mark.parametrize("name", PRESETS)
def test_names_and_counts(shells: dict[str, Shell], name: str) -> None:
    shell, parameters = shells[name], preset(name)
    names = [member.name for member in shell.members]
    assert len(set(names)) == len(names)
    assert {"LS", "LW", "LE", "LP", "RS", "RW", "RE", "RP", "B0"} <= set(names)
    assert [n for n in names if re.fullmatch(r"L\d+", n)] == [
        f"L{i + 1}" for i in range(len(parameters.rib_stations_left))
    ]
    holes = [opening.name for opening in shell.openings]
    assert len(set(holes)) == len(holes) >= 120
    assert all(o.member in names and re.fullmatch(re.escape(o.member) + r"\d*[a-z]", o.name) for o in shell.openings)
    assert {o.shape for o in shell.openings} == {"round", "slot"}
    assert all(0.016 <= o.bore_m <= 0.032 and o.bore_m <= o.length_m for o in shell.openings)


def test_holes_of_a_rib_count_up_from_the_floor_and_of_a_bow_from_the_left(shells: dict[str, Shell]) -> None:
    shell = shells["medium-high"]
    for member in shell.members:
        lines = [o.line[0] for o in sorted(shell.openings, key=lambda o: o.name) if o.member == member.name]
        if member.kind == "rib":
            assert all(a[2] < b[2] for a, b in itertools.pairwise(lines)), member.name
        if member.kind == "bow":
            assert all(a[1] > b[1] for a, b in itertools.pairwise(lines)), member.name


def test_the_door_has_pillars_and_no_ribs_inside() -> None:
    parameters = preset("medium-high")
    door = parameters.side_door
    assert door is not None
    shell = build(parameters)
    for member in shell.members:
        x = -member.mesh.vertices[:, 0]
        if member.kind == "rib" and member.name.startswith("R"):
            assert x.max() < door.front_m or x.min() > door.rear_m, member.name
    spans = sorted(
        (float(-m.mesh.vertices[:, 0].max()), float(-m.mesh.vertices[:, 0].min()))
        for m in shell.members
        if m.kind == "rib" and m.name[0] == "R"
    )
    assert any(high == pytest.approx(door.front_m - 0.005, abs=1e-6) for _, high in spans)
    assert any(low == pytest.approx(door.rear_m + 0.005, abs=1e-6) for low, _ in spans)
    for code in ("RW", "RS"):
        x = -next(m for m in shell.members if m.name == code).mesh.vertices[:, 0]
        assert not ((x > door.front_m) & (x < door.rear_m)).any(), code


PLAIN = {
    "length_m": 3.0, "floor_width_m": 1.7, "waist_width_m": 1.7, "roof_edge_width_m": 1.7, "roof_edge_height_m": 1.6,
    "taper": 0.0, "side_door": None, "wheel_arch": None, "rib_stations_left": (0.5, 1.5, 2.5),
    "rib_stations_right": (0.5, 2.5), "bow_rows": (),
}  # fmt: skip


@pytest.mark.parametrize("rows", [(), (HoleRow(0.5, 0.03),), (HoleRow(0.5, 0.02), HoleRow(0.7, 0.02, "slot", 0.05))])
def test_volume_of_an_upright_hat_section(rows: tuple[HoleRow, ...]) -> None:
    """Closed form: two webs and a cap, less each hole's 16-gon about its clear circle in both webs.

    Sill box 80 mm and roof-edge rail 70 mm leave the rib's height, which reaches 1 mm into either; webs begin 0.5 mm
    off the skin. Area of a regular n-gon about a circle of diameter d: n (d/2)^2 tan(pi / n).
    """
    parameters = ShellParameters(**PLAIN, rib_rows=rows)
    mesh = next(m.mesh for m in build(parameters).members if m.name == "L2")
    high, depth, width, sheet = 1.6 - 0.08 - 0.07 + 0.002, 0.055 - 0.0005, 0.055, 0.0015
    solid = high * (width * depth - (width - 2 * sheet) * (depth - sheet))
    holes = sum(
        16 * (row.bore_m / 2) ** 2 * np.tan(np.pi / 16)
        + (row.length_m - row.bore_m if row.length_m else 0.0) * row.bore_m
        for row in rows
    )
    assert volume(mesh.vertices, mesh.faces) == pytest.approx(solid - 2 * sheet * holes, rel=1e-9)


def test_volume_of_a_front_pillar_box() -> None:
    """Closed form: a square tube 70 mm wide, 0.5 mm off both skins, cut square at the ends."""
    parameters = ShellParameters(**PLAIN, rib_rows=(), bulkhead=False)
    mesh = next(m.mesh for m in build(parameters).members if m.name == "LP")
    wide, high = 0.07 - 0.0005, 1.6 - 0.08 - 0.07 + 0.002
    assert volume(mesh.vertices, mesh.faces) == pytest.approx(high * (wide**2 - (wide - 0.003) ** 2), rel=1e-9)


def test_ribs_over_the_arch_start_above_it(shells: dict[str, Shell]) -> None:
    shell, arch = shells["medium-high"], preset("medium-high").wheel_arch
    assert arch is not None
    middle = arch.front_m + arch.length_m / 2
    over = [m for m in shell.members if m.kind == "rib" and abs(-m.mesh.vertices[:, 0].mean() - middle) < 0.3]
    assert len(over) >= 2
    for rib in over:
        assert 0.8 * arch.height_m < rib.mesh.vertices[:, 2].min() < arch.height_m + 1e-9
        lowest = [o.rim[:, 2].min() for o in shell.openings if o.member == rib.name]
        assert min(lowest) > arch.height_m
