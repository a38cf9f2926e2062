"""Square lengths past slanted edges against a fine grid that knows shapely's `covers` and nothing of the router."""

import heapq
import math
from itertools import pairwise

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from ribway.router.geometry.plane_domain import PlaneDomain
from ribway.router.geometry.square_paths import square_table


def fine_grid_length(polygon: Polygon, start: np.ndarray, ends: np.ndarray, step: float) -> np.ndarray:
    """Dijkstra over the grid through all vertices and points, refined to `step`: never shorter than the L1 distance."""
    vertices = np.concatenate([np.array(r.coords) for r in [polygon.exterior, *polygon.interiors]])
    lines = []
    for axis in (0, 1):
        given = np.unique(np.concatenate([vertices[:, axis], ends[:, axis], [start[axis]]]))
        lines.append(
            np.unique(
                np.concatenate([np.linspace(a, b, max(2, math.ceil((b - a) / step) + 1)) for a, b in pairwise(given)])
            )
        )
    xs, ys = lines
    room = polygon.buffer(1e-9)
    right = {
        (i, j)
        for i in range(len(xs) - 1)
        for j in range(len(ys))
        if room.covers(LineString([(xs[i], ys[j]), (xs[i + 1], ys[j])]))
    }
    up = {
        (i, j)
        for i in range(len(xs))
        for j in range(len(ys) - 1)
        if room.covers(LineString([(xs[i], ys[j]), (xs[i], ys[j + 1])]))
    }
    first = (int(np.searchsorted(xs, start[0])), int(np.searchsorted(ys, start[1])))
    best: dict[tuple[int, int], float] = {}
    queue = [(0.0, *first)]
    while queue:
        length, i, j = heapq.heappop(queue)
        if (i, j) in best:
            continue
        best[i, j] = length
        if (i, j) in right:
            heapq.heappush(queue, (length + xs[i + 1] - xs[i], i + 1, j))
        if (i - 1, j) in right:
            heapq.heappush(queue, (length + xs[i] - xs[i - 1], i - 1, j))
        if (i, j) in up:
            heapq.heappush(queue, (length + ys[j + 1] - ys[j], i, j + 1))
        if (i, j - 1) in up:
            heapq.heappush(queue, (length + ys[j] - ys[j - 1], i, j - 1))
    at = [(int(np.searchsorted(xs, q[0])), int(np.searchsorted(ys, q[1]))) for q in ends]
    return np.array([best.get(place, math.inf) for place in at])


def test_lengths_past_slanted_edges_are_the_limit_of_a_fine_grid() -> None:
    """The traced path proves that the length is reached; the grid, always longer, closes in on it from above."""
    rng = np.random.default_rng(17)
    around = 0
    for _ in range(4):
        holes = [
            np.array([3.0, 3.0]) + rng.uniform(-2.0, 2.0, (3, 2)),
            np.array([7.5, 3.5]) + rng.uniform(-2.2, 2.2, (3, 2)),
        ]
        outer = Polygon([(0, 0), (10, 0.4), (9.6, 7), (0.3, 6.5)])
        polygon = outer.difference(unary_union([Polygon(h) for h in holes]))
        assert isinstance(polygon, Polygon)
        points = rng.uniform([0.5, 0.5], [9.3, 6.0], size=(30, 2))
        points = points[PlaneDomain(polygon).contains(points)][:6]
        table = square_table(PlaneDomain(polygon), points)
        room = polygon.buffer(1e-6)
        for j in range(1, len(points)):
            path = table.path(0, j)
            assert room.covers(LineString(path))
            assert np.abs(np.diff(path, axis=0)).sum() == pytest.approx(table.length[0, j], abs=1e-9)
        straight = np.abs(points[:1] - points[1:]).sum(axis=1)
        coarse = fine_grid_length(polygon, points[0], points[1:], 0.5)
        fine = fine_grid_length(polygon, points[0], points[1:], 0.12)
        exact = table.length[0, 1:]
        assert (exact >= straight - 1e-12).all()
        assert (exact <= fine + 1e-9).all()
        assert (fine <= coarse + 1e-9).all()
        assert (fine - exact <= 0.12).all()
        around += int((exact > straight + 1e-6).sum())
    assert around >= 2
