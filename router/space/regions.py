"""Regions of a skin in its plane: what members cover, what lies inside a box."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.router.geometry.charts import Chart
from ribway.router.geometry.meshes import face_normals
from ribway.router.shell.parts import Mesh

Array = NDArray[np.float64]

SLIVER_M2 = 5e-6  # the walls of holes in thin sheet; what they cover lies under the sheet's own faces
STANDS_SQUARE = 0.05


def footprint(chart: Chart, mesh: Mesh, reach_m: float, margin_m: float) -> shapely.Geometry:
    """What a solid thing covers of a skin.

    Args:
        chart: the skin.
        mesh: the thing.
        reach_m: faces wholly further than this off the skin do not count [m].
        margin_m: grown by this [m].

    Returns:
        Polygon or multi-polygon in the skin's plane; empty if it covers nothing.
    """
    # Only faces that look away from the sheet are needed to see what a solid covers; leaving out the rest, and those
    # that stand square on it, saves most of the work.
    facing = face_normals(np.asarray(mesh.vertices[mesh.faces], dtype=np.float64)) @ face_normals(chart.corners).T
    faces = mesh.faces[facing.max(axis=1) > STANDS_SQUARE]
    used, index = np.unique(faces, return_inverse=True)
    if len(used) == 0:
        return shapely.Polygon()
    flat, off = chart.flatten(mesh.vertices[used])
    index = index.reshape(faces.shape)
    near = (off[index] <= reach_m).any(axis=1)
    corners = flat[index[near]]
    e1, e2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    wide = np.abs(e1[:, 0] * e2[:, 1] - e1[:, 1] * e2[:, 0]) > 2.0 * SLIVER_M2
    if not wide.any():
        return shapely.Polygon()
    covered = shapely.union_all(shapely.polygons(corners[wide]))
    grown = shapely.buffer(covered, margin_m, join_style="mitre")
    return shapely.simplify(grown, 1e-4)


def inside_box(chart: Chart, low: Array, high: Array) -> shapely.Geometry:
    """The part of a skin that lies in an axis-parallel box.

    Args:
        chart: the skin.
        low, high: ``(3,)`` opposite corners [m]; infinite where the box is open.

    Returns:
        Geometry in the skin's plane, exact for flat faces.
    """
    pieces = []
    for solid, plane in zip(chart.corners, chart.flat_corners, strict=True):
        polygon = [(solid[k], plane[k]) for k in range(3)]
        for axis in range(3):
            for limit, sign in ((float(low[axis]), 1.0), (float(high[axis]), -1.0)):
                if np.isfinite(limit):
                    polygon = _clip(polygon, axis, limit, sign)
        if len(polygon) >= 3:
            pieces.append(shapely.Polygon([plane for _, plane in polygon]))
    return shapely.union_all(pieces) if pieces else shapely.Polygon()


def _clip(polygon: list[tuple[Array, Array]], axis: int, limit: float, sign: float) -> list[tuple[Array, Array]]:
    """One side of a Sutherland-Hodgman clip, carrying plane coordinates along."""
    kept: list[tuple[Array, Array]] = []
    for (p, fp), (q, fq) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        dp, dq = sign * (p[axis] - limit), sign * (q[axis] - limit)
        if dp >= 0.0:
            kept.append((p, fp))
        if (dp > 0.0 > dq) or (dp < 0.0 < dq):
            t = dp / (dp - dq)
            kept.append((p + t * (q - p), fp + t * (fq - fp)))
    return kept


def pieces(region: shapely.Geometry, least_m2: float) -> list[shapely.Polygon]:
    """The polygons of a region, largest pieces only, in a stable order (by centroid)."""
    parts = [part for part in shapely.get_parts(region) if isinstance(part, shapely.Polygon) and part.area >= least_m2]
    return sorted(parts, key=lambda part: (round(part.centroid.x, 4), round(part.centroid.y, 4)))
