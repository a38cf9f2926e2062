"""Half-edges of a triangle mesh, its connected bodies, its regions and the loops round them: all in arrays.

A half-edge is ``3 * face + k`` and runs from corner k of its face to the next. Everything here costs n log n at most.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from ribway.router.shell.parts import Mesh, Points

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Topology:
    """A mesh with its half-edges.

    Args:
        mesh: welded.
        normals: ``(m, 3)`` unit, zero for a face without area.
        areas: ``(m,)`` [m2].
        twin: ``(3m,)`` the half-edge on the other side; -1 on an open edge, -2 where more than two faces meet.
        turned: ``(3m,)`` whether both sides run the same way, so that one of the two faces is flipped.
    """

    mesh: Mesh
    normals: Points
    areas: NDArray[np.float64]
    twin: Ints
    turned: Flags

    @property
    def starts(self) -> Ints:
        """``(3m,)`` vertex at which each half-edge begins."""
        return np.asarray(self.mesh.faces.reshape(-1), dtype=np.int64)

    @property
    def ends(self) -> Ints:
        """``(3m,)`` vertex at which each half-edge ends."""
        return np.asarray(self.mesh.faces[:, [1, 2, 0]].reshape(-1), dtype=np.int64)

    @property
    def paired(self) -> Ints:
        """``(p,)`` half-edges with a twin, one of each pair."""
        own = np.arange(len(self.twin))
        return np.asarray(own[(self.twin >= 0) & (own < self.twin)])


def topology_of(mesh: Mesh) -> Topology:
    """Pair the half-edges of a welded mesh.

    Args:
        mesh: welded; faces with three different corners.

    Returns:
        Its half-edges. Where four faces meet along an edge, as where two bodies touch, they stay unpaired.
    """
    cross = np.cross(
        mesh.vertices[mesh.faces[:, 1]] - mesh.vertices[mesh.faces[:, 0]],
        mesh.vertices[mesh.faces[:, 2]] - mesh.vertices[mesh.faces[:, 0]],
    )
    size = np.linalg.norm(cross, axis=1)
    normals = np.divide(cross, size[:, None], out=np.zeros_like(cross), where=size[:, None] > 0)
    starts = mesh.faces.reshape(-1).astype(np.int64)
    ends = mesh.faces[:, [1, 2, 0]].reshape(-1).astype(np.int64)
    key = np.minimum(starts, ends) * len(mesh.vertices) + np.maximum(starts, ends)
    order = np.argsort(key, kind="stable")
    new = np.concatenate([[True], np.diff(key[order]) != 0])
    first = np.flatnonzero(new)
    count = np.diff(np.append(first, len(order)))
    twin = np.full(len(starts), -1, dtype=np.int64)
    two = first[count == 2]
    a, b = order[two], order[two + 1]
    twin[a], twin[b] = b, a
    wild = np.repeat(count > 2, count)
    twin[order[wild]] = -2
    turned = np.zeros(len(starts), dtype=bool)
    turned[a] = turned[b] = starts[a] == starts[b]
    return Topology(mesh, normals, size / 2, twin, turned)


def labels(count: int, a: Ints, b: Ints) -> Ints:
    """Connected pieces.

    Args:
        count: how many things there are.
        a, b: ``(p,)`` pairs of things that hang together.

    Returns:
        ``(count,)`` piece of each thing.
    """
    graph = coo_matrix((np.ones(len(a), dtype=np.int8), (a, b)), shape=(count, count))
    return np.asarray(connected_components(graph, directed=False)[1], dtype=np.int64)


def bodies(topology: Topology) -> Ints:
    """``(m,)`` body of each face: what hangs together over edges of two faces."""
    pair = topology.paired
    return labels(len(topology.areas), pair // 3, topology.twin[pair] // 3)


def regions(topology: Topology, crease_rad: float) -> Ints:
    """``(m,)`` region of each face: faces joined over edges flatter than the crease.

    Args:
        topology: of the mesh.
        crease_rad: least angle between normals that parts two regions [rad].
    """
    pair = topology.paired
    a, b = pair // 3, topology.twin[pair] // 3
    flat = np.einsum("ij,ij->i", topology.normals[a], topology.normals[b]) > np.cos(crease_rad)
    # A sliver has no normal to speak of: it joins whatever it lies beside, if that is on one side only.
    flat &= ~topology.turned[pair]
    return labels(len(topology.areas), a[flat], b[flat])


@dataclass(frozen=True, eq=False)
class Loops:
    """Closed loops of half-edges, the faces of their own side to the left of each.

    Args:
        loop: ``(k,)`` loop of each half-edge in ``edges``.
        edges: ``(k,)`` half-edges.
        follows: ``(k,)`` position in ``edges`` of the next one.
        count: number of loops.
    """

    loop: Ints
    edges: Ints
    follows: Ints
    count: int


def border_loops(topology: Topology, border: Flags) -> Loops:
    """Trace the loops that border half-edges form.

    At a vertex the trace turns about it through the faces of its own side, so that two loops that touch stay apart.

    Args:
        topology: of the mesh.
        border: ``(3m,)`` which half-edges are border; those without twin have to be.

    Returns:
        All loops; a trace that meets a face turned over ends there, and its loop is left out.
    """
    edges = np.flatnonzero(border)
    place = np.full(len(border), -1, dtype=np.int64)
    place[edges] = np.arange(len(edges))
    current = edges - edges % 3 + (edges + 1) % 3
    active = np.flatnonzero(~border[current])
    lost = np.zeros(len(edges), dtype=bool)
    for _ in range(2000):
        if not len(active):
            break
        over = topology.twin[current[active]]
        bad = (over < 0) | topology.turned[current[active]]
        lost[active[bad]] = True
        active, over = active[~bad], over[~bad]
        current[active] = over - over % 3 + (over + 1) % 3
        active = active[~border[current[active]]]
    lost[active] = True
    follows = np.where(lost, np.arange(len(edges)), place[current])
    loop = labels(len(edges), np.arange(len(edges)), follows) if len(edges) else np.zeros(0, dtype=np.int64)
    spoilt = np.unique(loop[lost])
    keep = ~np.isin(loop, spoilt)
    index = np.cumsum(keep) - 1
    _, renamed = np.unique(loop[keep], return_inverse=True)
    return Loops(renamed.reshape(-1), edges[keep], index[follows[keep]], int(renamed.max()) + 1 if keep.any() else 0)


def in_order(loops: Loops, chosen: Ints) -> list[Ints]:
    """Half-edges of some loops, each in the order of its trace.

    Args:
        loops: all loops.
        chosen: which.
    """
    first = np.full(loops.count, -1, dtype=np.int64)
    first[loops.loop[::-1]] = np.arange(len(loops.loop))[::-1]
    out = []
    follows = loops.follows
    for which in chosen.tolist():
        at = start = int(first[which])
        trace = []
        while True:
            trace.append(at)
            at = int(follows[at])
            if at == start or len(trace) > len(follows):
                break
        out.append(loops.edges[np.array(trace, dtype=np.int64)])
    return out
