"""Rims that belong together though the wall between them is not whole: paired by where they lie.

A mesh that was thinned out or is noisy keeps the rims of a thin sheet longer than the narrow wall between them.
"""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from ribway.router.shell.parts import Points
from ribway.router.survey.clear import across
from ribway.router.survey.metal_tree import MetalTree
from ribway.router.survey.rings import Ring
from ribway.router.survey.topology import Topology

SHEET_M = 0.006
"""Thickest sheet whose rims are paired by nearness."""
OPPOSED = -0.7
ALIKE = 0.5


def near_pairs(topology: Topology, rims: list[Ring]) -> list[tuple[int, int]]:
    """Pairs of rims on both faces of a thin sheet with nothing between.

    Args:
        topology: of the mesh [m].
        rims: those that no wall has paired.

    Returns:
        Pairs of indices, nearest first; each rim once.
    """
    if len(rims) < 2:
        return []
    centres = np.array([ring.centre for ring in rims])
    normals = np.array([ring.normal for ring in rims])
    wide = np.sqrt([ring.area_m2 for ring in rims])
    found: list[tuple[float, int, int]] = []
    for i, j in cKDTree(centres).query_pairs(SHEET_M * 1.5):
        apart = centres[j] - centres[i]
        thick = float(apart @ (normals[j] - normals[i])) / 2
        off = float(np.linalg.norm(apart - thick * normals[j]))
        small, large = sorted((wide[i], wide[j]))
        if (
            float(normals[i] @ normals[j]) < OPPOSED
            and -1e-4 < thick < SHEET_M
            and off < 0.3 * large
            and small > ALIKE * large
        ):
            found.append((thick + off, i, j))
    if not found:
        return []
    metal = MetalTree(topology)
    used: set[int] = set()
    out = []
    for _, i, j in sorted(found):
        axis = (normals[i] - normals[j]) / np.linalg.norm(normals[i] - normals[j])
        reach = 0.25 * float(min(wide[i], wide[j]))
        if i not in used and j not in used and _free(metal, centres[i], centres[j], axis, reach):
            used |= {i, j}
            out.append((i, j))
    return out


def open_rims(topology: Topology, rims: list[Ring]) -> list[int]:
    """Rims whose partner is lost, but through which one can look.

    Args:
        topology: of the mesh [m].
        rims: those that have no partner.

    Returns:
        Indices of rims with no metal in them for the thickness of a sheet before and behind.
    """
    if not rims:
        return []
    metal = MetalTree(topology)
    return [
        k
        for k, ring in enumerate(rims)
        if _free(metal, ring.centre, ring.centre, ring.normal, 0.25 * float(np.sqrt(ring.area_m2)))
    ]


def _free(metal: MetalTree, front: Points, back: Points, axis: Points, reach_m: float) -> bool:
    """No metal on five lines from before the front to behind the back."""
    spots = np.array([[0.0, 0.0], [1, 0], [-1, 0], [0, 1], [0, -1]]) * reach_m @ across(axis)
    return metal.is_free(front + spots + 1.5 * SHEET_M * axis, back + spots - 1.5 * SHEET_M * axis)
