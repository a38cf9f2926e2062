"""Surfaces swept along curves: cables and rings as triangles."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ribway.viewer.frames import tangents, travelling_frames, without_repeats

Points = NDArray[np.float64]
Faces = NDArray[np.int32]


def tube(points: Points, radius_m: float, sides: int = 10) -> tuple[Points, Faces]:
    """A round tube along a curve, closed at both ends.

    Args:
        points: ``(n, 3)`` the curve, n >= 2 different points [m].
        radius_m: the tube's radius [m].
        sides: corners of its cross-section.

    Returns:
        ``(n * sides + 2, 3)`` vertices [m] and ``(m, 3)`` triangles, wound so that normals look out.
    """
    curve = without_repeats(points)
    frames = travelling_frames(curve)
    angle = np.arange(sides) * 2.0 * np.pi / sides
    ring = np.cos(angle)[:, None, None] * frames.first + np.sin(angle)[:, None, None] * frames.second
    return _swept(curve, radius_m * ring)


def ribbon(
    points: Points, thin: Points, half_wide_m: float, half_thick_m: float, sides: int = 10
) -> tuple[Points, Faces]:
    """A flat cable along a curve: two cores' round edges with flat sides between, closed at both ends.

    Args:
        points: ``(n, 3)`` the curve without repeats, n >= 2 [m].
        thin: ``(n, 3)`` unit vectors at right angles to it: across which it is thin.
        half_wide_m: half its width [m].
        half_thick_m: half its thickness, at most half its width [m].
        sides: corners of its cross-section, even.

    Returns:
        As ``tube``.
    """
    wide = np.cross(thin, tangents(points))
    angle = (np.arange(sides) + 0.5) * 2.0 * np.pi / sides
    across = np.sign(np.cos(angle)) * (half_wide_m - half_thick_m) + np.cos(angle) * half_thick_m
    return _swept(points, across[:, None, None] * wide + (half_thick_m * np.sin(angle))[:, None, None] * thin)


def hoop(points: Points, radius_m: float, sides: int = 6) -> tuple[Points, Faces]:
    """A thin tube along a closed curve that lies in a plane, or nearly so.

    Args:
        points: ``(n, 3)`` the curve, n >= 3 different points, the last not repeated [m].
        radius_m: the tube's radius [m].
        sides: corners of its cross-section.

    Returns:
        ``(n * sides, 3)`` vertices [m] and ``(m, 3)`` triangles.
    """
    ahead, behind = np.roll(points, -1, axis=0), np.roll(points, 1, axis=0)
    # Newell's normal: twice the area that the curve encloses, as a vector.
    normal = np.cross(points, ahead).sum(axis=0) if len(points) else np.zeros(3)
    normal = normal / max(float(np.linalg.norm(normal)), 1e-15)
    out = np.cross(ahead - behind, normal)
    out = out / np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-15)
    angle = np.arange(sides) * 2.0 * np.pi / sides
    vertices = points[:, None] + radius_m * (
        np.cos(angle)[None, :, None] * out[:, None] + np.sin(angle)[None, :, None] * normal
    )
    count = len(points)
    here, side = np.arange(count)[:, None] * sides, np.arange(sides)[None]
    there, beside = np.arange(1, count + 1)[:, None] % count * sides, (np.arange(sides)[None] + 1) % sides
    faces = np.concatenate(
        [
            np.stack([here + side, here + beside, there + side], axis=-1).reshape(-1, 3),
            np.stack([here + beside, there + beside, there + side], axis=-1).reshape(-1, 3),
        ]
    )
    return vertices.reshape(-1, 3), faces.astype(np.int32)


def _swept(curve: Points, ring: Points) -> tuple[Points, Faces]:
    """A closed surface from a curve and the ``(sides, n, 3)`` steps from it to its corners."""
    sides = len(ring)
    vertices = (curve[None] + ring).transpose(1, 0, 2).reshape(-1, 3)
    count = len(curve)
    here = np.arange(count - 1)[:, None] * sides + np.arange(sides)[None]
    beside = np.arange(count - 1)[:, None] * sides + (np.arange(sides)[None] + 1) % sides
    walls = np.concatenate(
        [
            np.stack([here, beside, here + sides], axis=-1).reshape(-1, 3),
            np.stack([beside, beside + sides, here + sides], axis=-1).reshape(-1, 3),
        ]
    )
    turn, after = np.arange(sides), (np.arange(sides) + 1) % sides
    start, end = count * sides, count * sides + 1
    last = (count - 1) * sides
    caps = np.concatenate(
        [
            np.stack([np.full(sides, start), after, turn], axis=-1),
            np.stack([np.full(sides, end), last + turn, last + after], axis=-1),
        ]
    )
    return np.concatenate([vertices, curve[:1], curve[-1:]]), np.concatenate([walls, caps]).astype(np.int32)


def joined(meshes: list[tuple[Points, Faces]]) -> tuple[Points, Faces]:
    """Several meshes as one.

    Args:
        meshes: vertices [m] and triangles of each.

    Returns:
        All vertices [m] and all triangles.
    """
    if not meshes:
        return np.empty((0, 3)), np.empty((0, 3), dtype=np.int32)
    starts = np.cumsum([0, *(len(vertices) for vertices, _ in meshes[:-1])])
    faces = np.concatenate([faces + start for (_, faces), start in zip(meshes, starts, strict=True)])
    return np.concatenate([vertices for vertices, _ in meshes]), faces.astype(np.int32)
