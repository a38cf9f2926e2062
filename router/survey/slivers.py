"""Slivers: triangles so thin that their own normal means nothing; they take that of the plate they lie in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ribway.router.survey.topology import Topology

THIN = 0.03
"""Height by longest edge below which a triangle is a sliver."""
ALIKE_RAD = np.radians(8.0)
ROUNDS = 3


def calmed(topology: Topology) -> Topology:
    """The mesh with the normals of slivers that lie between two faces of one plate turned into that plate's.

    Thinning a mesh out leaves slivers in its plates, tilted at will: a rim that meets one would run on along it to the
    next hole. A hole's own wall is thin too, but it lies between a plate and more of the wall, and keeps its normal.

    Args:
        topology: a mended mesh.
    """
    tri = topology.mesh.vertices[topology.mesh.faces]
    edges = np.linalg.norm(np.roll(tri, -1, axis=1) - tri, axis=2)
    longest = edges.max(axis=1)
    thin = np.flatnonzero((2 * topology.areas < THIN * longest**2) & (longest > 0))
    if not len(thin):
        return topology
    # Across its two longer edges lies what it lies in.
    order = np.argsort(-edges[thin], axis=1)[:, :2]
    over = topology.twin[3 * thin[:, None] + order]
    whole = (over >= 0).all(axis=1) & ~topology.turned[3 * thin[:, None] + order].any(axis=1)
    thin, over = thin[whole], over[whole] // 3
    normals = topology.normals.copy()
    for _ in range(ROUNDS):
        a, b = normals[over[:, 0]], normals[over[:, 1]]
        alike = np.einsum("ij,ij->i", a, b) > np.cos(ALIKE_RAD)
        larger = np.where((topology.areas[over[:, 0]] > topology.areas[over[:, 1]])[:, None], a, b)
        normals[thin[alike]] = larger[alike]
    return replace(topology, normals=normals)
