"""Sheets laid flat: exact where they unroll, soundly bounded where they do not.

Lengths on doubly curved sheets are taken by pygeodesic (exact polyhedral geodesics) and by the great-circle arc.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from pygeodesic import geodesic

from ribway.router.geometry.charts import Chart
from ribway.router.geometry.unrolling import ChartError, chart_of, weld

Array = NDArray[np.float64]
X = np.array([1.0, 0.0, 0.0])


def strip(profile: Array, stations: Array) -> tuple[Array, NDArray[np.int32]]:
    """A sheet folded along lines parallel to x: a profile in (y, z) drawn along x. Its normals look to the left of the
    profile's direction, seen against x."""
    rows, columns = len(stations), len(profile)
    vertices = np.array([[x, y, z] for x in stations for y, z in profile])
    faces = []
    for i in range(rows - 1):
        for j in range(columns - 1):
            a, b, c, d = i * columns + j, i * columns + j + 1, (i + 1) * columns + j + 1, (i + 1) * columns + j
            faces += [[a, d, c], [a, c, b]]
    return vertices, np.array(faces, dtype=np.int32)


def edge_lengths(points: Array, faces: NDArray[np.int32]) -> Array:
    return np.stack([np.linalg.norm(points[faces[:, i]] - points[faces[:, (i + 1) % 3]], axis=1) for i in range(3)])


def turned(points: Array, seed: int) -> tuple[Array, Array]:
    """Points and a rotation of space that was applied to them."""
    q, _ = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    q = q * np.sign(np.linalg.det(q))
    return points @ q.T + [0.3, -2.0, 1.0], q


PROFILES = {
    "flat": np.array([[0.0, 0.0], [0.0, 1.4]]),
    "one fold": np.array([[0.9, 0.0], [0.92, 1.0], [0.8, 1.6]]),
    "zigzag": np.array([[0.0, 0.0], [0.3, 0.2], [0.35, 0.6], [0.2, 0.9], [0.5, 1.2]]),
    "half round": np.stack([0.8 * np.cos(np.linspace(0, np.pi, 40)), 0.8 * np.sin(np.linspace(0, np.pi, 40))], axis=1),
    "three sides of a box": np.array([[0.9, 0.0], [0.9, 1.5], [-0.9, 1.5], [-0.9, 0.0]]),
}


@pytest.mark.parametrize("name", PROFILES)
@pytest.mark.parametrize("seed", range(2))
def test_folded_sheets_unroll_exactly(name: str, seed: int) -> None:
    profile = PROFILES[name]
    plain, faces = strip(profile, -np.array([0.0, 0.7, 1.1, 3.0]))
    vertices, turn = turned(plain, seed)
    chart = chart_of(vertices, faces, turn @ X)
    assert chart.exact
    assert chart.stretch == 1.0
    girth = float(np.hypot(*np.diff(profile, axis=0).T).sum())
    low, high = chart.flat.min(axis=0), chart.flat.max(axis=0)
    assert high - low == pytest.approx([3.0, girth], abs=1e-9), "length along the first axis, girth along the second"
    assert shapely.area(chart.outline) == pytest.approx(3.0 * girth, rel=1e-9)
    assert edge_lengths(chart.flat, chart.faces) == pytest.approx(edge_lengths(chart.vertices, chart.faces), abs=1e-9)
    # Seen from the side the normals look to, the plane is the sheet and not its mirror image.
    e1, e2 = (chart.flat_corners[:, k] - chart.flat_corners[:, 0] for k in (1, 2))
    assert (e1[:, 0] * e2[:, 1] - e1[:, 1] * e2[:, 0] > 0.0).all()


def test_the_first_axis_is_the_direction_asked_for() -> None:
    vertices, faces = strip(PROFILES["one fold"], -np.array([0.0, 2.0]))
    chart = chart_of(vertices, faces, X)
    middle = chart.flat_corners[0].mean(axis=0)
    assert chart.direction(middle, X) == pytest.approx([1.0, 0.0], abs=1e-12)
    leaning = np.array([0.0, 0.02, 1.0]) / math.hypot(0.02, 1.0)  # up the lower strip
    at_lower = chart.flatten(np.array([[-1.0, 0.91, 0.5]]))[0][0]
    up = chart.direction(at_lower, leaning)
    assert up == pytest.approx([0.0, up[1]], abs=1e-12)
    assert abs(up[1]) == pytest.approx(1.0)
    assert np.hypot(*chart.direction(at_lower, np.array([0.0, 1.0, -0.02]))) == pytest.approx(0.0, abs=1e-9)


def test_a_window_is_a_hole_of_the_plane() -> None:
    vertices, faces = strip(np.array([[0.9, z] for z in np.linspace(0, 1.5, 16)]), -np.linspace(0, 3, 31))
    middle = vertices[faces].mean(axis=1)
    window = (middle[:, 0] < -1.0) & (middle[:, 0] > -1.5) & (middle[:, 2] > 0.8) & (middle[:, 2] < 1.2)
    chart = chart_of(vertices, faces[~window], X)
    assert chart.exact
    assert shapely.area(chart.outline) == pytest.approx(3.0 * 1.5 - 0.5 * 0.4, rel=1e-9)
    assert isinstance(chart.outline, shapely.Polygon)
    assert len(chart.outline.interiors) == 1
    assert shapely.Polygon(chart.outline.interiors[0]).area == pytest.approx(0.5 * 0.4, rel=1e-9)


def test_loose_copies_of_vertices_are_welded() -> None:
    vertices, faces = strip(PROFILES["zigzag"], -np.array([0.0, 1.0, 2.0]))
    soup = vertices[faces].reshape(-1, 3)
    joined, sewn = weld(soup, np.arange(len(soup), dtype=np.int32).reshape(-1, 3))
    assert len(joined) == len(vertices)
    assert {tuple(np.round(p, 9)) for p in joined[sewn].reshape(-1, 3)} == {tuple(np.round(p, 9)) for p in vertices}
    chart = chart_of(soup, np.arange(len(soup), dtype=np.int32).reshape(-1, 3), X)
    assert chart.exact


@pytest.mark.parametrize("name", ["one fold", "zigzag", "half round"])
def test_what_is_laid_flat_comes_back(name: str) -> None:
    rng = np.random.default_rng(5)
    vertices, faces = strip(PROFILES[name], -np.linspace(0, 2, 5))
    chart = chart_of(vertices, faces, X)
    weights = rng.dirichlet(np.ones(3), 200)
    face = rng.integers(0, len(chart.faces), 200)
    on = np.einsum("nk,nkd->nd", weights, chart.corners[face])
    flat, off = chart.flatten(on)
    assert off == pytest.approx(np.zeros(200), abs=1e-9)
    back = np.array([chart.lift(np.vstack([p, p]), 0.0)[0] for p in flat])
    assert back == pytest.approx(on, abs=1e-9)
    above = on + 0.02 * np.einsum("nk,nkd->nd", np.ones((200, 1)), chart_normals(chart)[face][:, None])
    assert chart.flatten(above)[1].max() <= 0.02 + 1e-9


def chart_normals(chart: Chart) -> Array:
    n = np.cross(chart.corners[:, 1] - chart.corners[:, 0], chart.corners[:, 2] - chart.corners[:, 0])
    return np.asarray(n / np.linalg.norm(n, axis=1, keepdims=True))


@pytest.mark.parametrize("name", ["one fold", "zigzag", "half round"])
def test_a_line_in_an_exact_plane_is_as_long_on_the_metal(name: str) -> None:
    rng = np.random.default_rng(7)
    vertices, faces = strip(PROFILES[name], -np.linspace(0, 2, 4))
    chart = chart_of(vertices, faces, X)
    low, high = chart.flat.min(axis=0), chart.flat.max(axis=0)
    for _ in range(20):
        line = rng.uniform(low, high, (3, 2))
        solid = chart.lift(line, 0.0)
        assert np.linalg.norm(np.diff(solid, axis=0), axis=1).sum() == pytest.approx(
            np.hypot(*np.diff(line, axis=0).T).sum(), abs=1e-8
        )
        # Off the metal by the depth asked for wherever the line is away from a fold.
        off = chart.flatten(chart.lift(line, 0.02)[[0]])[1]
        assert 0.0 < off[0] <= 0.02 + 1e-9


def test_the_lifted_line_of_a_fold_by_hand() -> None:
    """Two strips at a right angle, 1 m each; a line from corner to corner of the unrolled 2 x 1 sheet."""
    vertices, faces = strip(np.array([[0.0, 0.0], [0.0, 1.0], [-1.0, 1.0]]), -np.array([0.0, 1.0]))
    chart = chart_of(vertices, faces, X)
    start, end = chart.flatten(np.array([[0.0, 0.0, 0.0], [-1.0, -1.0, 1.0]]))[0]
    solid = chart.lift(np.vstack([start, end]), 0.0)
    assert np.hypot(*(end - start)) == pytest.approx(math.sqrt(5.0))
    assert any(point == pytest.approx([-0.5, 0.0, 1.0], abs=1e-9) for point in solid), "crosses the fold half way"


def cap(radius: float, half_angle: float, n: int) -> tuple[Array, NDArray[np.int32]]:
    """A square-ish piece of a sphere about its top, on an n x n grid."""
    reach = radius * math.sin(half_angle) / math.sqrt(2.0)
    grid = np.linspace(-reach, reach, n)
    xy = np.array([[x, y] for x in grid for y in grid])
    vertices = np.column_stack([xy, np.sqrt(radius**2 - (xy**2).sum(axis=1))])
    faces = []
    for i in range(n - 1):
        for j in range(n - 1):
            a, b, c, d = i * n + j, (i + 1) * n + j, (i + 1) * n + j + 1, i * n + j + 1
            faces += [[a, b, c], [a, c, d]]
    return vertices, np.array(faces, dtype=np.int32)


@pytest.mark.parametrize("half_angle_deg", [15.0, 40.0, 65.0])
def test_a_dome_is_projected_and_its_stretch_bounds_every_length(half_angle_deg: float) -> None:
    radius, n = 2.0, 15
    vertices, faces = cap(radius, math.radians(half_angle_deg), n)
    chart = chart_of(vertices, faces, X)
    assert not chart.exact
    # A face of the mesh leans no more than the sphere does at its rim.
    assert 1.0 < chart.stretch <= 1.0 / math.cos(math.radians(half_angle_deg)) + 1e-9
    exact = geodesic.PyGeodesicAlgorithmExact(chart.vertices, chart.faces)
    rng = np.random.default_rng(3)
    for a, b in rng.integers(0, len(chart.vertices), (60, 2)):
        if a == b:
            continue
        true_m, _ = exact.geodesicDistance(int(a), int(b))
        plane_m = float(np.hypot(*(chart.flat[a] - chart.flat[b])))
        assert plane_m <= true_m + 1e-9
        assert true_m <= chart.stretch * plane_m + 1e-9
        arc_m = radius * math.acos(np.clip(chart.vertices[a] @ chart.vertices[b] / radius**2, -1.0, 1.0))
        # The mesh is inscribed, which shortens by less than 1 % here; past the sheet's hollow rim the way is longer.
        assert true_m >= 0.99 * arc_m
        laid = chart.lift(np.vstack([chart.flat[a], chart.flat[b]]), 0.0)
        assert np.linalg.norm(np.diff(laid, axis=0), axis=1).sum() <= chart.stretch * plane_m + 1e-9
    # No smaller number would do: straight down the steepest face the metal is that much longer than the plane.
    normals = chart_normals(chart)
    steepest = int(np.argmin(normals @ normals.mean(axis=0)))
    solid, plane = (corners[steepest][1:] - corners[steepest][0] for corners in (chart.corners, chart.flat_corners))
    assert np.linalg.svd(np.linalg.solve(plane, solid), compute_uv=False)[0] == pytest.approx(chart.stretch, rel=1e-9)


def test_what_cannot_be_laid_flat_is_refused() -> None:
    with pytest.raises(ChartError, match="no faces"):
        chart_of(np.zeros((3, 3)), np.zeros((0, 3), dtype=np.int32), X)
    corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    closed = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]], dtype=np.int32)
    with pytest.raises(ChartError, match="hull: the sheet turns by more than 80 degrees"):
        chart_of(corner, closed, X, "hull")


def test_a_spiral_that_unrolls_onto_itself_is_not_called_exact() -> None:
    """Three quarters of a cone's side twice round: its plane overlaps itself, its projection too."""
    turns = np.linspace(0, 4 * math.pi, 65)
    rim = np.column_stack([np.cos(turns), np.sin(turns), 0.2 * turns])
    vertices = np.vstack([0.2 * rim + [0, 0, 0.0], rim])
    faces = []
    for i in range(64):
        faces += [[i, 65 + i, 66 + i], [i, 66 + i, i + 1]]
    try:
        chart = chart_of(vertices, np.array(faces, dtype=np.int32), X)
    except ChartError:
        return
    assert not chart.exact


@pytest.mark.parametrize("name", ["flat", "one fold", "zigzag", "half round"])
@pytest.mark.parametrize("seed", range(6))
def test_what_is_straight_below_a_lifted_line_is_near_it(name: str, seed: int) -> None:
    """Against the nearest points of the metal: a line off a sheet that bends is not just above where the plane has it."""
    profile, rng = PROFILES[name], np.random.default_rng(seed)
    vertices, faces = strip(profile, -np.array([0.0, 0.7, 1.1, 3.0]))
    chart = chart_of(vertices, faces, X)
    low, high = chart.flat.min(axis=0), chart.flat.max(axis=0)
    line = low + rng.random((2, 2)) * (high - low)
    depth = 0.03
    solid = chart.lift(line, depth)
    dense = np.vstack([a + np.linspace(0.0, 1.0, 60)[:, None] * (b - a) for a, b in itertools.pairwise(solid)])
    below, _ = chart.flatten(dense)
    off = shapely.distance(shapely.points(below), shapely.LineString(line))
    assert off.max() <= depth * chart.tilt(shapely.LineString(line)) + 1e-9
    if name == "flat":
        assert off.max() < 1e-9


def test_the_tilt_of_a_fold_by_hand() -> None:
    """Two strips of the same width at 20 degrees: along the fold the normals lean by 10 degrees, along the edges by none."""
    turn = math.radians(20.0)
    profile = np.array(
        [
            [0.0, 0.0],
            [0.0, 1.0],
            [-math.sin(turn), 1.0 + math.cos(turn)],
        ]
    )
    chart = chart_of(*strip(profile, -np.array([0.0, 1.0, 2.0, 3.0])), X)
    middle = chart.flatten(np.array([[-1.5, 0.0, 1.0]]))[0][0]
    assert chart.tilt(shapely.Point(middle)) == pytest.approx(math.sin(turn / 2.0), abs=0.03)
