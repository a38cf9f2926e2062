"""Meshes that come with a general-purpose package, and broken ones: each is surveyed or refused in one sentence."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import pyvista
import trimesh
from drilled import block, drill, mesh_of

from ribway.router.shell.parts import Mesh
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.reading import read_mesh
from ribway.router.survey.repair import mend
from ribway.router.survey.survey import survey_file

EXAMPLES = Path(pyvista.__file__).parent / "examples"
FOREIGN = sorted(file.name for file in EXAMPLES.glob("*.ply"))


def refusal(file: Path) -> str:
    """Why a file is refused; empty if it is surveyed. Any other error than the one meant for it fails the test."""
    try:
        survey_file(file)
    except SurveyError as error:
        return str(error)
    return ""


def test_there_are_foreign_meshes() -> None:
    assert {"airplane.ply", "ant.ply"} <= set(FOREIGN)


@pytest.mark.parametrize("name", FOREIGN)
def test_foreign_mesh_is_surveyed_or_refused(name: str) -> None:
    read = read_mesh(EXAMPLES / name)
    want = pyvista.read(EXAMPLES / name)
    assert read.triangles == want.n_cells
    assert sum(len(mesh.vertices) for mesh in read.parts.values()) == want.n_points
    assert "\n" not in refusal(EXAMPLES / name)


def broken() -> dict[str, Mesh]:
    """Meshes with one kind of damage each."""
    good = mesh_of(block((0.6, 0.4, 0.02)) - drill(0.03))
    v, f = good.vertices, good.faces
    wing = np.array([[0, 1, len(v)]], dtype=np.int32)
    long = np.argmax(np.linalg.norm(v[f[:, 1]] - v[f[:, 0]], axis=1))
    a, b, c = f[long].tolist()
    split = np.array([[a, len(v), c], [len(v), b, c]], dtype=np.int32)
    return {
        "edge of three faces": Mesh(np.vstack([v, [[0, 0, 1.0]]]), np.vstack([f, wing])),
        "corner on an edge": Mesh(np.vstack([v, (v[a] + v[b])[None] / 2]), np.vstack([np.delete(f, long, 0), split])),
        "doubled": Mesh(v, np.vstack([f, f[:7]])),
        "flipped": Mesh(v, np.where((np.arange(len(f)) % 7 == 0)[:, None], f[:, ::-1], f)),
        "inside out": Mesh(v, f[:, ::-1].copy()),
        "needle": Mesh(v, np.vstack([f, [[a, b, b]]]).astype(np.int32)),
        "hole": Mesh(v, np.delete(f, long, 0)),
    }


@pytest.mark.parametrize("name", broken())
def test_damage_is_mended_or_counted(name: str) -> None:
    topology, mends = mend(broken()[name])
    done = {
        "edge of three faces": mends.wild_edges == 3,
        "corner on an edge": mends.junctions == 1,
        "doubled": mends.doubled == 7,
        "flipped": mends.flipped > 0,
        "inside out": mends.inside_out == 1,
        "needle": mends.flat == 1,
        "hole": mends.filled == 1,
    }
    assert done[name], mends
    if name != "edge of three faces":
        assert mends.open_edges == 0
        tri = topology.mesh.vertices[topology.mesh.faces]
        volume = np.einsum("ij,ij->i", tri[:, 0], np.cross(tri[:, 1], tri[:, 2])).sum() / 6
        assert volume == pytest.approx((block((0.6, 0.4, 0.02)) - drill(0.03)).volume(), rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_random_soup_never_crashes(tmp_path: Path, seed: int) -> None:
    """Triangles at random, many on one another: surveyed or refused."""
    rng = np.random.default_rng(seed)
    points = rng.integers(0, 5, (30, 3)) * np.array([0.9, 0.4, 0.45])
    faces = rng.integers(0, 30, (400, 3))
    trimesh.Trimesh(points, faces, process=False).export(tmp_path / "soup.ply")
    assert "\n" not in refusal(tmp_path / "soup.ply")
