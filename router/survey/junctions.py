"""Corners that lie on another face's edge, and single missing triangles: two gaps that are closed without harm."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from ribway.router.shell.parts import Mesh
from ribway.router.survey.topology import Topology, border_loops, topology_of

MOST_OPEN = 200_000
"""Open edges beyond which corners on edges are not looked for: such a mesh is a scan or a soup."""
PASSES = 3


def split_junctions(mesh: Mesh, tolerance: float) -> tuple[Mesh, int]:
    """Split open edges at corners of other open edges that lie on them.

    Args:
        mesh: welded.
        tolerance: how far off the edge a corner may lie, in the mesh's unit.

    Returns:
        The mesh, and how many edges were split.
    """
    total = 0
    for _ in range(PASSES):
        topology = topology_of(mesh)
        edges = np.flatnonzero(topology.twin == -1)
        if not 0 < len(edges) <= MOST_OPEN:
            break
        on_edge = _corners_on_edges(mesh, topology, edges, tolerance)
        if not on_edge:
            break
        split: dict[int, tuple[int, list[int]]] = {}
        for edge, corners in on_edge.items():
            split.setdefault(edge // 3, (edge, corners))
        faces = [np.delete(mesh.faces, list(split), axis=0)]
        for face, (edge, corners) in split.items():
            a, b, c = (int(mesh.faces[face, (edge % 3 + k) % 3]) for k in range(3))
            line = [a, *corners, b]
            faces.append(np.array([(p, q, c) for p, q in pairwise(line)], dtype=np.int32))
        total += len(split)
        mesh = Mesh(mesh.vertices, np.concatenate(faces))
        if len(split) == len(on_edge) and total > MOST_OPEN:
            break
    return mesh, total


def _corners_on_edges(
    mesh: Mesh, topology: Topology, edges: NDArray[np.int64], tolerance: float
) -> dict[int, list[int]]:
    """Corners strictly inside open edges, in the order along each."""
    starts, ends = topology.starts[edges], topology.ends[edges]
    corners = np.unique(np.concatenate([starts, ends]))
    a, b = mesh.vertices[starts], mesh.vertices[ends]
    long = np.linalg.norm(b - a, axis=1)
    tree = cKDTree(mesh.vertices[corners])
    reach = long / 2 * (1 + 1e-6)  # so that its own two ends count whatever the rounding
    near = tree.query_ball_point((a + b) / 2, reach, return_length=True)
    inner = np.flatnonzero(near > 2)
    if near[inner].sum() > 5_000_000:  # long edges in a dense scan: no junction to mend
        return {}
    out: dict[int, list[int]] = {}
    found = tree.query_ball_point((a[inner] + b[inner]) / 2, reach[inner])
    for k, around in zip(inner.tolist(), found, strict=True):
        candidates = corners[np.array(around)]
        along = (b[k] - a[k]) / long[k]
        away = mesh.vertices[candidates] - a[k]
        t = away @ along
        off = np.linalg.norm(away - t[:, None] * along, axis=1)
        on = (off < tolerance) & (t > 2 * tolerance) & (t < long[k] - 2 * tolerance)
        if on.any():
            order = np.argsort(t[on])
            out[int(edges[k])] = candidates[on][order].tolist()
    return out


def close_triangles(topology: Topology) -> tuple[Mesh, int]:
    """Put back triangles that are missing one by one.

    Args:
        topology: of the mesh.

    Returns:
        The mesh, and how many were put back: loops of exactly three open edges that face against their neighbours.
    """
    mesh = topology.mesh
    if not (topology.twin == -1).any():
        return mesh, 0
    border = topology.twin < 0
    loops = border_loops(topology, border)
    three = np.flatnonzero(np.bincount(loops.loop, minlength=max(loops.count, 1)) == 3)
    chosen = np.isin(loops.loop, three) & (topology.twin[loops.edges] == -1)
    order = np.argsort(loops.loop[chosen], kind="stable")
    edges = loops.edges[chosen][order]
    whole = np.bincount(loops.loop[chosen], minlength=max(loops.count, 1)) == 3
    edges = edges[whole[loops.loop[chosen][order]]]
    if not len(edges):
        return mesh, 0
    rows = edges.reshape(-1, 3)
    # A lone triangle's own rim has three edges too: there they all belong to one face.
    rows = rows[~((rows[:, :1] // 3 == rows // 3).all(axis=1))]
    if not len(rows):
        return mesh, 0
    first, second = topology.starts[rows[:, 0]], topology.ends[rows[:, 0]]
    others = topology.starts[rows]
    third = others.sum(axis=1) - first - second
    new = np.stack([second, first, third], axis=1).astype(np.int32)
    p = mesh.vertices[new]
    normal = np.cross(p[:, 1] - p[:, 0], p[:, 2] - p[:, 0])
    beside = topology.normals[rows // 3].sum(axis=1)
    agrees = np.einsum("ij,ij->i", normal, beside) > 0
    new = new[agrees]
    if not len(new):
        return mesh, 0
    return Mesh(mesh.vertices, np.concatenate([mesh.faces, new])), len(new)
