"""A sheet of metal laid flat: mesh points to plane coordinates and back.

A sheet that unrolls without stretching (any number of flat strips met at folds) is unrolled exactly: lengths in the plane
are lengths on the metal. Any other sheet is projected onto its mean plane, and the chart states how much longer the metal
can be than the plane (``stretch``), so that a length taken through it carries a sound bound.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.router.geometry.meshes import cross, nearest_on_triangles, triangles

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

EXACT = 1e-6


@dataclass(frozen=True, eq=False)
class Chart:
    """A mesh sheet with plane coordinates.

    Args:
        vertices: ``(n, 3)`` points [m].
        faces: ``(m, 3)`` vertex indices.
        flat: ``(n, 2)`` plane coordinates of the vertices [m].
        exact: the plane is an isometric unrolling of the sheet.
        stretch: greatest ratio of a length on the metal to its length in the plane; 1 for an exact chart.
    """

    vertices: Array
    faces: NDArray[np.int32]
    flat: Array
    exact: bool
    stretch: float

    @cached_property
    def corners(self) -> Array:
        """``(m, 3, 3)`` triangle corners on the metal [m]."""
        return triangles(self.vertices, self.faces)

    @cached_property
    def flat_corners(self) -> Array:
        """``(m, 3, 2)`` triangle corners in the plane [m]."""
        return np.asarray(self.flat[self.faces])

    @cached_property
    def normals(self) -> Array:
        """``(n, 3)`` unit normals at the vertices, faces weighted by area."""
        normals = cross(self.corners[:, 1] - self.corners[:, 0], self.corners[:, 2] - self.corners[:, 0])
        total = np.zeros_like(self.vertices)
        for k in range(3):
            np.add.at(total, self.faces[:, k], normals)
        return np.asarray(total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-300))

    def tilt(self, region: shapely.Geometry) -> float:
        """Sine of the greatest angle between a face that a plane region touches and the normals at its corners."""
        touched = shapely.intersects(shapely.polygons(self.flat_corners), region)
        along = cross(
            self.corners[touched, 1] - self.corners[touched, 0], self.corners[touched, 2] - self.corners[touched, 0]
        )
        along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-300)
        normals = self.normals[self.faces[touched]]
        beside = normals - np.einsum("mkd,md->mk", normals, along)[..., None] * along[:, None]
        return float(np.linalg.norm(beside, axis=2).max(initial=0.0))

    @cached_property
    def outline(self) -> shapely.Geometry:
        """The sheet in the plane, its cut-outs as holes."""
        return shapely.union_all(shapely.polygons(self.flat_corners), grid_size=0.0)

    @cached_property
    def _edges(self) -> tuple[Array, Array]:
        pairs = np.sort(np.vstack([self.faces[:, (0, 1)], self.faces[:, (1, 2)], self.faces[:, (2, 0)]]), axis=1)
        pairs = np.unique(pairs, axis=0)
        return self.flat[pairs[:, 0]], self.flat[pairs[:, 1]]

    def flatten(self, points: Array) -> tuple[Array, Array]:
        """Plane coordinates of the sheet points nearest to ``points``.

        Args:
            points: ``(n, 3)`` [m].

        Returns:
            ``(n, 2)`` plane coordinates [m] and ``(n,)`` distances off the sheet [m].
        """
        flat, distance, _ = self.flatten_on(points)
        return flat, distance

    def flatten_on(self, points: Array) -> tuple[Array, Array, Ints]:
        """As `flatten`, and the ``(n,)`` faces that the points are nearest to."""
        face, weights, distance = nearest_on_triangles(np.atleast_2d(points), self.corners)
        return np.einsum("nk,nkd->nd", weights, self.flat_corners[face]), distance, face

    def locate(self, flat_points: Array) -> tuple[Ints, Array]:
        """Face and barycentric weights of plane points; a point off the sheet takes the nearest face.

        Args:
            flat_points: ``(n, 2)`` [m].

        Returns:
            Face index ``(n,)`` and weights ``(n, 3)`` (clipped into the face).
        """
        homogeneous = np.column_stack([flat_points, np.ones(len(flat_points))])
        bary = np.einsum("mij,nj->nmi", self._barycentric, homogeneous)
        inner = bary.min(axis=2)
        best = np.argmax(inner, axis=1)
        rows = np.arange(len(flat_points))
        if (inner[rows, best] >= -EXACT).all():
            weights = np.clip(bary[rows, best], 0.0, 1.0)
            return best, weights / weights.sum(axis=1, keepdims=True)
        return self._nearest_in_plane(flat_points)

    @cached_property
    def _barycentric(self) -> Array:
        """``(m, 3, 3)`` what turns ``(x, y, 1)`` into barycentric weights; a face without area holds no point."""
        corners = np.concatenate([self.flat_corners, np.ones((len(self.faces), 3, 1))], axis=2).transpose(0, 2, 1)
        sound = np.abs(np.linalg.det(corners)) > 1e-15
        out = np.full(corners.shape, -1.0)
        out[sound] = np.linalg.inv(corners[sound])
        return out

    def _nearest_in_plane(self, flat_points: Array) -> tuple[Ints, Array]:
        flat3 = np.zeros((len(self.faces), 3, 3))
        flat3[:, :, :2] = self.flat_corners
        points3 = np.zeros((len(flat_points), 3))
        points3[:, :2] = flat_points
        face, weights, _ = nearest_on_triangles(points3, flat3)
        return face, weights

    def lift(self, line: Array, depth: float) -> Array:
        """A plane polyline laid back on the metal, ``depth`` off it on the normals' side.

        Args:
            line: ``(k, 2)`` plane polyline [m].
            depth: distance off the metal [m].

        Returns:
            ``(n, 3)`` polyline with a point wherever the line crosses an edge of the mesh.
        """
        dense = self._split_at_edges(np.asarray(line, dtype=np.float64))
        face, weights = self.locate(dense)
        on = np.einsum("nk,nkd->nd", weights, self.corners[face])
        normal = np.einsum("nk,nkd->nd", weights, self.normals[self.faces[face]])
        normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-300)
        return np.asarray(on + depth * normal)

    def direction(self, flat_point: Array, vector: Array) -> Array:
        """A direction in space as it appears in the plane at a point.

        Args:
            flat_point: ``(2,)`` [m].
            vector: ``(3,)`` direction.

        Returns:
            ``(2,)``: the component along the sheet, in plane coordinates.
        """
        face, _ = self.locate(flat_point[None])
        return np.asarray(self.jacobians[int(face[0])] @ vector)

    @cached_property
    def jacobians(self) -> Array:
        """``(m, 2, 3)`` what turns a direction in space into its component along each face, in plane coordinates."""
        solid = np.stack([self.corners[:, 1] - self.corners[:, 0], self.corners[:, 2] - self.corners[:, 0]], axis=2)
        plane = np.stack(
            [self.flat_corners[:, 1] - self.flat_corners[:, 0], self.flat_corners[:, 2] - self.flat_corners[:, 0]],
            axis=2,
        )
        return np.asarray(plane @ np.linalg.pinv(solid))

    def _split_at_edges(self, line: Array) -> Array:
        e0, e1 = self._edges
        de, start, d = e1 - e0, line[:-1], line[1:] - line[:-1]
        length = np.hypot(d[:, 0], d[:, 1])[:, None]
        # One row a straight of the line, one column an edge of the mesh.
        det = d[:, :1] * de[:, 1] - d[:, 1:] * de[:, 0]
        x, y = e0[:, 0] - start[:, :1], e0[:, 1] - start[:, 1:]
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (x * de[:, 1] - y * de[:, 0]) / det
            s = (x * d[:, 1:] - y * d[:, :1]) / det
            ok = (np.abs(det) > 1e-15) & (s >= -1e-9) & (s <= 1.0 + 1e-9) & (t * length > 1e-6)
            ok &= (1.0 - t) * length > 1e-6
        # Where each straight begins counts as a cut at 0.
        row, edge = np.nonzero(ok)
        cuts = np.concatenate((np.round(t[row, edge], 9), np.zeros(len(start))))
        row = np.concatenate((row, np.arange(len(start))))
        order = np.lexsort((cuts, row))
        row, cuts = row[order], cuts[order]
        fresh = np.ones(len(row), dtype=bool)
        fresh[1:] = (row[1:] != row[:-1]) | (cuts[1:] != cuts[:-1])
        row, cuts = row[fresh], cuts[fresh]
        return np.concatenate((start[row] + cuts[:, None] * d[row], line[-1:]))
