"""Square paths against a slow search over a grid with headings, by hand, and near slanting edges.

The reference knows shapely's `covers` and nothing of the router.
"""

import heapq
import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from ribway.router.geometry.plane_domain import PlaneDomain
from ribway.router.geometry.square_paths import SquareTable, square_table
from ribway.router.geometry.taut_paths import taut_table

STEPS = [(1, 0), (0, 1), (-1, 0), (0, -1)]
NONE = (math.nan, math.nan)


def slow_search(
    polygon: Polygon, start: tuple[int, int], out: int | None
) -> dict[tuple[int, int, int], tuple[int, int]]:
    """(length, turns) of the best unit-grid path to every (grid point, heading), turns second to length."""
    best: dict[tuple[int, int, int], tuple[int, int]] = {}
    queue = []
    for d in range(4):
        back = 0 if out is None else min((d - out) % 4, (out - d) % 4)
        queue.append((0, back, *start, d))
    heapq.heapify(queue)
    while queue:
        length, turns, x, y, d = heapq.heappop(queue)
        if (x, y, d) in best:
            continue
        best[x, y, d] = (length, turns)
        if length:
            for side in (1, 3):
                heapq.heappush(queue, (length, turns + 1, x, y, (d + side) % 4))
        ahead = (x + STEPS[d][0], y + STEPS[d][1])
        if polygon.covers(LineString([(x, y), ahead])):
            heapq.heappush(queue, (length + 1, turns, *ahead, d))
    return best


def count_turns(path: np.ndarray, out: tuple[float, float], back: tuple[float, float]) -> int:
    """Quarter turns of a rectilinear path that should leave along `out` and arrive against `back`."""
    legs = [np.asarray(out), *np.diff(path, axis=0), -np.asarray(back)]
    codes = [
        (0 if v[0] > 0 else 2) if abs(v[0]) >= abs(v[1]) else (1 if v[1] > 0 else 3)
        for v in legs
        if not np.isnan(v).any()
    ]
    return sum(min((b - a) % 4, (a - b) % 4) for a, b in pairwise(codes))


def check_paths(polygon: Polygon, points: np.ndarray, leave: np.ndarray, table: SquareTable) -> int:
    """Every path starts, ends, measures, turns and stays inside as the table says; counts those over 4 vertices."""
    room = polygon.buffer(1e-6)
    long = 0
    assert (table.length == table.length.T).all()
    assert (table.turns == table.turns.T).all()
    for i, j in zip(*np.nonzero(np.isfinite(table.length)), strict=True):
        path = table.path(int(i), int(j))
        assert path[0].tolist() == points[i].tolist()
        assert path[-1].tolist() == points[j].tolist()
        assert path.tolist() == table.path(int(j), int(i))[::-1].tolist()
        legs = np.abs(np.diff(path, axis=0))
        assert legs.sum() == pytest.approx(table.length[i, j], abs=1e-9)
        assert (legs.min(axis=1) <= 1e-9).all()
        assert len(path) == 1 or room.covers(LineString(path))
        if i != j and table.length[i, j] > 0.0:
            assert count_turns(path, tuple(leave[i]), tuple(leave[j])) == table.turns[i, j]
        long += len(path) > 4
    return long


def test_lengths_and_turns_equal_the_grid_search_where_edges_run_along_the_axes() -> None:
    rng = np.random.default_rng(5)
    pairs, longest, long = 0, 0, 0
    for _ in range(14):
        corners = rng.integers(0, [13, 10], size=(9, 2))
        sizes = rng.integers(1, 5, size=(9, 2))
        boxes = [box(x, y, x + w, y + h) for (x, y), (w, h) in zip(corners, sizes, strict=True)]
        pieces = shapely.get_parts(box(0, 0, 14, 11).difference(unary_union(boxes))).tolist()
        polygon: Polygon = max(pieces, key=lambda piece: piece.area)
        points = rng.integers(0, [15, 12], size=(60, 2)).astype(float)
        points = np.unique(points[PlaneDomain(polygon).contains(points)], axis=0)
        points = points[rng.permutation(len(points))[:9]]
        out = [None if k == 4 else int(k) for k in rng.integers(0, 5, size=len(points))]
        leave = np.array([NONE if d is None else STEPS[d] for d in out])
        table = square_table(PlaneDomain(polygon), points, leave)
        for i, p in enumerate(points):
            best = slow_search(polygon, (int(p[0]), int(p[1])), out[i])
            for j, q in enumerate(points):
                if i == j:
                    continue
                reached = []
                for d in range(4):
                    length, turns = best[int(q[0]), int(q[1]), d]
                    back = out[j]
                    facing = 0 if back is None else min((d - back - 2) % 4, (back + 2 - d) % 4)
                    reached.append((length, turns + facing))
                length, turns = min(reached)
                assert table.length[i, j] == pytest.approx(length, abs=1e-12)
                assert table.turns[i, j] == turns, (polygon.wkt, p, q, out[i], out[j])
                pairs, longest = pairs + 1, max(longest, turns)
        long += check_paths(polygon, points, leave, table)
    assert pairs > 800
    assert longest >= 6
    assert long > 100


def test_round_a_window_in_a_plate_by_hand() -> None:
    """Plate 12 x 8, window 4 x 4 in its middle: over the window 2 + 10 + 2, two turns; past a point above it, one."""
    domain = PlaneDomain(Polygon(box(0, 0, 12, 8).exterior.coords, [box(4, 2, 8, 6).exterior.coords]))
    points = np.array([[1.0, 4.0], [11.0, 4.0], [6.0, 7.0]])
    table = square_table(domain, points)
    assert table.length[0].tolist() == pytest.approx([0.0, 14.0, 8.0], abs=1e-12)
    assert table.turns[0].tolist() == [0, 2, 1]
    out_of_ribs = square_table(domain, points, np.array([[1.0, 0.0], [-1.0, 0.0], NONE]))
    assert out_of_ribs.turns[0].tolist() == [0, 4, 2]


def test_turns_at_the_ends_count() -> None:
    domain = PlaneDomain(box(0, 0, 4, 2))
    points = np.array([[0.0, 1.0], [4.0, 1.0], [4.0, 0.5], [0.0, 0.5]])
    inward = np.array([[1.0, 0.0], [-1.0, 0.0], [-1.0, 0.0], [1.0, 0.0]])
    assert square_table(domain, points, inward).turns.tolist() == [
        [0, 0, 2, 2],
        [0, 0, 2, 2],
        [2, 2, 0, 0],
        [2, 2, 0, 0],
    ]
    assert square_table(domain, points, -inward).turns[0].tolist() == [0, 4, 4, 2]
    assert square_table(domain, points).turns[0].tolist() == [0, 0, 1, 0]


def test_the_middle_leg_between_two_ribs_keeps_clear_of_both() -> None:
    """From a hole in one rib to a lower one in the next: out, half way over, down, on."""
    domain = PlaneDomain(box(0, 0, 0.6, 1.0))
    points = np.array([[0.0, 0.7], [0.6, 0.4]])
    table = square_table(domain, points, np.array([[1.0, 0.0], [-1.0, 0.0]]))
    assert table.path(0, 1) == pytest.approx(np.array([[0.0, 0.7], [0.3, 0.7], [0.3, 0.4], [0.6, 0.4]]), abs=1e-6)
    assert [len(path) for path in table.ties(0, 1)] == [4, 3, 3]
    assert all(np.abs(np.diff(path, axis=0)).sum() == pytest.approx(0.9) for path in table.ties(0, 1))


def test_points_by_slanting_edges_of_a_bay() -> None:
    """Bays leaning by half a degree or so, points millimetres from their edges: still |dx| + |dy|, still inside."""
    rng = np.random.default_rng(3)
    pokes = 0
    for _ in range(15):
        ring = np.array([[0.0, 0.0], [0.6, 0.0], [0.6, 1.3], [0.0, 1.3]]) + rng.normal(0.0, 0.01, (4, 2))
        domain = PlaneDomain(Polygon(ring))
        side, share = rng.integers(0, 4, 14), rng.uniform(0.02, 0.98, (14, 1))
        points = ring[side] * (1.0 - share) + ring[(side + 1) % 4] * share
        points = points + (ring.mean(axis=0) - points) * rng.choice([0.0, 0.003, 0.2], (14, 1))
        leave = np.array([[0.0, 1.0], [-1.0, 0.01], [0.02, -1.0], [1.0, 0.0]])[side]
        leave[rng.random(14) < 0.3] = NONE
        table = square_table(domain, points, leave)
        assert table.length == pytest.approx(np.abs(points[:, None] - points[None]).sum(axis=2), abs=1e-12)
        check_paths(domain.polygon, points, leave, table)
        corners = np.stack(np.broadcast_arrays(points[:, None, 0], points[None, :, 1]), axis=-1).reshape(-1, 2)
        pokes += int((~domain.contains(corners)).sum())
    assert pokes > 200


def test_straight_taut_square_on_random_domains() -> None:
    rng = np.random.default_rng(29)
    for _ in range(15):
        angles = np.sort(rng.uniform(0.0, 2.0 * np.pi, size=9))
        outer = Polygon(np.column_stack([np.cos(angles), np.sin(angles)]) * rng.uniform(0.6, 1.6, (9, 1)))
        if not outer.is_valid:
            continue
        polygon = outer.difference(Polygon(rng.uniform(-0.4, 0.4, (3, 2))))
        if not isinstance(polygon, Polygon):
            continue
        domain = PlaneDomain(polygon)
        points = rng.uniform(-1.2, 1.2, size=(60, 2))
        points = points[domain.contains(points)][:12]
        before = points.copy()
        leave = np.where(rng.random((len(points), 1)) < 0.4, np.nan, rng.normal(size=(len(points), 2)))
        taut, square = taut_table(domain, points), square_table(domain, points, leave)
        straight = np.linalg.norm(points[:, None] - points[None], axis=2)
        assert (straight <= taut.length + 1e-12).all()
        assert (taut.length <= square.length + 1e-12).all()
        assert (square.length <= math.sqrt(2.0) * taut.length + 1e-12).all()
        check_paths(polygon, points, leave, square)
        assert (points == before).all()


@pytest.mark.parametrize("degrees", [0.6, 5.0, 31.0])
def test_a_narrow_slanting_gap_takes_a_staircase(degrees: float) -> None:
    """A strip 1 m long and 20 mm wide: no three legs fit end to end, steps along it do."""
    slope = math.tan(math.radians(degrees))
    strip = Polygon([(0, 0), (1, slope), (1, slope + 0.02), (0, 0.02)])
    points = np.array([[0.0, 0.01], [1.0, slope + 0.01], [0.5, 0.5 * slope + 0.019]])
    for leave in (np.full((3, 2), math.nan), np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, -1.0]])):
        table = square_table(PlaneDomain(strip), points, leave)
        assert table.length[0, 1] == pytest.approx(1.0 + slope, abs=1e-12)
        long = check_paths(strip, points, leave, table)
        assert degrees < 2.0 or long >= 2


def test_the_narrowest_gap_still_gets_a_path_inside_it() -> None:
    """A tenth of a millimetre at 40 degrees has no room for steps: the straight segment, measured as |dx| + |dy|."""
    rise = math.tan(math.radians(40.0))
    ring = [(0, 0), (1, rise), (3, rise), (3, rise + 1), (1, rise + 1), (1, rise + 1e-4), (0, 1e-4)]
    points = np.array([[0.0, 0.5e-4], [2.0, rise + 0.5]])
    table = square_table(PlaneDomain(Polygon(ring)), points)
    path = table.path(0, 1)
    assert table.length[0, 1] == pytest.approx(np.abs(points[1] - points[0]).sum(), abs=1e-12)
    assert np.abs(np.diff(path, axis=0)).sum() == pytest.approx(table.length[0, 1], abs=1e-9)
    assert Polygon(ring).buffer(1e-6).covers(LineString(path))
    assert count_turns(path, NONE, NONE) == table.turns[0, 1]


def test_a_small_offset_is_straight_when_allowed() -> None:
    domain = PlaneDomain(box(0, 0, 2, 1))
    points = np.array([[0.0, 0.5], [2.0, 0.5004]])
    along = np.array([[1.0, 0.0], [-1.0, 0.0]])
    assert square_table(domain, points, along).turns[0, 1] == 2
    eased = square_table(domain, points, along, straight_tolerance=5e-4)
    assert eased.turns[0, 1] == 0
    assert eased.path(0, 1).tolist() == points.tolist()
    assert eased.length[0, 1] == pytest.approx(2.0004, abs=1e-12)


def test_points_in_one_place_and_points_outside() -> None:
    points = np.array([[1.0, 1.0], [1.0, 1.0], [5.0, 1.0], [0.5, 1.0]])
    table = square_table(PlaneDomain(box(0, 0, 2, 2)), points, np.array([[1.0, 0.0], [1.0, 0.0], NONE, [0.0, 1.0]]))
    assert table.length[0].tolist() == [0.0, 0.0, math.inf, 0.5]
    assert table.turns[0].tolist() == [0, 2, -1, 3]
    assert table.path(0, 1).tolist() == [[1.0, 1.0], [1.0, 1.0]]
    assert table.path(0, 0).tolist() == [[1.0, 1.0]]
    with pytest.raises(ValueError, match="no way from point 0"):
        table.path(0, 2)


def test_points_outside_a_plate_with_a_window_are_not_reached() -> None:
    """Turns are searched round the window while no path leads to the points outside: -1 turns, and no warning."""
    domain = PlaneDomain(Polygon(box(0, 0, 12, 8).exterior.coords, [box(4, 2, 8, 6).exterior.coords]))
    points = np.array([[1.0, 4.0], [11.0, 4.0], [20.0, 4.0], [6.0, 4.0]])
    table = square_table(domain, points, np.array([[1.0, 0.0], [-1.0, 0.0], NONE, NONE]))
    assert table.length[0].tolist() == pytest.approx([0.0, 14.0, math.inf, math.inf], abs=1e-12)
    assert table.turns.tolist() == [[0, 4, -1, -1], [4, 0, -1, -1], [-1, -1, 0, -1], [-1, -1, -1, 0]]


def test_directions_of_a_wrong_shape_are_refused() -> None:
    with pytest.raises(ValueError, match="2 points but directions"):
        square_table(PlaneDomain(box(0, 0, 1, 1)), np.array([[0.1, 0.1], [0.2, 0.2]]), np.zeros((3, 2)))
