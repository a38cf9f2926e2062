"""Presets whose skins and members are one body, as a boolean union leaves them: parted again, drafted and routed."""

from __future__ import annotations

from pathlib import Path

import manifold3d
import numpy as np
import pytest
import trimesh
from nameless import draft, lengths_on, routes_of, shell

from ribway.router.shell.parts import Mesh
from ribway.router.shell.solids import to_manifold
from ribway.router.survey.repair import mend
from ribway.router.survey.survey import survey_file
from ribway.router.survey.topology import bodies, topology_of
from ribway.router.survey.united import is_united, parted

NAMES = ("short-high", "medium-high", "long-high")


def thickened(mesh: Mesh, inward_m: float, outward_m: float, middle: np.ndarray) -> list[manifold3d.Manifold]:
    """A skin's triangles as prisms: some of the sheet towards the room, the rest away from it."""
    tri = mesh.vertices[mesh.faces]
    normal = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    normal *= np.sign(np.einsum("ij,ij->i", tri.mean(axis=1) - middle, normal))[:, None]
    return [
        manifold3d.Manifold.hull_points(np.concatenate([one - inward_m * n, one + outward_m * n]))
        for one, n in zip(tri, normal, strict=True)
    ]


def united(name: str, inward_m: float) -> Mesh:
    """The preset's skins, members and wheel arches as one boolean union."""
    made = shell(name)
    corners = np.concatenate([skin.mesh.vertices for skin in made.skins])
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2
    solids = [one for skin in made.skins for one in thickened(skin.mesh, inward_m, 0.001, middle)]
    solids += [to_manifold(one.mesh.vertices, one.mesh.faces) for one in (*made.members, *made.obstacles)]
    whole = manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add).to_mesh()
    return Mesh(np.asarray(whole.vert_properties[:, :3], dtype=np.float64), np.asarray(whole.tri_verts, dtype=np.int32))


def written(folder: Path, name: str, inward_m: float) -> Path:
    mesh = united(name, inward_m)
    file = folder / "van.ply"
    trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).export(file)
    return file


@pytest.mark.parametrize("name", NAMES)
def test_a_union_is_parted_into_the_members_of_the_preset(name: str, tmp_path: Path) -> None:
    """Each by its name, kind and place; each opening in its member; routes within 0.15 % of those on the preset."""
    made = shell(name)
    survey = survey_file(written(tmp_path, name, 1e-5))
    for skin in made.skins:
        area = float(topology_of(survey.skins[skin.name]).areas.sum())
        assert area == pytest.approx(float(topology_of(skin.mesh).areas.sum()), rel=0.02)
    assert survey.fused == ()
    members = {part.name: part for part in survey.parts if part.member_kind is not None}
    assert {one.name for one in made.members} <= set(members)
    assert len(members) <= len(made.members) + 1
    for one in made.members:
        part = members[one.name]
        assert (part.kind, part.skins[0]) == (one.kind, one.skins[0])
        for end in (np.min, np.max):
            # Where two members cross, up to a rail's width is the other's.
            assert np.abs(end(part.mesh.vertices, axis=0) - end(one.mesh.vertices, axis=0)).max() < 0.1
    assert {part.name for part in survey.parts if part.kind == "obstacle"} == {"arch-left", "arch-right"}
    ways = {one.name: one for one in survey.ways}
    for opening in made.openings:
        near = min(ways.values(), key=lambda one: _off(one.line - survey.placing.moved, opening.line))
        assert _off(near.line - survey.placing.moved, opening.line) < 0.003
        assert (near.member, set(near.skins)) == (opening.member, {opening.skin_a, opening.skin_b})
    assert len(ways) == len(made.openings)
    original, pairs, lengths = routes_of(name, 16, 12, 3)
    change = lengths_on(draft(survey, tmp_path), tmp_path, original, pairs) / lengths - 1
    assert np.abs(change).max() < 0.0015


def test_members_that_have_grown_into_the_sheet_stay_one_where_they_are_not_told_apart(tmp_path: Path) -> None:
    """Sheet of 2 mm into which the members reach: what is not parted cleanly is one frame, all of whose openings are found."""
    name = NAMES[0]
    made = shell(name)
    survey = survey_file(written(tmp_path, name, 1e-3))
    assert [part.kind for part in survey.fused] == ["brace"]
    found = [one for one in survey.openings if one.kind in ("way", "access")]
    gaps = np.array([[_off(one.line - survey.placing.moved, true.line) for true in made.openings] for one in found])
    near = gaps < 0.003
    assert near.any(axis=0).sum() >= 0.99 * len(made.openings), "recall"
    assert near.any(axis=1).sum() >= 0.98 * len(found), "precision"
    assert len(survey.ways) >= 0.99 * len(made.openings)
    original, pairs, lengths = routes_of(name, 16, 12, 3)
    change = lengths_on(draft(survey, tmp_path), tmp_path, original, pairs) / lengths - 1
    assert np.abs(change).max() < 0.015


def _off(line: np.ndarray, true: np.ndarray) -> float:
    """How far the two mouths of a passage lie off those of another [m]."""
    ends, wanted = line[[0, -1]], true[[0, -1]]
    return min(float(np.abs(ends - wanted).max()), float(np.abs(ends[::-1] - wanted).max()))


def test_the_preset_itself_is_not_united() -> None:
    made = shell(NAMES[0])
    parts = [*(one.mesh for one in made.skins), *(one.mesh for one in made.members)]
    whole = trimesh.util.concatenate([trimesh.Trimesh(one.vertices, one.faces, process=False) for one in parts])
    topology, _ = mend(Mesh(np.asarray(whole.vertices), np.asarray(whole.faces, dtype=np.int32)))
    assert not is_united(topology, bodies(topology))


def test_a_box_without_members_becomes_its_own_inner_sheet() -> None:
    """A room of 3 by 2 by 2 m in sheet of 2 mm, open to the rear: its four walls and its front, and nothing left over."""
    outer = manifold3d.Manifold.cube((3.0, 2.004, 2.004)).translate((-3.0, -1.002, -0.002))
    inner = manifold3d.Manifold.cube((3.0, 2.0, 2.0)).translate((-3.002, -1.0, 0.0))
    whole = (outer - inner).to_mesh()
    topology, _ = mend(
        Mesh(np.asarray(whole.vert_properties[:, :3], dtype=np.float64), np.asarray(whole.tri_verts, dtype=np.int32))
    )
    assert is_united(topology, bodies(topology))
    apart = parted(topology)
    assert apart is not None
    sheet = topology_of(apart.mesh)
    assert float(sheet.areas.sum()) == pytest.approx(4 * 2.998 * 2.0 + 4.0, rel=0.01)
