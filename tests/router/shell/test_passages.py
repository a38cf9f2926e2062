"""Every passage is free for its bore from mouth to mouth, and metal stands in it where its hole is not cut."""

from __future__ import annotations

import numpy as np
import pytest
from tube_clearance import crosses, least_distance

from ribway.router.shell.build import build
from ribway.router.shell.fittings import arch_cutters
from ribway.router.shell.members import build_members
from ribway.router.shell.parameters import BOW_ROWS, HoleRow, ShellParameters, SideDoor
from ribway.router.shell.parts import Mesh, Opening, Shell
from ribway.router.shell.presets import PRESETS, preset
from ribway.router.shell.profile import make_profile

SMALL_ROWS = (HoleRow(0.25, 0.012), HoleRow(0.5, 0.010, "slot", 0.03), HoleRow(1.25, 0.008))
VARIANTS: dict[str, dict[str, object]] = {
    "shallow": {"rib_depth_m": 0.030, "rib_rows": SMALL_ROWS, "bow_rows": (HoleRow(0.4, 0.012), HoleRow(-0.4, 0.012))},
    "deep": {"rib_depth_m": 0.080, "rib_width_m": 0.090, "sheet_m": 0.002, "taper": 0.03},
    "left door": {"side_door": SideDoor("left", 0.08, 1.30), "windows": ()},
    "late door": {"side_door": SideDoor("right", 0.60, 1.70), "bow_stations": (0.6, 1.3, 2.0, 2.9), "windows": ()},
    "no bulkhead": {"bulkhead": False, "wheel_arch": None, "side_door": None},
    "flat roof": {"centre_height_m": 1.70, "roof_edge_width_m": 1.75, "bow_rows": BOW_ROWS[1:3]},
}


def metal(shell: Shell) -> np.ndarray:
    """All triangles of members, skins and obstacles, ``(n, 3, 3)``."""
    meshes = [part.mesh for part in (*shell.members, *shell.skins, *shell.obstacles)]
    return np.concatenate([mesh.vertices[mesh.faces] for mesh in meshes])


def clear_m(opening: Opening, triangles: np.ndarray) -> float:
    """Least distance from the passage to any metal [m]."""
    legs = zip(opening.line[:-1], opening.line[1:], strict=True)
    return min(least_distance(a, b, triangles, 0.03) for a, b in legs)


def is_crossed(opening: Opening, mesh: Mesh) -> bool:
    """Does the passage run through a mesh."""
    legs = zip(opening.line[:-1], opening.line[1:], strict=True)
    return any(crosses(a, b, mesh.vertices[mesh.faces]).any() for a, b in legs)


@pytest.mark.parametrize("name", PRESETS)
def test_passages_of_presets_are_free(shells: dict[str, Shell], name: str) -> None:
    triangles = metal(shells[name])
    for opening in shells[name].openings:
        assert clear_m(opening, triangles) >= opening.bore_m / 2 - 0.0005, opening.name


@pytest.mark.parametrize("name", VARIANTS)
def test_passages_of_other_vans_are_free_and_end_over_skin(name: str) -> None:
    shell = build(preset("medium-high", **VARIANTS[name]))
    triangles = metal(shell)
    assert len(shell.openings) > 60
    for opening in shell.openings:
        assert clear_m(opening, triangles) >= opening.bore_m / 2 - 0.0005, opening.name
    assert_mouths_over_skin(shell)


@pytest.mark.parametrize("name", PRESETS)
def test_uncut_members_stand_in_every_passage(shells: dict[str, Shell], name: str) -> None:
    parameters = preset(name)
    profile = make_profile(parameters)
    uncut = {m.name: m.mesh for m in build_members(parameters, profile, (), arch_cutters(parameters, profile))}
    for opening in shells[name].openings:
        assert is_crossed(opening, uncut[opening.member]), opening.name


def test_one_missing_hole_is_filled_and_no_other(shells: dict[str, Shell]) -> None:
    full = shells["medium-high"]
    less = build(preset("medium-high", missing_holes=(("L4", 2), ("B3", 4))))
    assert len(less.openings) == len(full.openings) - 2
    meshes = {member.name: member.mesh for member in less.members}
    closed = {o.name for o in full.openings if is_crossed(o, meshes[o.member])}
    assert closed == {"L4b", "B3d"}


def assert_mouths_over_skin(shell: Shell) -> None:
    """From each mouth to the nearest metal of its skin it is the lay depth; near a fold it may be a little less."""
    skins = {skin.name: skin for skin in shell.skins}
    for opening in shell.openings:
        for mouth, place in ((opening.line[0], opening.skin_a), (opening.line[-1], opening.skin_b)):
            skin = skins[place]
            off = least_distance(mouth, mouth + 1e-7, skin.mesh.vertices[skin.mesh.faces], 0.1)
            assert skin.lay_depth_m - 0.002 < off < skin.lay_depth_m + 1e-5, (opening.name, off)


@pytest.mark.parametrize("name", PRESETS)
def test_mouths_lie_at_the_lay_depth_over_whole_skin(shells: dict[str, Shell], name: str) -> None:
    assert_mouths_over_skin(shells[name])


@pytest.mark.parametrize("name", PRESETS)
def test_rims_have_the_stated_clear_width(shells: dict[str, Shell], name: str) -> None:
    """Across a 16-gon about a circle the flats are the diameter apart; the rim is square to the first leg."""
    for opening in shells[name].openings:
        first = opening.line[1] - opening.line[0]
        first = first / np.linalg.norm(first)
        centre = opening.rim.mean(axis=0)
        assert np.abs((opening.rim - centre) @ first).max() < 1e-9
        assert np.linalg.norm(np.cross(centre - opening.line[0], first)) < 1e-9
        rolled = np.roll(opening.rim, -1, axis=0)
        edges = rolled - opening.rim
        apart = np.linalg.norm(np.cross(opening.rim - centre, edges), axis=1) / np.linalg.norm(edges, axis=1)
        assert apart.min() == pytest.approx(opening.bore_m / 2, rel=1e-9), opening.name


def test_the_check_itself_notices_a_tight_hole() -> None:
    shell = build(ShellParameters(name="x"))
    opening = shell.openings[0]
    moved = Opening(
        opening.name, opening.member, opening.shape, opening.bore_m, opening.length_m,
        opening.line + np.array([0.0, 0.0, 0.002]), opening.skin_a, opening.skin_b, opening.rim,
    )  # fmt: skip
    assert clear_m(moved, metal(shell)) < opening.bore_m / 2 - 0.0005
