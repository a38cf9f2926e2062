"""Plane domains: corners by hand, sight lines against shapely's exact `covers` on whole-number coordinates."""

from collections.abc import Callable

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from ribway.router.geometry.plane_domain import PlaneDomain


def random_rectilinear(rng: np.random.Generator) -> Polygon:
    """A 12 x 9 plate less up to seven whole-number boxes; the biggest piece."""
    lows = rng.integers(0, [11, 8], size=(rng.integers(0, 8), 2))
    boxes = [box(x, y, x + w, y + h) for (x, y), (w, h) in zip(lows, rng.integers(1, 5, size=lows.shape), strict=True)]
    left = box(0, 0, 12, 9).difference(unary_union(boxes)) if boxes else box(0, 0, 12, 9)
    biggest: Polygon = max(shapely.get_parts(left).tolist(), key=lambda piece: piece.area)
    return biggest


def random_slanted(rng: np.random.Generator) -> Polygon:
    """A whole-number polygon round a centre, with a triangular hole if there is room."""
    angles = np.sort(rng.uniform(0.0, 2.0 * np.pi, size=rng.integers(5, 11)))
    radii = rng.uniform(15.0, 60.0, size=len(angles))
    outer = Polygon(np.rint(np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])))
    if not outer.is_valid or outer.area == 0.0:
        return random_slanted(rng)
    hole = Polygon(rng.integers(-12, 13, size=(3, 2)))
    fits = hole.area > 0.0 and outer.contains_properly(hole)
    return Polygon(outer.exterior, [hole.exterior]) if fits else outer


def test_corners_of_an_ell_and_of_a_window() -> None:
    ell = PlaneDomain(Polygon([(0, 0), (4, 0), (4, 2), (2, 2), (2, 5), (0, 5)]))
    assert ell.corners.tolist() == [[2.0, 2.0]]
    window = PlaneDomain(Polygon(box(0, 0, 9, 9).exterior.coords, [box(3, 4, 6, 7).exterior.coords]))
    assert sorted(window.corners.tolist()) == [[3.0, 4.0], [3.0, 7.0], [6.0, 4.0], [6.0, 7.0]]
    assert not ell.free
    assert not window.free


@pytest.mark.parametrize("turned", [False, True])
def test_a_convex_plate_has_no_corner_whichever_way_it_is_drawn(turned: bool) -> None:
    """The vertex in the middle of an edge is no corner."""
    ring = [(0, 0), (1, 0), (3, 0), (3, 2), (0, 2)]
    domain = PlaneDomain(Polygon(ring[::-1] if turned else ring))
    assert domain.free
    assert domain.corners.shape == (0, 2)


@pytest.mark.parametrize("make", [random_rectilinear, random_slanted])
def test_sight_lines_equal_exact_cover_tests(make: Callable[[np.random.Generator], Polygon]) -> None:
    """Whole-number ends, so that lines run through corners, along edges and from boundary to boundary."""
    rng = np.random.default_rng(11)
    compared, hidden = 0, 0
    for _ in range(25):
        polygon = make(rng)
        domain = PlaneDomain(polygon)
        low, high = np.array(polygon.bounds).reshape(2, 2)
        points = rng.integers(low, high + 1, size=(120, 2)).astype(float)
        points[:40] = np.array(polygon.exterior.coords)[rng.integers(0, len(polygon.exterior.coords), 40)]
        start, end = points[:60], points[rng.permutation(120)[:60]]
        wanted = np.array([polygon.covers(LineString([a, b])) for a, b in zip(start, end, strict=True)])
        assert domain.visible(start, end).tolist() == wanted.tolist()
        assert domain.visible(end, start).tolist() == wanted.tolist()
        compared, hidden = compared + len(wanted), hidden + int((~wanted).sum())
    assert compared == 1500
    assert 200 < hidden < 1300


def test_a_hair_outside_is_inside_and_a_step_outside_is_not() -> None:
    domain = PlaneDomain(box(0, 0, 2, 1))
    points = np.array([[1.0, -0.9e-7], [1.0, -1.1e-7], [-0.01, 0.5], [2.0, 1.0]])
    assert domain.contains(points).tolist() == [True, False, False, True]


def test_pulling_points_inside() -> None:
    domain = PlaneDomain(Polygon(box(0, 0, 4, 4).exterior.coords, [box(1, 1, 3, 3).exterior.coords]))
    points = np.array([[1.2, 2.0], [5.0, 5.0], [0.5, 0.5]])
    before = points.copy()
    moved = domain.pulled_inside(points)
    assert moved == pytest.approx(np.array([[1.0, 2.0], [4.0, 4.0], [0.5, 0.5]]), abs=1e-15)
    assert (points == before).all()


def test_clearance_is_the_distance_from_the_nearest_edge() -> None:
    domain = PlaneDomain(Polygon(box(0, 0, 4, 4).exterior.coords, [box(2, 2, 3, 3).exterior.coords]))
    assert domain.clearance(np.array([[0.25, 2.0], [1.5, 1.0], [0.0, 0.0]])).tolist() == pytest.approx(
        [0.25, 1.0, 0.0], abs=1e-9
    )


@pytest.mark.parametrize(
    ("shape", "said"),
    [
        (Polygon(), "empty"),
        (Polygon([(0, 0), (2, 2), (2, 0), (0, 2)]), "not valid"),
        (Point(0, 0), "expected one polygon"),
    ],
)
def test_what_is_no_domain_is_refused(shape: BaseGeometry, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        PlaneDomain(shape)  # type: ignore[arg-type]
