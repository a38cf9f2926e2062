"""Travelling frames against closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from ribway.viewer.frames import across, distances_along, nearest_along, point_at, refined, tangents, travelling_frames
from ribway.viewer.sweep import joined, tube


def helix(radius: float, rise: float, turns: float, count: int) -> np.ndarray:
    t = np.linspace(0.0, 2.0 * np.pi * turns, count)
    return np.stack([radius * np.cos(t), radius * np.sin(t), rise * t], axis=1)


def test_frames_are_square_and_right_handed() -> None:
    frames = travelling_frames(helix(0.3, 0.1, 2.0, 300))
    for a, b in ((frames.along, frames.first), (frames.along, frames.second), (frames.first, frames.second)):
        assert np.abs(np.einsum("ij,ij->i", a, b)).max() < 1e-9
    assert np.allclose(np.linalg.norm(frames.first, axis=1), 1.0)
    assert np.allclose(np.cross(frames.along, frames.first), frames.second)


@pytest.mark.parametrize(("radius", "rise"), [(0.3, 0.1), (0.2, 0.4), (0.5, -0.2)])
def test_a_helix_turns_the_frame_by_its_torsion(radius: float, rise: float) -> None:
    """R. L. Bishop, American Mathematical Monthly 82(3), 1975: against the Frenet frame a frame without twist turns by
    minus the integral of torsion; for a helix torsion is rise / (radius^2 + rise^2) all along.
    """
    turns, count = 1.5, 4000
    points = helix(radius, rise, turns, count)
    frames = travelling_frames(points)
    t = np.linspace(0.0, 2.0 * np.pi * turns, count)
    inward = -np.stack([np.cos(t), np.sin(t), np.zeros(count)], axis=1)
    binormal = np.cross(frames.along, inward)
    angle = np.unwrap(
        np.arctan2(np.einsum("ij,ij->i", frames.first, binormal), np.einsum("ij,ij->i", frames.first, inward))
    )
    speed = np.hypot(radius, rise)
    expected = -rise / speed**2 * speed * 2.0 * np.pi * turns
    assert angle[-1] - angle[0] == pytest.approx(expected, abs=2e-3)


def test_in_a_plane_the_plane_s_normal_is_carried_along() -> None:
    points = np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0], [2, 1, 0], [2, 3, 0.0]])
    frames = travelling_frames(points)
    assert np.allclose(frames.second[:, 2], frames.second[0, 2])
    assert np.allclose(np.abs(frames.second[:, 2]), 1.0)


def test_tangents_at_a_corner_halve_it() -> None:
    along = tangents(np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0.0]]))
    assert np.allclose(along[1], np.array([1, 1, 0]) / np.sqrt(2))


def test_a_turn_back_has_a_tangent_too() -> None:
    assert np.allclose(tangents(np.array([[0, 0, 0], [1, 0, 0], [0, 0, 0.0]]))[1], [-1, 0, 0])


def test_across_is_the_same_both_ways() -> None:
    for direction in np.random.default_rng(3).normal(size=(50, 3)):
        first, second = across(direction)
        back_first, back_second = across(-direction)
        assert np.allclose(first, back_first)
        assert np.allclose(second, back_second)
        assert abs(first @ direction) < 1e-12
        assert abs(second @ direction) < 1e-12
        assert abs(first @ second) < 1e-12


def test_refining_keeps_points_and_length() -> None:
    points = np.array([[0, 0, 0], [1, 0, 0], [1, 0.25, 0.0]])
    fine = refined(points, 0.1)
    assert np.linalg.norm(np.diff(fine, axis=0), axis=1).max() <= 0.1 + 1e-12
    assert distances_along(fine)[-1] == pytest.approx(1.25)
    for point in points:
        assert np.linalg.norm(fine - point, axis=1).min() < 1e-12


def test_nearest_along_does_not_look_back() -> None:
    there_and_back = np.array([[0, 0, 0], [1, 0, 0], [1, 0.1, 0], [0, 0.1, 0.0]])
    place = np.array([0.5, 0.0, 0.0])
    assert nearest_along(there_and_back, place) == pytest.approx(0.5)
    assert nearest_along(there_and_back, place, 0.9) == pytest.approx(1.0 + 0.1 + 0.5)
    assert np.allclose(point_at(there_and_back, 1.6), [0.5, 0.1, 0.0])


@pytest.mark.parametrize("sides", [6, 10])
def test_a_straight_tube_is_a_closed_prism_looking_out(sides: int) -> None:
    """By the divergence theorem; a regular polygon of n corners has the area n/2 r^2 sin(2 pi/n)."""
    radius, length = 0.02, 0.7
    start = np.array([0.3, -0.2, 0.5])
    end = start + length * np.array([2, 3, 6]) / 7
    vertices, faces = tube(np.stack([start, end]), radius, sides)
    corner = vertices[faces]
    volume = np.einsum("ij,ij->i", corner[:, 0], np.cross(corner[:, 1], corner[:, 2])).sum() / 6.0
    assert volume == pytest.approx(sides / 2 * radius**2 * np.sin(2 * np.pi / sides) * length, rel=1e-9)
    edges = np.sort(np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
    assert set(np.unique(edges, axis=0, return_counts=True)[1]) == {2}


def test_joined_meshes_keep_their_triangles() -> None:
    one = tube(np.array([[0, 0, 0], [1, 0, 0.0]]), 0.1, 6)
    two = tube(np.array([[0, 0, 1], [1, 0, 1.0]]), 0.1, 6)
    vertices, faces = joined([one, two])
    assert np.allclose(vertices[faces], np.concatenate([one[0][one[1]], two[0][two[1]]]))
    assert joined([])[1].shape == (0, 3)
