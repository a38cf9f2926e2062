"""Shortest paths on meshes against published puzzles, closed forms and an independent exact solver.

The rows come from tests/data/checks/geodesics.csv, which names their sources. The solver is pygeodesic (Mitchell,
Mount, Papadimitriou after Kirsanov), which is given checked manifold meshes only.
"""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import numpy as np
import pytest
from pygeodesic import geodesic
from scipy.spatial import ConvexHull, Delaunay

from ribway.router.geometry.geodesics import SurfacePath, shortest_path, shortest_path_between, shortest_paths
from ribway.router.geometry.surfaces import Surface, SurfaceFault, SurfacePoint, located, surface_of

CHECKS = Path(__file__).parents[2] / "data" / "checks" / "geodesics.csv"


def answer(case: str) -> list[float]:
    with CHECKS.open(encoding="utf-8", newline="") as lines:
        row = next(line for line in csv.DictReader(lines) if line["case"] == case)
    return [float(number) for number in re.findall(r"\d+\.\d+|\d+", row["answer"])]


def box(a: float, b: float, c: float, cuts: int = 1) -> Surface:
    """Closed box from the origin to (a, b, c), every side cut into cuts x cuts squares of two triangles."""
    steps = np.linspace(0.0, 1.0, cuts + 1)
    points: dict[tuple[float, ...], int] = {}
    faces = []
    for axis in range(3):
        for side in (0.0, 1.0):
            for i in range(cuts):
                for j in range(cuts):
                    corners = []
                    for u, v in ((i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)):
                        place = np.insert([steps[u], steps[v]], axis, side) * [a, b, c]
                        corners.append(points.setdefault(tuple(place.tolist()), len(points)))
                    faces += [[corners[0], corners[1], corners[2]], [corners[0], corners[2], corners[3]]]
    return surface_of(list(points), faces)


def tube(radius: float, height: float, sides: int, closed: bool) -> Surface:
    """Cylinder with its rim points on the circle; vertex 0 and vertex sides + sides / 2 are opposite rims."""
    turn = 2.0 * math.pi * np.arange(sides) / sides
    rim = np.column_stack((radius * np.cos(turn), radius * np.sin(turn)))
    points = [[x, y, z] for z in (0.0, height) for x, y in rim.tolist()]
    faces = []
    for i in range(sides):
        j = (i + 1) % sides
        faces += [[i, j, sides + j], [i, sides + j, sides + i]]
        if closed:
            faces += [[2 * sides, j, i], [2 * sides + 1, sides + i, sides + j]]
    return surface_of(points + ([[0, 0, 0], [0, 0, height]] if closed else []), faces)


def at_vertex(surface: Surface, vertex: int) -> SurfacePoint:
    face, corner = (int(found) for found in np.argwhere(surface.faces == vertex)[0])
    return SurfacePoint(face, tuple(float(corner == k) for k in range(3)))  # type: ignore[arg-type]


def assert_on_surface(surface: Surface, path: SurfacePath) -> None:
    """Every piece of the path lies in one face: its ends and middle have weights in a common triangle."""
    triangles = surface.vertices[surface.faces]
    for start, end in zip(path.points[:-1], path.points[1:], strict=True):
        trio = np.array([start, end, (start + end) / 2.0])
        edges = np.stack((triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]), axis=2)
        inverse = np.linalg.pinv(edges)
        shares = inverse @ np.moveaxis(trio[None] - triangles[:, :1], 1, 2)
        off = np.linalg.norm(edges @ shares - np.moveaxis(trio[None] - triangles[:, :1], 1, 2), axis=1)
        inside = (shares >= -1e-6).all(axis=1) & (shares.sum(axis=1) <= 1.0 + 1e-6) & (off < 1e-8)
        assert inside.all(axis=1).any()


@pytest.mark.parametrize("cuts", [1, 2, 6, 12])
def test_rows_1_and_2_spider_and_fly_on_coarse_and_fine_meshes(cuts: int) -> None:
    room = box(30, 12, 12, cuts)
    (forty, *_), sideways = answer("1"), answer("2")
    assert sideways[0] == pytest.approx(math.hypot(32, 22), abs=1e-3)
    assert sideways[5] == pytest.approx(math.hypot(34, 17), abs=1e-3)
    for b, expected in ((0.0, forty), (2.0, math.hypot(32, 22)), (3.0, math.hypot(34, 17))):
        path = shortest_path_between(room, [0, 6, 11], [30, 6 + b, 1])
        assert path.length_m == pytest.approx(expected, rel=1e-9)
        assert path.exact
        assert_on_surface(room, path)


def test_rows_3_to_6_cylinders_and_cone() -> None:
    """Fine inscribed meshes are always a little short of the smooth surface."""
    sides = 256
    cases = [
        (tube(6.0 / (2.0 * math.pi), 4.0, sides, False), answer("3")[0], 5.0),
        (tube(2.0, 3.0, sides, True), answer("4")[0], math.hypot(3.0, 2.0 * math.pi)),
        (tube(2.0, 2.0, sides, True), answer("5")[0], 6.0),
    ]
    for surface, stated, smooth in cases:
        path = shortest_path(surface, at_vertex(surface, 0), at_vertex(surface, sides + sides // 2))
        assert path.exact
        assert path.length_m == pytest.approx(stated, rel=1e-4)
        assert smooth * (1.0 - 1e-4) <= path.length_m <= smooth * (1.0 + 1e-12)
    turn = 2.0 * math.pi * np.arange(sides) / sides
    rim = np.column_stack((5.0 * np.cos(turn), 5.0 * np.sin(turn), 0.0 * turn))
    cone = surface_of([*rim.tolist(), [0, 0, 20]], [[i, (i + 1) % sides, sides] for i in range(sides)])
    end = 5.0 / (2.0 * math.sqrt(2.0))
    path = shortest_path_between(cone, [5, 0, 0], [-end, end, 10])
    assert path.length_m == pytest.approx(answer("6")[0], rel=1e-4)
    assert path.exact


def test_rows_7_and_8_boxes() -> None:
    path = shortest_path_between(box(5, 4, 3), [0, 0, 0], [5, 4, 3])
    assert path.length_m == pytest.approx(math.sqrt(answer("7")[0]), rel=1e-9)
    van = shortest_path_between(box(3.7, 1.8, 1.9, 3), [0, 1.8, 0], [3.7, 0, 1.9])
    assert van.length_m == pytest.approx(answer("8")[0], rel=1e-5)  # four decimals are given
    assert van.length_m == pytest.approx(
        min(math.hypot(3.7, 3.7), math.hypot(5.6, 1.8), math.hypot(5.5, 1.9)), rel=1e-9
    )


def test_plate_with_a_window_by_hand() -> None:
    """Round a 2 x 2 window between two points 10 apart: twice sqrt(4^2 + 1) and 2 along the window."""
    xs, ys = [-6.0, -1.0, 1.0, 6.0], [-3.0, -1.0, 1.0, 3.0]
    points = [[x, y, 0.0] for x in xs for y in ys]
    faces = []
    for i in range(3):
        for j in range(3):
            if (i, j) != (1, 1):
                a, b, c, d = 4 * i + j, 4 * i + j + 1, 4 * i + j + 5, 4 * i + j + 4
                faces += [[a, d, c], [a, b, c]]  # wound both ways on purpose
    path = shortest_path_between(surface_of(points, faces), [-5, 0, 0], [5, 0, 0])
    assert path.length_m == pytest.approx(2.0 * math.sqrt(17.0) + 2.0, rel=1e-12)
    assert path.exact


def random_patch(random: np.random.Generator, window: bool) -> tuple[np.ndarray, np.ndarray]:
    """A bumpy open sheet, perhaps with a window cut out."""
    flat = random.uniform(0.0, 1.0, (int(random.integers(20, 150)), 2))
    if window:
        rim = np.linspace(0.3, 0.7, 5)
        frame = np.array([[a, b] for a in rim for b in rim if {a, b} & {rim[0], rim[-1]}])
        flat = np.concatenate((flat[(np.abs(flat - 0.5) > 0.22).any(axis=1)], frame))
    faces = Delaunay(flat).simplices
    a, b, c = (flat[faces[:, k]] for k in range(3))
    area = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    middle = flat[faces].mean(axis=1)
    faces = faces[(area > 1e-4) & ~(window & (np.abs(middle - 0.5) < 0.2).all(axis=1))]
    used = np.unique(faces)
    height = random.choice([0.0, 0.01, 0.1, 0.3]) * random.normal(size=len(flat))
    return np.column_stack((flat, height))[used], np.searchsorted(used, faces)


def random_hull(random: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    points = random.normal(size=(int(random.integers(5, 60)), 3))
    points = points / np.linalg.norm(points, axis=1)[:, None] * [1.0, 0.6, 0.4]
    return points, ConvexHull(points).simplices


def connected(surface: Surface) -> bool:
    """Whether the solver may have the mesh: every face reached over edges."""
    seen, stack = {0}, [0]
    while stack:
        face = stack.pop()
        for over in surface.twin[3 * face : 3 * face + 3].tolist():
            if over >= 0 and over // 3 not in seen:
                seen.add(over // 3)
                stack.append(over // 3)
    return len(seen) == len(surface.faces)


def random_surface(random: np.random.Generator, kind: str) -> Surface:
    """The next random mesh that is connected and has no parts meeting in a point."""
    while True:
        mesh = random_hull(random) if kind == "hull" else random_patch(random, kind == "window")
        try:
            surface = surface_of(*mesh)
        except SurfaceFault:
            continue
        if connected(surface):
            return surface


@pytest.mark.parametrize("kind", ["hull", "sheet", "window"])
def test_equals_an_independent_exact_solver(kind: str) -> None:
    random = np.random.default_rng(17)
    for _ in range(25):
        surface = random_surface(random, kind)
        count = len(surface.vertices)
        source, targets = int(random.integers(count)), random.integers(0, count, 4).tolist()
        solver = geodesic.PyGeodesicAlgorithmExact(surface.vertices, surface.faces.astype(np.int32))
        paths = shortest_paths(surface, at_vertex(surface, source), [at_vertex(surface, t) for t in targets])
        for target, path in zip(targets, paths, strict=True):
            expected = 0.0 if target == source else solver.geodesicDistance(source, target)[0]
            assert path.length_m == pytest.approx(expected, rel=1e-9, abs=1e-12)
            assert path.exact


def test_points_inside_faces_equal_the_solver_on_a_split_mesh() -> None:
    """The solver knows vertices only: it gets the mesh with both points' faces cut into three at the point."""
    random = np.random.default_rng(23)
    for number in range(20):
        surface = random_surface(random, ("hull", "sheet", "window")[number % 3])
        first, second = random.choice(len(surface.faces), 2, replace=False).tolist()
        ends = [SurfacePoint(face, tuple(random.dirichlet([1, 1, 1]).tolist())) for face in (first, second)]
        more, cut = (
            list(surface.vertices),
            [f for i, f in enumerate(surface.faces.tolist()) if i not in (first, second)],
        )
        for end in ends:
            a, b, c = surface.faces[end.face].tolist()
            more.append(np.array(end.weights) @ surface.vertices[[a, b, c]])
            cut += [[a, b, len(more) - 1], [b, c, len(more) - 1], [c, a, len(more) - 1]]
        solver = geodesic.PyGeodesicAlgorithmExact(np.array(more), np.array(cut, dtype=np.int32))
        expected, _ = solver.geodesicDistance(len(more) - 2, len(more) - 1)
        path = shortest_path(surface, *ends)
        assert path.length_m == pytest.approx(expected, rel=1e-9)
        assert shortest_path(surface, *ends[::-1]).length_m == pytest.approx(expected, rel=1e-9)
        assert_on_surface(surface, path)


def test_a_search_cut_short_states_a_bound_that_holds() -> None:
    room = box(30, 12, 12, 6)
    ends = located(room, [0, 6, 11]), located(room, [30, 6, 1])
    for most in (0, 20, 100, 500):
        path = shortest_path(room, *ends, most_windows=most)
        assert path.lower_bound_m <= 40.0 * (1.0 + 1e-12)
        assert path.length_m >= 40.0 * (1.0 - 1e-12)
        assert path.lower_bound_m >= math.sqrt(30**2 + 10**2) * (1.0 - 1e-12)  # as the crow flies
        assert path.exact == (path.lower_bound_m == path.length_m)
        assert path.length_m <= 40.0 * 1.03


def test_same_face_and_same_point() -> None:
    flat = surface_of([[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2]])
    assert shortest_path_between(flat, [0.2, 0.2, 0], [0.2, 0.2, 0]).length_m == 0.0
    assert shortest_path_between(flat, [0.1, 0.2, 0], [0.4, 0.3, 0]).length_m == pytest.approx(math.hypot(0.3, 0.1))


def test_meshes_that_paths_cannot_be_measured_on() -> None:
    corners = [[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1], [0, -1, 0]]
    with pytest.raises(SurfaceFault, match="between vertices 0 and 1 belongs to 3 faces"):
        surface_of(corners, [[0, 1, 2], [0, 1, 3], [0, 1, 4]])
    with pytest.raises(SurfaceFault, match="belongs to 3 faces"):
        surface_of(corners, [[0, 1, 2], [0, 1, 2], [0, 1, 3]])
    with pytest.raises(SurfaceFault, match="vertex 0: 2 parts meet there in a point only"):
        surface_of([*corners, [-1, 0, 0]], [[0, 1, 2], [0, 4, 5]])
    with pytest.raises(SurfaceFault, match="face 0 has no area"):
        surface_of([[0, 0, 0], [1, 0, 0], [2, 0, 0]], [[0, 1, 2]])
    with pytest.raises(SurfaceFault, match="vertex 7 named, there are 5"):
        surface_of(corners, [[0, 1, 7]])
    turns = [(i // 2, i % 2) for i in range(10)]
    strip = [[math.cos(1.2566 * k) * (2 + s), math.sin(1.2566 * k) * (2 + s), s * (k - 2)] for k, s in turns]
    band = [[i % 10, (i + 1) % 10, (i + 2) % 10] for i in range(8)]
    with pytest.raises(SurfaceFault, match="one-sided surface"):
        surface_of(strip, [*band, [8, 9, 1], [9, 1, 0]])
    two = surface_of([*corners[:3], [9, 0, 0], [9, 1, 0], [9, 0, 1]], [[0, 1, 2], [3, 4, 5]])
    with pytest.raises(SurfaceFault, match="separate parts"):
        shortest_path_between(two, [0.1, 0.1, 0], [9, 0.1, 0.1])
    with pytest.raises(SurfaceFault, match="off the mesh"):
        shortest_path_between(two, [0.1, 0.1, 0.5], [9, 0.1, 0.1])
