"""What may be mended without changing a shape, and the list of what was: welds, doubled, flat and flipped faces, gaps.

Nothing here moves a vertex further than the weld. What is left as it is (edges of three faces, open edges) is counted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import breadth_first_order

from ribway.router.shell.parts import Faces, Mesh
from ribway.router.shell.skins import weld
from ribway.router.survey.junctions import close_triangles, split_junctions
from ribway.router.survey.topology import Ints, Topology, bodies, topology_of

WELD_SHARE = 2e-6
"""Vertices closer than this share of the mesh's size are one: coarser than a 32-bit float, finer than any sheet."""


@dataclass(frozen=True)
class Mends:
    """What was mended, and what could not be.

    Args:
        corners: how many corners the file holds.
        welded: how many of them were joined with another one.
        flat: faces without area that were dropped.
        doubled: faces that lay on another one, of which one was kept.
        flipped: faces turned over so that neighbours agree.
        inside_out: bodies turned over so that they enclose a volume.
        junctions: edges split at another face's corner that lay on them.
        filled: single missing triangles that were put back.
        wild_edges: edges at which more than two faces meet; left as they are.
        open_edges: edges of one face; left as they are.
    """

    corners: int
    welded: int
    flat: int
    doubled: int
    flipped: int
    inside_out: int
    junctions: int
    filled: int
    wild_edges: int
    open_edges: int

    def sentences(self) -> tuple[str, ...]:
        """What was done and what was left, a sentence each; nothing where there was nothing to do."""
        told = (
            (self.flat, "faces without area were dropped"),
            (self.doubled, "faces that lay on another one were dropped"),
            (self.junctions, "edges were split at a corner that lay on them"),
            (self.filled, "single missing triangles were put back"),
            (self.flipped, "faces were turned over to agree with their neighbours"),
            (self.inside_out, "bodies were inside out and were turned over"),
            (self.wild_edges, "edges have more than two faces and were left as they are"),
        )
        return tuple(f"{count} {what}" for count, what in told if count)


def mend(mesh: Mesh, size_m: float | None = None) -> tuple[Topology, Mends]:
    """Weld a mesh and mend what is safe to mend.

    Args:
        mesh: as read, in any unit.
        size_m: what the weld is measured against; None takes the mesh's own longest side [same unit].

    Returns:
        The mended mesh with its half-edges, and what was done.
    """
    used = mesh.vertices[np.unique(mesh.faces)]
    size = float(np.ptp(used, axis=0).max()) if size_m is None else size_m
    corners = len(used)
    middle = (used.min(axis=0) + used.max(axis=0)) / 2
    welded = weld(Mesh(mesh.vertices - middle, mesh.faces), max(size * WELD_SHARE, 1e-12))
    flat = len(mesh.faces) - len(welded.faces)
    kept = _without_doubles(welded.faces)
    doubled = len(welded.faces) - len(kept)
    welded = _compact(Mesh(welded.vertices + middle, kept))
    mended, junctions = split_junctions(welded, size * WELD_SHARE * 4)
    topology = topology_of(mended)
    faces, flipped = _agreeing(topology)
    if flipped:
        topology = topology_of(Mesh(mended.vertices, faces))
    mended, filled = close_triangles(topology)
    if filled:
        topology = topology_of(mended)
    faces, inside_out = _outside_out(topology)
    if inside_out:
        topology = topology_of(Mesh(topology.mesh.vertices, faces))
    return topology, Mends(
        corners,
        corners - len(topology.mesh.vertices),
        flat,
        doubled,
        flipped,
        inside_out,
        junctions,
        filled,
        int((topology.twin == -2).sum()),
        int((topology.twin == -1).sum()),
    )


def _compact(mesh: Mesh) -> Mesh:
    """The mesh without vertices that no face uses."""
    used, index = np.unique(mesh.faces, return_inverse=True)
    return Mesh(mesh.vertices[used], index.reshape(-1, 3).astype(np.int32))


def _without_doubles(faces: Faces) -> Faces:
    """Faces of the same three corners, one each, in the order of the first."""
    _, first = np.unique(np.sort(faces, axis=1), axis=0, return_index=True)
    return np.ascontiguousarray(faces[np.sort(first)])


def _agreeing(topology: Topology) -> tuple[Faces, int]:
    """Faces turned so that neighbours run their common edge both ways; the fewer ones of each body are turned."""
    faces = topology.mesh.faces
    if not topology.turned.any():
        return faces, 0
    pair = topology.paired
    a, b, odd = pair // 3, topology.twin[pair] // 3, topology.turned[pair]
    body = bodies(topology)
    roots = np.unique(body, return_index=True)[1]
    count = len(faces)
    graph = coo_matrix(
        (np.ones(len(a) + len(roots)), (np.append(a, np.full(len(roots), count)), np.append(b, roots))),
        shape=(count + 1, count + 1),
    ).tocsr()
    order, before = breadth_first_order(graph, count, directed=False)
    key = np.minimum(a, b) * count + np.maximum(a, b)
    sort = np.argsort(key)
    step = np.zeros(count + 1, dtype=bool)
    inner = order[before[order] >= 0]
    inner = inner[before[inner] != count]
    wanted = np.minimum(inner, before[inner]).astype(np.int64) * count + np.maximum(inner, before[inner])
    step[inner] = odd[sort[np.searchsorted(key[sort], wanted)]]
    turn = [False] * (count + 1)
    steps, previous = step.tolist(), before.tolist()
    for node in order.tolist():
        if node != count:
            turn[node] = turn[previous[node]] ^ steps[node]
    turned = np.array(turn[:count])
    share = np.bincount(body, weights=turned) / np.bincount(body)
    turned ^= (share > 0.5)[body]
    out = faces.copy()
    out[turned] = out[turned][:, ::-1]
    return out, int(turned.sum())


def _outside_out(topology: Topology) -> tuple[Faces, int]:
    """Closed bodies turned over where they enclose a negative volume and lie in no other body."""
    body = bodies(topology)
    count = int(body.max()) + 1
    is_open = np.bincount(body, weights=(topology.twin.reshape(-1, 3) < 0).any(axis=1), minlength=count) > 0
    tri = topology.mesh.vertices[topology.mesh.faces]
    tri = tri - tri.mean(axis=(0, 1))
    volume = np.bincount(
        body, weights=np.einsum("ij,ij->i", tri[:, 0], np.cross(tri[:, 1], tri[:, 2])), minlength=count
    )
    wrong = ~is_open & (volume < 0)
    if not wrong.any():
        return topology.mesh.faces, 0
    low, high = body_boxes(topology, body)
    for one in np.flatnonzero(wrong):
        # A hollow inside a solid is a body of its own and rightly inside out.
        around = (low <= low[one] + 1e-12).all(axis=1) & (high >= high[one] - 1e-12).all(axis=1) & ~is_open
        around[one] = False
        wrong[one] = not (around & (volume > 0)).any()
    faces = topology.mesh.faces.copy()
    chosen = wrong[body]
    faces[chosen] = faces[chosen][:, ::-1]
    return faces, int(wrong.sum())


def body_boxes(topology: Topology, body: Ints) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Corners of the box round each body, ``(count, 3)`` each."""
    count = int(body.max()) + 1
    tri = topology.mesh.vertices[topology.mesh.faces]
    low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
    np.minimum.at(low, body, tri.min(axis=1))
    np.maximum.at(high, body, tri.max(axis=1))
    return low, high
