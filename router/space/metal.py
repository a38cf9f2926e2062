"""All solid triangles of a shell, to ask how far a line keeps from them and what it runs into."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ribway.router.geometry.meshes import clearance, segment_hits
from ribway.router.shell.parts import Shell

Array = NDArray[np.float64]


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

    def clearance(self, line: Array, reach_m: float) -> float:
        """Least distance of a line to the metal [m], looked for within ``reach_m``."""
        return min(clearance(line, self._tri[self._near(line, reach_m)]), reach_m)

    def crossed_by(self, line: Array) -> str:
        """Name of what a polyline runs through; empty if it runs through nothing."""
        near = np.flatnonzero(self._near(line, 0.0))
        if len(near) == 0 or len(line) < 2:
            return ""
        hit = np.isfinite(segment_hits(line[:-1], line[1:], self._tri[near])).any(axis=0)
        return self._names[int(self._owner[near[hit]][0])] if hit.any() else ""

    def _near(self, line: Array, reach_m: float) -> NDArray[np.bool_]:
        low, high = line.min(axis=0) - reach_m, line.max(axis=0) + reach_m
        near: NDArray[np.bool_] = (self._low <= high).all(axis=1) & (self._high >= low).all(axis=1)
        return near
