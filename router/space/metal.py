"""All solid triangles of a shell, to ask how far lines keep from them and what they run into."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.router.geometry.meshes import segment_clearances, segment_hits
from ribway.router.shell.parts import Shell

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


class Metal:
    """The metal of one shell: members, obstacles, skins. Many lines are asked about in one call."""

    def __init__(self, shell: Shell) -> None:
        named = [(member.name, member.mesh) for member in shell.members]
        named += [(obstacle.name, obstacle.mesh) for obstacle in shell.obstacles]
        named += [(f"the {skin.name} skin", skin.mesh) for skin in shell.skins]
        self._names = [name for name, _ in named]
        self._tri = np.concatenate([np.asarray(mesh.vertices[mesh.faces], dtype=np.float64) for _, mesh in named])
        self._owner = np.repeat(np.arange(len(named)), [len(mesh.faces) for _, mesh in named])
        self._low, self._high = self._tri.min(axis=1), self._tri.max(axis=1)
        # Seen from the side the walls are widest, so boxes in x and z part most triangles; y is held against them after.
        self._boxes = shapely.STRtree(shapely.box(self._low[:, 0], self._low[:, 2], self._high[:, 0], self._high[:, 2]))

    def clearances(self, lines: Sequence[Array], reaches_m: Sequence[float]) -> Array:
        """Least distance of each line to the metal, looked for within a reach.

        Args:
            lines: ``(k, 3)`` polylines [m].
            reaches_m: how far each is looked round [m].

        Returns:
            ``(n,)`` distances [m]; the reach itself where nothing is nearer.
        """
        reach = np.asarray(reaches_m, dtype=np.float64)
        line, starts, ends = _segments(lines)
        segment, face = self._near(starts, ends, reach[line])
        gap = segment_clearances(starts[segment], ends[segment], self._tri[face])
        least = reach.copy()
        np.minimum.at(least, line[segment], gap)
        return least

    def crossed_by(self, lines: Sequence[Array]) -> list[str]:
        """Name of what each polyline runs through; empty where it runs through nothing."""
        line, starts, ends = _segments(lines)
        segment, face = self._near(starts, ends, np.zeros(len(line)))
        hit = np.isfinite(segment_hits(starts[segment], ends[segment], self._tri[face]))
        first = np.full(len(lines), len(self._tri))
        np.minimum.at(first, line[segment[hit]], face[hit])
        return [self._names[int(self._owner[f])] if f < len(self._tri) else "" for f in first.tolist()]

    def _near(self, starts: Array, ends: Array, reach_m: Array) -> tuple[Ints, Ints]:
        """Pairs of segment and triangle whose boxes come within reach of each other."""
        low, high = np.minimum(starts, ends) - reach_m[:, None], np.maximum(starts, ends) + reach_m[:, None]
        segment, face = self._boxes.query(shapely.box(low[:, 0], low[:, 2], high[:, 0], high[:, 2]))
        near = (self._low[face, 1] <= high[segment, 1]) & (self._high[face, 1] >= low[segment, 1])
        return segment[near], face[near]


def _segments(lines: Sequence[Array]) -> tuple[Ints, Array, Array]:
    """The segments of polylines: which line each belongs to, starts, ends."""
    line = np.repeat(np.arange(len(lines)), [max(len(one) - 1, 0) for one in lines])
    long = [one for one in lines if len(one) > 1]
    if not long:
        return line, np.zeros((0, 3)), np.zeros((0, 3))
    return line, np.concatenate([one[:-1] for one in long]), np.concatenate([one[1:] for one in long])
