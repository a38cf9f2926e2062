"""Array arithmetic on triangles against slow, obvious definitions written here."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.typing import NDArray

from ribway.router.geometry.meshes import (
    face_normals,
    nearest_on_triangles,
    segment_clearances,
    segment_distances,
    segment_hits,
    triangles,
)

Array = NDArray[np.float64]


def slow_point_segment(p: Array, a: Array, b: Array) -> float:
    """Distance from a point to a segment."""
    d = b - a
    size = float(d @ d)
    t = 0.0 if size == 0.0 else min(1.0, max(0.0, float((p - a) @ d) / size))
    return float(np.linalg.norm(p - a - t * d))


def slow_point_triangle(p: Array, tri: Array) -> float:
    """Distance from a point to a triangle: foot of the perpendicular if it lies inside, else the nearest edge."""
    a, b, c = tri
    n = np.cross(b - a, c - a)
    edges = min(slow_point_segment(p, u, v) for u, v in ((a, b), (b, c), (c, a)))
    if not n.any():
        return edges
    n = n / np.linalg.norm(n)
    height = float((p - a) @ n)
    foot = p - height * n
    inside = all(float(np.cross(v - u, foot - u) @ n) >= 0.0 for u, v in ((a, b), (b, c), (c, a)))
    return abs(height) if inside else edges


def slow_segment_segment(a: Array, b: Array, c: Array, d: Array) -> float:
    """Distance of two segments: at an end of one of them, or where the common perpendicular meets both."""
    best = min(
        slow_point_segment(a, c, d),
        slow_point_segment(b, c, d),
        slow_point_segment(c, a, b),
        slow_point_segment(d, a, b),
    )
    u, v = b - a, d - c
    n = np.cross(u, v)
    if float(n @ n) > 1e-20 * float(u @ u) * float(v @ v) > 0.0:
        s, t = np.linalg.lstsq(np.stack([u, -v], axis=1), c - a, rcond=None)[0]
        if 0.0 <= s <= 1.0 and 0.0 <= t <= 1.0:
            best = min(best, float(np.linalg.norm(a + s * u - c - t * v)))
    return best


def slow_hit(a: Array, b: Array, tri: Array) -> float:
    """Share of a segment at which it passes a triangle: opposite sides of the plane, same side of all edges."""
    p, q, r = tri
    n = np.cross(q - p, r - p)
    ha, hb = float((a - p) @ n), float((b - p) @ n)
    if ha * hb > 0.0 or ha == hb:
        return np.inf
    t = ha / (ha - hb)
    x = a + t * (b - a)
    turns = [float(np.cross(v - u, x - u) @ n) for u, v in ((p, q), (q, r), (r, p))]
    return t if min(turns) >= 0.0 else np.inf


@pytest.mark.parametrize("seed", range(3))
def test_nearest_points_equal_the_slow_way(seed: int) -> None:
    rng = np.random.default_rng(seed)
    tri, points = rng.normal(size=(40, 3, 3)), rng.normal(size=(60, 3)) * 2
    tri[:5, 2] = tri[:5, 1] + 1e-4 * rng.normal(size=(5, 3))  # slivers
    given = tri.copy(), points.copy()
    face, weights, distance = nearest_on_triangles(points, tri)
    slow = np.array([[slow_point_triangle(p, t) for t in tri] for p in points])
    assert distance == pytest.approx(slow.min(axis=1), abs=1e-9)
    assert slow[np.arange(60), face] == pytest.approx(slow.min(axis=1), abs=1e-9)
    assert (weights >= -1e-12).all()
    assert weights.sum(axis=1) == pytest.approx(np.ones(60), abs=1e-12)
    foot = np.einsum("nk,nkd->nd", weights, tri[face])
    assert np.linalg.norm(foot - points, axis=1) == pytest.approx(distance, abs=1e-12)
    assert np.array_equal(tri, given[0])
    assert np.array_equal(points, given[1])


def test_nearest_point_of_a_face_without_area_lies_on_its_longest_edge() -> None:
    flat = np.array([[[0.0, 0, 0], [1.0, 0, 0], [3.0, 0, 0]]])
    point = np.array([[2.0, 1.0, 0.0]])
    _, weights, distance = nearest_on_triangles(point, flat)
    assert distance[0] == pytest.approx(slow_point_triangle(point[0], flat[0]), abs=1e-12) == pytest.approx(1.0)
    assert weights[0] @ flat[0] == pytest.approx([2.0, 0.0, 0.0])


@pytest.mark.parametrize("seed", range(3))
def test_segment_distances_equal_the_slow_way(seed: int) -> None:
    rng = np.random.default_rng(10 + seed)
    a, b = rng.normal(size=(30, 3)), rng.normal(size=(30, 3))
    c, d = rng.normal(size=(30, 3)), rng.normal(size=(30, 3))
    b[:5] = a[:5]  # points
    d[5:10] = c[5:10] + (b[5:10] - a[5:10])  # parallel
    d[10:13] = c[10:13]  # points on the other side
    c[13], d[13] = a[14], b[14]  # the same
    fast = segment_distances(a[:, None], b[:, None], c[None], d[None])
    slow = np.array([[slow_segment_segment(a[i], b[i], c[j], d[j]) for j in range(30)] for i in range(30)])
    assert fast == pytest.approx(slow, abs=1e-7)


@pytest.mark.parametrize("seed", range(3))
def test_hits_equal_the_slow_way(seed: int) -> None:
    rng = np.random.default_rng(20 + seed)
    starts, ends, tri = rng.normal(size=(80, 3)), rng.normal(size=(80, 3)), rng.normal(size=(50, 3, 3))
    fast = segment_hits(starts[:, None], ends[:, None], tri[None])
    slow = np.array([[slow_hit(a, b, t) for t in tri] for a, b in zip(starts, ends, strict=True)])
    assert np.array_equal(np.isfinite(fast), np.isfinite(slow))
    hit = np.isfinite(slow)
    assert hit.sum() > 100
    assert fast[hit] == pytest.approx(slow[hit], abs=1e-9)


def test_a_ray_through_the_common_edge_of_two_faces_does_not_slip_between_them() -> None:
    tri = np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0]], [[0.0, 0, 0], [1, 1, 0], [0, 1, 0]]])
    at = np.linspace(0.01, 0.99, 99)
    starts, ends = np.stack([at, at, -np.ones(99)], axis=1), np.stack([at, at, np.ones(99)], axis=1)
    assert np.isfinite(segment_hits(starts[:, None], ends[:, None], tri[None])).any(axis=1).all()


def clearance(line: Array, tri: Array) -> float:
    """Least distance of a polyline to a mesh, every segment paired with every triangle."""
    segments, faces = np.repeat(np.arange(len(line) - 1), len(tri)), np.tile(np.arange(len(tri)), len(line) - 1)
    return float(segment_clearances(line[segments], line[segments + 1], tri[faces]).min(initial=np.inf))


@pytest.mark.parametrize("seed", range(4))
def test_clearance_equals_the_least_of_all_pairs(seed: int) -> None:
    rng = np.random.default_rng(30 + seed)
    line, tri = rng.normal(size=(6, 3)) + np.array((0, 0, 1.5 * (seed % 3))), rng.normal(size=(12, 3, 3)) * 0.5
    pairs = list(itertools.product(itertools.pairwise(line), tri))
    slow = min(
        0.0
        if np.isfinite(slow_hit(a, b, t))
        else min(
            slow_point_triangle(a, t),
            slow_point_triangle(b, t),
            *(slow_segment_segment(a, b, t[k], t[(k + 1) % 3]) for k in range(3)),
        )
        for (a, b), t in pairs
    )
    assert clearance(line, tri) == pytest.approx(slow, abs=1e-9)


def test_clearance_of_closed_forms() -> None:
    """A line 0.2 above a unit square, one through it, one that ends 0.3 short of its edge; no metal at all."""
    tri = np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0]], [[0.0, 0, 0], [1, 1, 0], [0, 1, 0]]])
    assert clearance(np.array([[-1.0, 0.5, 0.2], [2.0, 0.5, 0.2]]), tri) == pytest.approx(0.2)
    assert clearance(np.array([[0.3, 0.5, 0.2], [0.3, 0.5, -0.2]]), tri) == 0.0
    assert clearance(np.array([[2.0, 0.5, 0.0], [1.3, 0.5, 0.0]]), tri) == pytest.approx(0.3)
    assert clearance(np.array([[-1.0, 0.5, 0.0], [2.0, 0.5, 0.0]]), tri) == 0.0  # in the plane, across it
    assert clearance(np.array([[0.0, 0, 0], [1, 0, 0]]), np.zeros((0, 3, 3))) == np.inf


def test_normals_are_unit_and_right_handed_and_zero_without_area() -> None:
    vertices = np.array([[0.0, 0, 0], [2, 0, 0], [0, 3, 0], [4, 0, 0]])
    tri = triangles(vertices, np.array([[0, 1, 2], [0, 2, 1], [0, 1, 3]], dtype=np.int32))
    assert face_normals(tri).tolist() == [[0, 0, 1], [0, 0, -1], [0, 0, 0]]
