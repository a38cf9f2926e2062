"""Arithmetic on polylines against closed forms and shapely (an independent geometry library)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point

from ribway.router.geometry import distances, polylines


def flat_lines(count: int) -> list[np.ndarray]:
    random = np.random.default_rng(3)
    return [
        np.column_stack((random.uniform(0, 2, (int(n), 2)), np.zeros(int(n)))) for n in random.integers(2, 9, count)
    ]


def test_length_and_points_equal_shapely() -> None:
    for line in flat_lines(50):
        other = LineString(line[:, :2])
        assert polylines.length(line) == pytest.approx(other.length)
        at = other.length * 0.37
        assert polylines.point_at(line, at)[:2] == pytest.approx(np.array(other.interpolate(at).coords[0]))
        assert polylines.length(polylines.part(line, 0.2 * other.length, at)) == pytest.approx(0.17 * other.length)


def test_distance_to_polyline_equals_shapely() -> None:
    random = np.random.default_rng(4)
    for line in flat_lines(50):
        x, y = random.uniform(-1, 3, 2)
        gap, at = distances.distance_to_polyline([x, y, 0.0], line)
        assert gap == pytest.approx(LineString(line[:, :2]).distance(Point(x, y)))
        assert np.linalg.norm(polylines.point_at(line, at) - [x, y, 0.0]) == pytest.approx(gap)


def test_gap_of_two_lines_equals_shapely_in_the_plane_and_a_closed_form_in_space() -> None:
    lines = flat_lines(60)
    for first, second in zip(lines[::2], lines[1::2], strict=True):
        expected = LineString(first[:, :2]).distance(LineString(second[:, :2]))
        assert distances.polyline_gap(first, second) == pytest.approx(expected, abs=1e-12)
    assert distances.polyline_gap([[-1, 0, 0], [1, 0, 0]], [[0, -1, 0.3], [0, 1, 0.3]]) == pytest.approx(0.3)
    assert distances.polyline_gap([[0, 0, 0], [1, 0, 0]], [[0, 0, 1], [2, 0, 1]]) == pytest.approx(1.0)


def test_segment_gap_against_sampling() -> None:
    random = np.random.default_rng(8)
    ends = random.uniform(-1, 1, (40, 4, 3))
    gaps = distances.segment_segment(ends[:, 0], ends[:, 1], ends[:, 2], ends[:, 3])
    share = np.linspace(0, 1, 401)[:, None]
    for (a0, a1, b0, b1), gap in zip(ends, gaps, strict=True):
        a, b = a0 + share * (a1 - a0), b0 + share * (b1 - b0)
        sampled = np.linalg.norm(a[:, None] - b[None], axis=-1).min()
        assert gap - 1e-12 <= sampled <= gap + 0.02


def test_turn_angles_near_straight_and_near_a_u_turn() -> None:
    for angle in (1e-9, 0.3, math.pi / 2, 3.0, math.pi):
        points = [[0, 0, 0], [1, 0, 0], [1 + math.cos(angle), math.sin(angle), 0]]
        assert polylines.turn_angles(points)[0] == pytest.approx(angle, rel=1e-6)
    with pytest.raises(ValueError, match="are the same"):
        polylines.turn_angles([[0, 0, 0], [0, 0, 0], [1, 0, 0]])


def test_drop_repeats_keeps_both_ends() -> None:
    points = [[0, 0, 0], [1e-12, 0, 0], [1, 0, 0], [1, 0, 0], [2, 0, 0], [2, 1e-12, 0]]
    assert polylines.drop_repeats(points).tolist() == [[0, 0, 0], [1, 0, 0], [2, 1e-12, 0]]
    assert len(polylines.drop_repeats([[1, 1, 1], [1, 1, 1]])) == 1


def test_merge_straight_drops_only_what_is_straight() -> None:
    points = [[0, 0, 0], [0.3, 0, 0], [1, 0, 0], [1, 0.5, 0], [1, 1, 0], [1, 0.2, 0]]
    assert polylines.merge_straight(points).tolist() == [[0, 0, 0], [1, 0, 0], [1, 1, 0], [1, 0.2, 0]]
    quarter = np.linspace(0, math.pi / 2, 100)
    circle = np.column_stack((np.cos(quarter), np.sin(quarter), 0 * quarter))
    merged = polylines.merge_straight(circle, 1e-3)  # small turns may not add up unseen
    worst = max(distances.distance_to_polyline(point, merged)[0] for point in circle)
    assert 5 < len(merged) < 40
    assert worst <= 1e-3 + 1e-12


def test_resample_keeps_points_and_length() -> None:
    for line in flat_lines(20):
        fine = polylines.resample(line, 0.1)
        assert polylines.leg_lengths(fine).max() <= 0.1 + 1e-9
        assert polylines.length(fine) == pytest.approx(polylines.length(line))
        assert {tuple(point) for point in line} <= {tuple(point) for point in fine}
    with pytest.raises(ValueError, match=r"step_m: 0\.0 found"):
        polylines.resample([[0, 0, 0]], 0.0)


def test_bad_points_are_named() -> None:
    with pytest.raises(ValueError, match=r"shape \(2, 2\) found"):
        polylines.length([[0, 0], [1, 1]])
    with pytest.raises(ValueError, match="point 1 is"):
        polylines.length([[0, 0, 0], [math.nan, 0, 0]])


def test_inputs_are_unchanged() -> None:
    line = flat_lines(1)[0]
    before = line.copy()
    polylines.drop_repeats(line)
    polylines.merge_straight(line)
    polylines.resample(line, 0.1)
    assert (line == before).all()
