"""Skins are welded single sheets of flat strips that unroll without stretch and look into the van."""

from __future__ import annotations

import numpy as np
import pytest
from mesh_facts import area_vectors, euler, is_sheet, unroll

from ribway.router.shell.build import build
from ribway.router.shell.parameters import ShellParameters
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import PRESETS, preset

HOLES = {"short-high": (1, 1), "medium-high": (1, 2), "long-high": (1, 2)}
"""Windows and doors in the left and right wall of each preset."""


@pytest.mark.parametrize("name", PRESETS)
def test_each_skin_is_one_connected_sheet_with_its_openings(shells: dict[str, Shell], name: str) -> None:
    holes = dict(zip(("left", "right"), HOLES[name], strict=True))
    for skin in shells[name].skins:
        assert is_sheet(skin.mesh.faces), skin.name
        assert euler(skin.mesh.faces) == 1 - holes.get(skin.name, 0), skin.name
        assert len(unroll(skin.mesh.vertices, skin.mesh.faces)) == len(skin.mesh.vertices), skin.name


@pytest.mark.parametrize("name", PRESETS)
def test_normals_look_into_the_van(shells: dict[str, Shell], name: str) -> None:
    shell = shells[name]
    middle = np.array([-shell.length_m / 2, 0.0, 1.0])
    for skin in shell.skins:
        centres = skin.mesh.vertices[skin.mesh.faces].mean(axis=1)
        towards = np.einsum("ij,ij->i", area_vectors(skin.mesh.vertices, skin.mesh.faces), middle - centres)
        assert (towards > 0).all(), skin.name


@pytest.mark.parametrize("taper", [0.0, 0.01, 0.03])
def test_skins_unroll_without_stretch(taper: float) -> None:
    """Definition of a developable sheet: hinged flat along any path, each vertex comes to one place."""
    for skin in build(preset("medium-high", taper=taper)).skins:
        for vertex, places in unroll(skin.mesh.vertices, skin.mesh.faces).items():
            spread = np.ptp(np.array(places), axis=0).max()
            assert spread < 1e-9, (skin.name, vertex, spread)


def test_a_dented_sheet_would_be_noticed() -> None:
    corners = np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [0.5, 0.5, 0.1]], dtype=float)
    faces = np.array([[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]], dtype=np.int32)
    assert max(np.ptp(np.array(p), axis=0).max() for p in unroll(corners, faces).values()) > 1e-3


@pytest.mark.parametrize("name", PRESETS)
def test_strips_are_few_flat_and_tapered(shells: dict[str, Shell], name: str) -> None:
    """Two strips a wall, nine on the roof, one plane each."""
    shell, parameters = shells[name], preset(name)
    strips = {"left": 2, "right": 2, "roof": 9, "floor": 1, "bulkhead": 1}
    for skin in shell.skins:
        normals = area_vectors(skin.mesh.vertices, skin.mesh.faces)
        unit = normals / np.linalg.norm(normals, axis=1)[:, None]
        offsets = np.einsum("ij,ij->i", unit, skin.mesh.vertices[skin.mesh.faces[:, 0]])
        planes = np.unique(np.column_stack([unit, offsets]).round(7), axis=0)
        assert len(planes) == strips[skin.name], skin.name
        assert len(skin.mesh.faces) <= 60, skin.name
    left = next(skin for skin in shell.skins if skin.name == "left").mesh.vertices
    for x, lost in ((0.0, 0.0), (-parameters.length_m, parameters.taper * parameters.length_m)):
        at_end = left[np.abs(left[:, 0] - x) < 1e-9]
        widths = {round(z, 6): y for _, y, z in at_end.tolist()}
        assert widths[0.0] == pytest.approx(parameters.floor_width_m / 2 - lost, abs=1e-12)
        assert widths[parameters.waist_height_m] == pytest.approx(parameters.waist_width_m / 2 - lost, abs=1e-12)
        assert widths[parameters.roof_edge_height_m] == pytest.approx(
            parameters.roof_edge_width_m / 2 - lost, abs=1e-12
        )


def test_areas_of_a_plain_box_section() -> None:
    """Upright walls: the wall is a parallelogram, the floor a trapezoid; a chamfered window is a box less 4 corners."""
    taper, length, width, height = 0.02, 3.0, 1.7, 1.6
    plain = ShellParameters(
        length_m=length, floor_width_m=width, waist_width_m=width, roof_edge_width_m=width, roof_edge_height_m=height,
        taper=taper, side_door=None, wheel_arch=None, rib_stations_left=(0.5, 1.5, 2.5), rib_stations_right=(0.5, 2.5),
    )  # fmt: skip
    area = {
        skin.name: np.linalg.norm(area_vectors(skin.mesh.vertices, skin.mesh.faces), axis=1).sum()
        for skin in build(plain).skins
    }
    assert area["left"] == pytest.approx(length * height * np.hypot(1, taper), rel=1e-12)
    assert area["right"] == pytest.approx(area["left"], rel=1e-12)
    assert area["floor"] == pytest.approx(length * (width - taper * length), rel=1e-12)
    window = preset("medium-high").windows[0]
    one = preset("medium-high", windows=(window,), taper=0.0)
    none = preset("medium-high", windows=(), taper=0.0)
    with_it, without = (build(p).skins[0].mesh for p in (one, none))
    lost = sum(
        np.linalg.norm(area_vectors(m.vertices, m.faces), axis=1).sum() * s for m, s in ((without, 1), (with_it, -1))
    )
    slope = np.hypot(1, (one.waist_width_m - one.roof_edge_width_m) / 2 / (one.roof_edge_height_m - one.waist_height_m))
    box = (window.rear_m - window.front_m) * (window.top_m - window.bottom_m) - 2 * 0.03**2
    assert lost == pytest.approx(box * slope, rel=1e-9)
