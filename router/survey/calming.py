"""Normals of a mesh that wavers, evened out, so that plates are plates again and walls of holes stay walls."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ribway.router.shell.parts import Points
from ribway.router.survey.topology import Topology

ROUNDS = 2
APART = 0.0
"""Cosine between a face's corners below which it joins two sides of a sheet: the wall of a hole, or the sheet's edge."""


def evened(topology: Topology) -> Topology:
    """The mesh with each face's normal taken from its corners, and each corner's from the large faces round it.

    At a corner on a hole's rim the plate's faces are wide and the wall's narrow, so that weighted by area its normal is
    the plate's, however much the rim wavers. A face all of whose corners agree is the plate's; one whose corners look
    apart joins the two sides of a sheet, and keeps what of its own normal lies along the sheet.

    Args:
        topology: a mended mesh whose vertices waver.
    """
    faces = topology.mesh.faces
    weight = topology.areas
    normals = topology.normals
    for _ in range(ROUNDS):
        corner = _corners(topology, normals, weight)
        of = corner[faces]
        least = np.minimum.reduce([np.einsum("ij,ij->i", of[:, a], of[:, b]) for a, b in ((0, 1), (1, 2), (2, 0))])
        joins = least < APART
        mean = of.sum(axis=1)
        normals = np.where(joins[:, None], _along(topology.normals, of), _unit(mean))
        weight = np.where(joins, 0.05 * topology.areas, topology.areas)
    return replace(topology, normals=normals)


def _corners(topology: Topology, normals: Points, weight: Points) -> Points:
    """``(n, 3)`` normal of each vertex."""
    count = len(topology.mesh.vertices)
    spread = (normals * weight[:, None]).repeat(3, axis=0)
    corners = topology.mesh.faces.reshape(-1)
    total = np.stack([np.bincount(corners, weights=column, minlength=count) for column in spread.T], axis=1)
    return _unit(np.asarray(total, dtype=np.float64))


def _along(own: Points, of: Points) -> Points:
    """A wall's normal less what of it looks out of the sheet."""
    first_two = np.einsum("ij,ij->i", of[:, 0], of[:, 1]) < APART
    axis = _unit(of[:, 0] - np.where(first_two[:, None], of[:, 1], of[:, 2]))
    return _unit(own - np.einsum("ij,ij->i", own, axis)[:, None] * axis)


def _unit(vectors: Points) -> Points:
    size = np.linalg.norm(vectors, axis=1, keepdims=True)
    return np.asarray(np.divide(vectors, size, out=np.zeros_like(vectors), where=size > 1e-300))
