"""Meshes made light enough to be drawn: for looking alone, never for routing."""

from __future__ import annotations

import base64
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.shell import PlanPart
from ribway.viewer.parts import unpacked

MOST_TRIANGLES = 300_000
"""Triangles that a phone and a machine without a graphics card still turn smoothly."""
_FINEST_M = 0.004
_COARSER = 1.3


def thinned_parts(parts: Sequence[PlanPart], most: int = MOST_TRIANGLES) -> tuple[tuple[PlanPart, ...], str]:
    """Parts with no more triangles together than can be drawn.

    Corners are put on a grid, which is made coarser until few enough triangles are left; no corner moves farther than half
    the grid's diagonal.

    Args:
        parts: of a plan.
        most: triangles to keep.

    Returns:
        The parts, and what to tell about it; nothing if they are as they were.
    """
    total = sum(triangles_of(part) for part in parts)
    if total <= most:
        return tuple(parts), ""
    meshes = [unpacked(part) for part in parts]
    cell_m = _FINEST_M
    while True:
        light = [clustered(vertices, faces, cell_m) for vertices, faces in meshes]
        left = sum(len(faces) for _, faces in light)
        if left <= most:
            break
        cell_m *= _COARSER
    words = (
        f"the metal has {total:,} triangles, too many to draw: shown with {left:,}, corners off by up to "
        f"{500 * cell_m * 3**0.5:.0f} mm; routes and lengths are reckoned on all of them"
    )
    return tuple(_with_mesh(part, *mesh) for part, mesh in zip(parts, light, strict=True)), words


def triangles_of(part: PlanPart) -> int:
    """How many triangles a part has, without unpacking it: three indices of four bytes each, in base64."""
    return len(part.faces_u32.rstrip("=")) * 3 // 4 // 12


def clustered(
    vertices: NDArray[np.float64], faces: NDArray[np.int32], cell_m: float
) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
    """A mesh with its corners put on a grid, and without the triangles that fall together there.

    Args:
        vertices: ``(n, 3)`` [m].
        faces: ``(m, 3)`` indices.
        cell_m: the grid's step [m].

    Returns:
        ``(k, 3)`` corners, each the middle of those that fell together, and the triangles that are left.
    """
    if len(vertices) == 0 or len(faces) == 0:
        return vertices, faces
    _, which = np.unique(np.floor(vertices / cell_m).astype(np.int64), axis=0, return_inverse=True)
    which = which.reshape(-1)
    count = np.bincount(which).astype(np.float64)
    middle = np.stack([np.bincount(which, weights=vertices[:, axis]) / count for axis in range(3)], axis=1)
    corners = which[faces]
    apart = (corners[:, 0] != corners[:, 1]) & (corners[:, 1] != corners[:, 2]) & (corners[:, 2] != corners[:, 0])
    _, first = np.unique(np.sort(corners[apart], axis=1), axis=0, return_index=True)
    return middle, corners[apart][np.sort(first)].astype(np.int32)


def _with_mesh(part: PlanPart, vertices: NDArray[np.float64], faces: NDArray[np.int32]) -> PlanPart:
    texts = [base64.b64encode(data).decode("ascii") for data in (
        vertices.astype("<f4").tobytes(), faces.astype("<u4").tobytes()
    )]  # fmt: skip
    return part.model_copy(update={"vertices_f32": texts[0], "faces_u32": texts[1]})
