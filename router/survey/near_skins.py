"""How far points lie off skins, and on which side of them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from ribway.router.geometry.meshes import face_normals, nearest_on_triangles, nearest_weights
from ribway.router.shell.parts import Mesh, Points

FEW = 400
NEAREST = 12


class NearSkin:
    """Signed distances to one skin: positive inside of the van.

    Args:
        mesh: the skin [m].
        middle: ``(3,)`` a point inside of the van [m].
    """

    def __init__(self, mesh: Mesh, middle: Points) -> None:
        tri = mesh.vertices[mesh.faces]
        normals = face_normals(tri)
        area = np.linalg.norm(np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0]), axis=1)
        inward = float((area * np.einsum("ij,ij->i", normals, middle - tri.mean(axis=1))).sum())
        self._normals = normals if inward >= 0 else -normals
        self._tri = tri
        self._tree = cKDTree(tri.mean(axis=1)) if len(tri) > FEW else None

    def feet(self, points: Points) -> Points:
        """The nearest point of the skin to each of ``(n, 3)`` points [m]."""
        face = (
            nearest_on_triangles(points, self._tri)[0] if self._tree is None else self._by_tree(self._tree, points)[0]
        )
        tri = self._tri[face]
        return np.asarray(np.einsum("nk,nkd->nd", nearest_weights(points, tri), tri))

    def signed(self, points: Points) -> NDArray[np.float64]:
        """Distances of points to the skin.

        Args:
            points: ``(n, 3)`` [m].

        Returns:
            ``(n,)`` [m], negative behind the skin; beside its edge the sign is that of the nearest face's plane.
        """
        if self._tree is None:
            face, _, gap = nearest_on_triangles(points, self._tri)
        else:
            face, gap = self._by_tree(self._tree, points)
        # Beside the sheet's own edge a point is neither before nor behind it unless it is so by its height.
        height = np.einsum("ij,ij->i", points - self._tri[face, 0], self._normals[face])
        return np.asarray(np.where(height < -1e-9, -gap, gap))

    def _by_tree(self, tree: cKDTree, points: Points) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
        found = tree.query(points, k=NEAREST)[1]
        around = np.asarray(found, dtype=np.int64).reshape(len(points), -1)
        repeated = np.repeat(points, around.shape[1], axis=0)
        tri = self._tri[around.reshape(-1)]
        foot = np.einsum("nk,nkd->nd", nearest_weights(repeated, tri), tri)
        gap = np.linalg.norm(foot - repeated, axis=1).reshape(around.shape)
        best = np.argmin(gap, axis=1)
        rows = np.arange(len(points))
        return around[rows, best], gap[rows, best]
