"""Passages: the front and the back rim of one hole through one wall, paired, with what it lets through."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from ribway.router.shell.parts import Points
from ribway.router.survey.clear import Clear, clear_section
from ribway.router.survey.near_pairs import near_pairs, open_rims
from ribway.router.survey.rings import Ring
from ribway.router.survey.topology import Ints, Topology, labels

PassageKind = Literal["hole", "tube", "frame"]

LARGE_M = 0.15
"""From here on a hole is no hole for cables but a window, a door, a recess."""
LAND = 0.5
"""A rim with less land round it than this share of its own area is the end of a tube, or a frame."""
TUBE_DEPTH = 1.5


@dataclass(frozen=True, eq=False)
class Passage:
    """One hole through one wall.

    Args:
        ends: ``(2, 3)`` centres of its two rims, in an open sheet the same point twice [m].
        axis: ``(3,)`` unit, from the first rim to the second.
        depth_m: along the axis; 0 in an open sheet [m].
        clear: what it lets through.
        kind: a hole for cables, the bore of a tube, or a frame (windows, doors).
        face: a face of the plate beside it, to ask which body it is in.
        rim: ``(k, 3)`` corners of the first rim [m].
        whole: whether the wall between its rims is whole; rims are paired by nearness otherwise.
    """

    ends: Points
    axis: Points
    depth_m: float
    clear: Clear
    kind: PassageKind
    face: int
    rim: Points
    whole: bool = True

    @property
    def centre(self) -> Points:
        """``(3,)`` middle of the passage [m]."""
        return np.asarray(self.ends.mean(axis=0))


def find_passages(topology: Topology, rings: list[Ring]) -> list[Passage]:
    """Pair the rims of holes by the wall between them.

    The mesh is cut along all rims. A piece that is bounded by exactly two of them, seen from inside the holes, is the
    wall of a passage, whatever its shape; pockets have one rim and bosses no second one.

    Args:
        topology: the mended mesh [m].
        rings: its rims.

    Returns:
        All passages that are open from end to end.
    """
    rims = [ring for ring in rings if ring.kind == "rim"]
    edges = [ring for ring in rings if ring.kind == "edge"]
    piece = _cut(topology, rims)
    inside: dict[int, list[int]] = {}
    beside: set[int] = set()
    for number, ring in enumerate(rims):
        pieces = np.unique(piece[topology.twin[ring.edges] // 3])
        beside.update(np.unique(piece[ring.edges // 3]).tolist())
        if len(pieces) == 1:
            inside.setdefault(int(pieces[0]), []).append(number)
    open_rim: dict[int, list[int]] = {}
    for number, ring in enumerate(edges):
        open_rim.setdefault(int(piece[ring.edges[0] // 3]), []).append(number)
    walls = {which for which, numbers in inside.items() if len(numbers) == 2 and which not in beside}
    faces_of = _faces_of(piece, sorted(walls))
    out: list[Passage] = []
    spent: set[int] = set()
    for which in sorted(walls):
        first, second = (rims[number] for number in inside[which])
        passage = _between(topology, first, second, faces_of[which])
        if passage is not None:
            spent.update(inside[which])
            out.append(passage)
    left = [ring for number, ring in enumerate(rims) if number not in spent]
    spent_left: set[int] = set()
    for i, j in near_pairs(topology, left):
        passage = _between(topology, left[i], left[j], np.zeros(0, dtype=np.int64))
        if passage is not None:
            spent_left.update((i, j))
            out.append(replace(passage, whole=False))
    # Through a rim that has lost its partner the hole leads on to the far side's own faces; a pocket's wall is by itself.
    lone = [
        ring
        for k, ring in enumerate(left)
        if k not in spent_left
        and ring.plate_m2 > LAND * ring.area_m2
        and ring.area_m2 < LARGE_M**2
        and beside.intersection(piece[topology.twin[ring.edges] // 3].tolist())
    ]
    for k in open_rims(topology, lone):
        out += [replace(passage, whole=False) for passage in _alone(lone[k], -lone[k].normal)]
    for ring in edges:
        out += _alone(ring, -ring.normal)
    return out


def _alone(ring: Ring, axis: Points) -> list[Passage]:
    """The passage through one rim, as in an open sheet; none if it is shut."""
    clear = clear_section([ring.points], np.zeros((0, 3, 3)), axis, ring.centre)
    if clear is None:
        return []
    kind: PassageKind = "hole" if _size(clear) < LARGE_M else "frame"
    ends = np.stack([ring.centre, ring.centre])
    return [Passage(ends, axis, 0.0, clear, kind, int(ring.edges[0] // 3), ring.points)]


def _size(clear: Clear) -> float:
    return float(max(clear.bore_m, clear.length_m))


def _cut(topology: Topology, rims: list[Ring]) -> Ints:
    """Piece of each face after the mesh is cut along the rims."""
    pair = topology.paired
    shut = np.zeros(len(topology.twin), dtype=bool)
    for ring in rims:
        shut[ring.edges] = True
        shut[topology.twin[ring.edges]] = True
    pair = pair[~shut[pair]]
    return labels(len(topology.areas), pair // 3, topology.twin[pair] // 3)


def _faces_of(piece: Ints, wanted: list[int]) -> dict[int, Ints]:
    order = np.argsort(piece, kind="stable")
    low = np.searchsorted(piece[order], wanted)
    high = np.searchsorted(piece[order], wanted, side="right")
    return {which: order[a:b] for which, a, b in zip(wanted, low.tolist(), high.tolist(), strict=True)}


def _between(topology: Topology, first: Ring, second: Ring, wall: Ints) -> Passage | None:
    """The passage between two rims, or None if it is none."""
    if float(first.normal @ second.normal) > -0.5:
        return None
    across = second.centre - first.centre
    gap = float(np.linalg.norm(across))
    normal = (second.normal - first.normal) / np.linalg.norm(second.normal - first.normal)
    if float(across @ normal) < -1e-4:
        return None
    wide = np.sqrt(min(first.area_m2, second.area_m2))
    # In a thin plate the line between two centres is uncertain: there the plate's normal is the axis.
    axis = across / gap if gap > 0.4 * wide else normal
    tri = topology.mesh.vertices[topology.mesh.faces[wall]]
    clear = clear_section([first.points, second.points], tri, axis, (first.centre + second.centre) / 2)
    if clear is None:
        return None
    depth = float(across @ axis)
    small = min(first.plate_m2 / first.area_m2, second.plate_m2 / second.area_m2) < LAND
    kind: PassageKind = "hole"
    if small and depth > TUBE_DEPTH * clear.bore_m:
        kind = "tube"
    elif small or _size(clear) >= LARGE_M:
        kind = "frame"
    ends = np.stack([first.centre, second.centre])
    return Passage(ends, axis, depth, clear, kind, int(first.edges[0] // 3), first.points)
