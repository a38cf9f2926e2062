"""All solid triangles of a shell, to ask how far a line keeps from them and what it runs into."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ribway.router.geometry.meshes import clearance, segment_hits
from ribway.router.shell.parts import Shell

Array = NDArray[np.float64]

SLAB_M = 0.1


class Metal:
    """The metal of one shell: members, obstacles, skins."""

    def __init__(self, shell: Shell) -> None:
        named = [(member.name, member.mesh) for member in shell.members]
        named += [(obstacle.name, obstacle.mesh) for obstacle in shell.obstacles]
        named += [(f"the {skin.name} skin", skin.mesh) for skin in shell.skins]
        self._names = [name for name, _ in named]
        self._tri = np.concatenate([np.asarray(mesh.vertices[mesh.faces], dtype=np.float64) for _, mesh in named])
        self._owner = np.repeat(np.arange(len(named)), [len(mesh.faces) for _, mesh in named])
        self._low, self._high = self._tri.min(axis=1), self._tri.max(axis=1)
        self._first = float(self._low[:, 0].min())
        count = int((float(self._high[:, 0].max()) - self._first) / SLAB_M) + 1
        self._slabs = [
            np.flatnonzero(
                (self._low[:, 0] <= self._first + (k + 1) * SLAB_M) & (self._high[:, 0] >= self._first + k * SLAB_M)
            )
            for k in range(count)
        ]

    def clearance(self, line: Array, reach_m: float) -> float:
        """Least distance of a line to the metal [m], looked for within ``reach_m``."""
        return min(clearance(line, self._tri[self._near(line, reach_m)]), reach_m)

    def crossed_by(self, line: Array) -> str:
        """Name of what a polyline runs through; empty if it runs through nothing."""
        near = self._near(line, 0.0)
        if len(near) == 0 or len(line) < 2:
            return ""
        hit = np.isfinite(segment_hits(line[:-1], line[1:], self._tri[near])).any(axis=0)
        return self._names[int(self._owner[near[hit]][0])] if hit.any() else ""

    def _near(self, line: Array, reach_m: float) -> NDArray[np.int64]:
        """Triangles whose boxes come within reach of the line's box, looked for in the slabs that it passes."""
        low, high = line.min(axis=0) - reach_m, line.max(axis=0) + reach_m
        first = max(0, int((low[0] - self._first) / SLAB_M))
        last = min(len(self._slabs), int((high[0] - self._first) / SLAB_M) + 1)
        if last <= first:
            return np.zeros(0, dtype=np.int64)
        found = np.unique(np.concatenate(self._slabs[first:last])) if last > first + 1 else self._slabs[first]
        near = (self._low[found] <= high).all(axis=1) & (self._high[found] >= low).all(axis=1)
        return np.asarray(found[near], dtype=np.int64)
