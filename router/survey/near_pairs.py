"""Rims that belong together though the wall between them is not whole: paired by where they lie.

A mesh that was thinned out or is noisy keeps the rims of a thin sheet longer than the narrow wall between them.
"""

from __future__ import annotations

import numpy as np
import shapely
from scipy.spatial import cKDTree

from ribway.router.geometry.meshes import segment_hits
from ribway.router.shell.parts import Points
from ribway.router.survey.clear import across
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
    metal = _Metal(topology)
    used: set[int] = set()
    out = []
    for _, i, j in sorted(found):
        axis = (normals[i] - normals[j]) / np.linalg.norm(normals[i] - normals[j])
        reach = 0.25 * float(min(wide[i], wide[j]))
        if i not in used and j not in used and metal.is_free(centres[i], centres[j], axis, reach):
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
    metal = _Metal(topology)
    return [
        k
        for k, ring in enumerate(rims)
        if metal.is_free(ring.centre, ring.centre, ring.normal, 0.25 * float(np.sqrt(ring.area_m2)))
    ]


class _Metal:
    """All triangles of a mesh, to look through its holes."""

    def __init__(self, topology: Topology) -> None:
        self._tri = topology.mesh.vertices[topology.mesh.faces]
        low, high = self._tri.min(axis=1), self._tri.max(axis=1)
        self._tree = shapely.STRtree(shapely.box(low[:, 0], low[:, 2], high[:, 0], high[:, 2]))

    def is_free(self, front: Points, back: Points, axis: Points, reach_m: float) -> bool:
        """No metal on five lines from before the front to behind the back."""
        spots = np.array([[0.0, 0.0], [1, 0], [-1, 0], [0, 1], [0, -1]]) * reach_m @ across(axis)
        return _free(self._tri, self._tree, front + spots + 1.5 * SHEET_M * axis, back + spots - 1.5 * SHEET_M * axis)


def _free(tri: Points, tree: shapely.STRtree, starts: Points, ends: Points) -> bool:
    both = np.concatenate([starts, ends])
    low, high = both.min(axis=0), both.max(axis=0)
    near = tree.query(shapely.box(low[0], low[2], high[0], high[2]))
    if not len(near):
        return True
    return not np.isfinite(segment_hits(starts[:, None], ends[:, None], tri[near][None])).any()
