"""Turned frames: closed forms of plane rotation."""

import math

import numpy as np
import pytest

from ribway.router.geometry.frames import from_frame, quarter, to_frame, turn_matrix


def test_a_frame_turned_by_thirty_degrees() -> None:
    """The frame's own x axis is (1, 0) in it, and a point a step along its y axis is (0, 1)."""
    axis = np.array([math.cos(math.radians(30.0)), math.sin(math.radians(30.0))])
    origin = np.array([2.0, -1.0])
    left_of_axis = np.array([-math.sin(math.radians(30.0)), math.cos(math.radians(30.0))])
    seen = to_frame(np.array([origin + axis, origin + left_of_axis]), 3.0 * axis, origin)
    assert seen == pytest.approx(np.eye(2), abs=1e-15)


def test_there_and_back_keeps_points_and_lengths() -> None:
    rng = np.random.default_rng(4)
    points = rng.normal(size=(50, 2))
    for axis in rng.normal(size=(20, 2)):
        turned = to_frame(points, axis, np.array([0.3, 0.7]))
        assert from_frame(turned, axis, np.array([0.3, 0.7])) == pytest.approx(points, abs=1e-14)
        assert np.linalg.norm(np.diff(turned, axis=0), axis=1) == pytest.approx(
            np.linalg.norm(np.diff(points, axis=0), axis=1), abs=1e-14
        )
        assert np.linalg.det(turn_matrix(axis)) == pytest.approx(1.0, abs=1e-15)


def test_a_direction_of_no_length_is_refused() -> None:
    with pytest.raises(ValueError, match="no direction"):
        turn_matrix(np.zeros(2))


def test_nearest_axis_of_directions() -> None:
    degrees = np.array([0.0, 44.0, 46.0, 134.0, 136.0, 224.0, 226.0, 314.0, 316.0])
    vectors = 0.1 * np.column_stack([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    assert quarter(vectors).tolist() == [0, 0, 1, 1, 2, 2, 3, 3, 0]
    assert quarter(np.array([[np.nan, np.nan], [0.0, 0.0], [1.0, 1.0]])).tolist() == [-1, -1, 0]
