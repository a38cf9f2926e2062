"""A noisy surface as small flat patches, so that it has normals to speak of."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.parts import Mesh, Points

CELL_SHARE = 0.035
LEAST_POINTS = 12
FLAT_SHARE = 0.12


@dataclass(frozen=True, eq=False)
class Patches:
    """Flat patches of a surface.

    Args:
        normals: ``(n, 3)`` unit, of either sign.
        areas: ``(n,)``, those of uneven patches lowered [m2].
        middles: ``(n, 3)`` [m].
    """

    normals: Points
    areas: NDArray[np.float64]
    middles: Points


def patches_of(mesh: Mesh, areas: NDArray[np.float64]) -> Patches:
    """Fit a plane in every cell of a grid.

    Args:
        mesh: a dense mesh, any unit.
        areas: of its faces.

    Returns:
        Patches with enough points in them; cells are a 28th of the mesh's longest side.
    """
    middles = mesh.vertices[mesh.faces].mean(axis=1)
    low, size = middles.min(axis=0), float(np.ptp(middles, axis=0).max())
    key = np.floor((middles - low) / (CELL_SHARE * size)).astype(np.int64)
    cell = np.unique(key, axis=0, return_inverse=True)[1].reshape(-1)
    count = np.bincount(cell)

    def mean(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(np.bincount(cell, weights=values) / count, dtype=np.float64)

    centre = np.stack([mean(middles[:, k]) for k in range(3)], axis=1)
    away = middles - centre[cell]
    spread = np.empty((len(count), 3, 3))
    for i in range(3):
        for j in range(3):
            spread[:, i, j] = mean(away[:, i] * away[:, j])
    values, vectors = np.linalg.eigh(spread)
    uneven = np.sqrt(np.maximum(values[:, 0], 0.0) / np.maximum(values[:, 1], 1e-300))
    area = np.asarray(np.bincount(cell, weights=areas), dtype=np.float64)
    good = (count >= LEAST_POINTS) & (uneven < 2 * FLAT_SHARE)
    weight = area / (1 + (uneven / FLAT_SHARE) ** 4)
    return Patches(vectors[good, :, 0], weight[good], centre[good])
