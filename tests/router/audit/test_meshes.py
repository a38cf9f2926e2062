"""Segments against triangles: the fast test equals signed volumes on random input, and edges and ends count."""

from __future__ import annotations

import base64

import numpy as np
import pytest

from ribway.models.plan.shell import PlanPart
from ribway.router.audit import meshes
from ribway.router.audit.meshes import crossings, triangles_of

SQUARE = np.array(
    [[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [1.0, 1.0, 0.0]], [[0.0, 0.0, 0.0], [1.0, 1.0, 0.0], [0.0, 1.0, 0.0]]]
)


def volume(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> float:
    """Six times the signed volume of a tetrahedron, as the determinant's definition has it."""
    return float(np.linalg.det(np.array([b - a, c - a, d - a])))


def meets(start: np.ndarray, end: np.ndarray, corner: np.ndarray) -> bool:
    """Ends on different sides of the plane, and the line on the same side of all three edges."""
    a, b, c = corner
    if volume(a, b, c, start) * volume(a, b, c, end) > 0:
        return False
    sides = [volume(start, end, a, b), volume(start, end, b, c), volume(start, end, c, a)]
    return all(side > 0 for side in sides) or all(side < 0 for side in sides)


@pytest.mark.parametrize("at_once", [7, 2_000_000])
def test_it_equals_signed_volumes(monkeypatch: pytest.MonkeyPatch, at_once: int) -> None:
    monkeypatch.setattr(meshes, "PAIRS_AT_ONCE", at_once)
    random = np.random.default_rng(7)
    start, end = random.random((60, 3)), random.random((60, 3))
    triangles = random.random((40, 1, 3)) + 0.4 * random.random((40, 3, 3)) - 0.2
    segment, where = crossings(start, end, triangles)
    found = np.bincount(segment, minlength=60)
    wanted = [sum(meets(s, e, corner) for corner in triangles) for s, e in zip(start, end, strict=True)]
    assert found.tolist() == wanted
    assert sum(wanted) > 20
    off = np.linalg.norm(np.cross(where - start[segment], end[segment] - start[segment]), axis=1)
    assert off.max() < 1e-9


@pytest.mark.parametrize(
    ("start", "end", "count"),
    [
        ((0.2, 0.1, -1.0), (0.2, 0.1, 1.0), 1),
        ((0.2, 0.1, -1.0), (0.2, 0.1, 0.0), 1),  # ends on the metal
        ((0.5, 0.5, -1.0), (0.5, 0.5, 1.0), 2),  # through the edge that both triangles share
        ((1.5, 0.5, -1.0), (1.5, 0.5, 1.0), 0),
        ((0.2, 0.1, 0.001), (0.2, 0.1, 1.0), 0),
        ((0.1, 0.2, 0.0), (0.9, 0.3, 0.0), 0),  # lies in the plane
        ((0.2, 0.1, 0.5), (0.2, 0.1, 0.5), 0),  # no length
    ],
)
def test_edges_and_ends(start: tuple[float, ...], end: tuple[float, ...], count: int) -> None:
    segment, _ = crossings(np.array([start]), np.array([end]), SQUARE)
    assert len(segment) == count


def packed(vertices: list[float], faces: list[int]) -> PlanPart:
    return PlanPart(
        name="part", kind="member", vertices_f32=base64.b64encode(np.array(vertices, dtype="<f4").tobytes()).decode(),
        faces_u32=base64.b64encode(np.array(faces, dtype="<u4").tobytes()).decode(),
    )  # fmt: skip


def test_arrays_are_unpacked() -> None:
    corners = triangles_of(packed([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0], [0, 1, 2, 0, 2, 3]))
    assert corners is not None
    assert corners.tolist() == SQUARE.tolist()


@pytest.mark.parametrize(
    ("vertices", "faces"),
    [
        ([0, 0, 0, 1, 0, 0, 1, 1, 0], [0, 1, 3]),
        ([0, 0], [0, 0, 0]),
        ([0, 0, 0], [0, 0]),
        ([float("nan"), 0, 0], [0, 0, 0]),
    ],
)
def test_arrays_that_make_no_triangles(vertices: list[float], faces: list[int]) -> None:
    assert triangles_of(packed(vertices, faces)) is None
