"""Taut paths: closed forms, and an obvious all-pairs search that uses nothing but shapely's exact `covers`."""

import math

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from ribway.router.geometry.plane_domain import PlaneDomain
from ribway.router.geometry.taut_paths import taut_table


def slow_distances(polygon: Polygon, points: np.ndarray) -> np.ndarray:
    """Floyd-Warshall over every pair of points and vertices that `covers` each other."""
    vertices = [p for ring in [polygon.exterior, *polygon.interiors] for p in ring.coords[:-1]]
    nodes = [tuple(p) for p in points] + vertices
    best = np.full((len(nodes), len(nodes)), np.inf)
    for a, p in enumerate(nodes):
        for b, q in enumerate(nodes):
            if p == q or polygon.covers(LineString([p, q])):
                best[a, b] = math.dist(p, q)
    for k in range(len(nodes)):
        best = np.minimum(best, best[:, k : k + 1] + best[k : k + 1, :])
    return best[: len(points), : len(points)]


def test_round_a_window_in_a_plate() -> None:
    """Plate 12 x 8 with a window 4 x 4 in its middle: 2 sqrt(3^2 + 2^2) + 4 past it, by Pythagoras."""
    domain = PlaneDomain(Polygon(box(0, 0, 12, 8).exterior.coords, [box(4, 2, 8, 6).exterior.coords]))
    table = taut_table(domain, np.array([[1.0, 4.0], [11.0, 4.0], [1.0, 6.0], [11.0, 6.0]]))
    assert table.length[0, 1] == pytest.approx(2.0 * math.sqrt(13.0) + 4.0, abs=1e-12)
    assert len(table.path(0, 1)) == 4
    assert table.length[2, 3] == pytest.approx(10.0, abs=1e-12)
    assert table.path(2, 3).tolist() == [[1.0, 6.0], [11.0, 6.0]]


def test_round_the_corner_of_an_ell() -> None:
    domain = PlaneDomain(Polygon([(0, 0), (4, 0), (4, 2), (2, 2), (2, 5), (0, 5)]))
    table = taut_table(domain, np.array([[4.0, 0.5], [0.5, 5.0], [4.0, 2.0]]))
    assert table.length[0, 1] == pytest.approx(math.hypot(2.0, 1.5) + math.hypot(1.5, 3.0), abs=1e-12)
    assert table.path(0, 1).tolist() == [[4.0, 0.5], [2.0, 2.0], [0.5, 5.0]]
    assert table.path(1, 0).tolist() == [[0.5, 5.0], [2.0, 2.0], [4.0, 0.5]]
    assert table.length[2, 1] == pytest.approx(2.0 + math.hypot(1.5, 3.0), abs=1e-12)


def test_round_a_disc_of_many_edges() -> None:
    """Past a disc of radius 1 from 3 on one side to 3 on the other: 2 sqrt(9 - 1) + 2 asin(1/3), a string round a drum.

    Source: tangent length and arc of a circle; the 360-gon outside the disc is longer by less than 1e-4.
    """
    angles = np.radians(np.arange(360.0) + 0.5)
    ring = np.column_stack([np.cos(angles), np.sin(angles)]) / math.cos(math.radians(0.5))
    domain = PlaneDomain(Polygon(box(-4, -4, 4, 4).exterior.coords, [ring]))
    length = taut_table(domain, np.array([[-3.0, 0.0], [3.0, 0.0]])).length[0, 1]
    exact = 2.0 * math.sqrt(8.0) + 2.0 * math.asin(1.0 / 3.0)
    assert exact <= length <= exact + 1e-4


def test_equals_the_slow_search_on_random_plates() -> None:
    rng = np.random.default_rng(23)
    bent = 0
    for _ in range(12):
        boxes = [box(x, y, x + w, y + h) for x, y, w, h in rng.integers(1, 5, size=(4, 4)) * [2, 2, 1, 1]]
        left = box(0, 0, 13, 12).difference(unary_union(boxes))
        polygon: Polygon = max(shapely.get_parts(left).tolist(), key=lambda piece: piece.area)
        domain = PlaneDomain(polygon)
        points = rng.integers(0, [14, 13], size=(40, 2)).astype(float)
        points = points[domain.contains(points)][:10]
        before = points.copy()
        table = taut_table(domain, points)
        assert table.length == pytest.approx(slow_distances(polygon, points), abs=1e-9)
        assert (points == before).all()
        assert (table.length == table.length.T).all()
        room = polygon.buffer(1e-6)
        for i in range(len(points)):
            for j in range(len(points)):
                path = table.path(i, j)
                assert path[0].tolist() == points[i].tolist()
                assert path[-1].tolist() == points[j].tolist()
                assert np.linalg.norm(np.diff(path, axis=0), axis=1).sum() == pytest.approx(
                    table.length[i, j], abs=1e-12
                )
                assert len(path) == 1 or room.covers(LineString(path))
                bent += len(path) > 2
    assert bent > 100


def test_a_point_outside_has_no_way() -> None:
    table = taut_table(PlaneDomain(box(0, 0, 1, 1)), np.array([[0.5, 0.5], [0.25, 0.5], [1.5, 0.5]]))
    assert table.length.tolist() == [[0.0, 0.25, np.inf], [0.25, 0.0, np.inf], [np.inf, np.inf, 0.0]]
    with pytest.raises(ValueError, match="no way from point 0"):
        table.path(0, 2)


def test_two_points_in_one_place_by_a_corner() -> None:
    """Twice the same place, on the corner itself: nothing between them, and the same way on."""
    domain = PlaneDomain(Polygon([(0, 0), (4, 0), (4, 2), (2, 2), (2, 5), (0, 5)]))
    table = taut_table(domain, np.array([[2.0, 2.0], [2.0, 2.0], [4.0, 1.0], [1.0, 5.0]]))
    assert table.length[0, 1] == 0.0
    assert table.length[2, 3] == pytest.approx(math.hypot(2.0, 1.0) + math.hypot(1.0, 3.0), abs=1e-12)


def test_points_of_a_wrong_shape_are_refused() -> None:
    with pytest.raises(ValueError, match="must be"):
        taut_table(PlaneDomain(box(0, 0, 1, 1)), np.zeros((3, 3)))
