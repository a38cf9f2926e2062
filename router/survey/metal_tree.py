"""All triangles of a mesh in a tree, to ask what stands in the way of short lines."""

from __future__ import annotations

import numpy as np
import shapely

from ribway.router.geometry.meshes import segment_hits
from ribway.router.shell.parts import Points
from ribway.router.survey.topology import Ints, Topology


class MetalTree:
    """The triangles of one mesh; built once, asked often.

    Args:
        topology: of the mesh [m].
    """

    def __init__(self, topology: Topology) -> None:
        self._tri = topology.mesh.vertices[topology.mesh.faces]
        low, high = self._tri.min(axis=1), self._tri.max(axis=1)
        self._low_y, self._high_y = low[:, 1], high[:, 1]
        self._tree = shapely.STRtree(shapely.box(low[:, 0], low[:, 2], high[:, 0], high[:, 2]))

    def is_free(self, starts: Points, ends: Points, body: Ints | None = None, only: int = 0) -> bool:
        """Whether no triangle meets any of some short segments.

        Args:
            starts, ends: ``(n, 3)`` [m].
            body: of each face; None asks all bodies.
            only: the body that counts.
        """
        both = np.concatenate([starts, ends])
        low, high = both.min(axis=0) - 1e-9, both.max(axis=0) + 1e-9
        near = self._tree.query(shapely.box(low[0], low[2], high[0], high[2]))
        near = near[(self._low_y[near] <= high[1]) & (self._high_y[near] >= low[1])]
        if body is not None:
            near = near[body[near] == only]
        if not len(near):
            return True
        return not np.isfinite(segment_hits(starts[:, None], ends[:, None], self._tri[near][None])).any()
