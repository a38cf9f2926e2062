"""Making a chart of a sheet: unrolled exactly where it does not stretch, else projected onto its mean plane."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.router.geometry.charts import EXACT, Array, Chart
from ribway.router.geometry.meshes import cross, face_normals, triangles

WELD_M = 1e-7


class ChartError(ValueError):
    """A sheet that can't be laid flat without overlapping itself."""


def weld(vertices: Array, faces: NDArray[np.int32], tolerance: float = WELD_M) -> tuple[Array, NDArray[np.int32]]:
    """Join vertices that coincide and drop faces that lose their area by it.

    Args:
        vertices: ``(n, 3)`` [m].
        faces: ``(m, 3)`` indices.
        tolerance: points closer than this are one [m].

    Returns:
        Welded vertices and faces.
    """
    keys = np.round(vertices / tolerance).astype(np.int64)
    _, first, inverse = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    new = inverse.reshape(-1)[faces].astype(np.int32)
    good = (new[:, 0] != new[:, 1]) & (new[:, 1] != new[:, 2]) & (new[:, 2] != new[:, 0])
    return np.asarray(vertices[first], dtype=np.float64), new[good]


def chart_of(vertices: Array, faces: NDArray[np.int32], along: Array, name: str = "skin") -> Chart:
    """Lay a sheet flat.

    Args:
        vertices: ``(n, 3)`` [m].
        faces: ``(m, 3)`` indices, consistently wound.
        along: ``(3,)`` direction in space that shall lie along the plane's first axis on the largest face.
        name: of the sheet, for error texts.

    Returns:
        An exact chart if the sheet unrolls without stretching, else a projection with its stretch.

    Raises:
        ChartError: the sheet has no faces, or overlaps itself both ways.
    """
    vertices, faces = weld(np.asarray(vertices, dtype=np.float64), faces)
    if len(faces) == 0:
        raise ChartError(f"{name}: the sheet has no faces")
    tri = triangles(vertices, faces)
    flat = _unroll(vertices, faces)
    if flat is not None:
        chart = Chart(vertices, faces, _turned(vertices, faces, tri, flat, along), True, 1.0)
        area = float(np.linalg.norm(cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0]), axis=1).sum()) / 2.0
        if abs(float(shapely.area(chart.outline)) - area) <= 1e-6 * area:
            return chart
    return _projected(vertices, faces, tri, along, name)


def _unroll(vertices: Array, faces: NDArray[np.int32]) -> Array | None:
    """Plane coordinates by laying face after face beside its neighbour; None if they do not close without stretching."""
    neighbours: dict[tuple[int, int], list[int]] = {}
    for index, face in enumerate(faces):
        for k in range(3):
            a, b = int(face[k]), int(face[(k + 1) % 3])
            neighbours.setdefault((min(a, b), max(a, b)), []).append(index)
    flat = np.full((len(vertices), 2), np.nan)
    first = faces[0]
    p, q, r = (vertices[i] for i in first)
    flat[first[0]] = (0.0, 0.0)
    flat[first[1]] = (float(np.linalg.norm(q - p)), 0.0)
    flat[first[2]] = _third(flat[first[0]], flat[first[1]], p, q, r)
    done, queue = {0}, [0]
    while queue:
        face = faces[queue.pop(0)]
        for k in range(3):
            a, b = int(face[k]), int(face[(k + 1) % 3])
            for other in neighbours[(min(a, b), max(a, b))]:
                if other in done:
                    continue
                c = next(int(i) for i in faces[other] if int(i) not in (a, b))
                place = _third(flat[b], flat[a], vertices[b], vertices[a], vertices[c])
                if np.isnan(flat[c]).any():
                    flat[c] = place
                done.add(other)
                queue.append(other)
    if len(done) < len(faces) or np.isnan(flat[np.unique(faces)]).any():
        return None
    for i, j in ((0, 1), (1, 2), (2, 0)):
        solid = np.linalg.norm(vertices[faces[:, i]] - vertices[faces[:, j]], axis=1)
        plane = np.linalg.norm(flat[faces[:, i]] - flat[faces[:, j]], axis=1)
        if np.abs(solid - plane).max() > EXACT * max(1.0, float(solid.max())):
            return None
    return flat


def _third(a: Array, b: Array, p: Array, q: Array, r: Array) -> Array:
    """Where the third corner ``r`` of triangle p, q, r falls, left of the plane edge a -> b."""
    pq = q - p
    base = float(np.linalg.norm(pq))
    s = float((r - p) @ pq) / base
    h = float(np.linalg.norm(cross(pq, r - p))) / base
    u = (b - a) / base
    return np.asarray(a + s * u + h * np.array((-u[1], u[0])))


def _turned(vertices: Array, faces: NDArray[np.int32], tri: Array, flat: Array, along: Array) -> Array:
    """The plane turned so that ``along`` on the largest face is its first axis."""
    area = np.linalg.norm(cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0]), axis=1)
    chart = Chart(vertices, faces[[int(np.argmax(area))]], flat, True, 1.0)
    u = chart.direction(chart.flat_corners[0].mean(axis=0), along)
    u = u / max(float(np.hypot(*u)), 1e-300)
    return np.asarray(flat @ np.array(((u[0], -u[1]), (u[1], u[0]))))


def _projected(vertices: Array, faces: NDArray[np.int32], tri: Array, along: Array, name: str) -> Chart:
    normals = cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    mean = normals.sum(axis=0)
    mean /= max(float(np.linalg.norm(mean)), 1e-300)
    facing = face_normals(tri) @ mean
    if facing.min() < 0.17:
        raise ChartError(
            f"{name}: the sheet turns by more than 80 degrees against its mean plane and does not unroll flat; "
            "split it into a wall and a roof part"
        )
    u = along - (along @ mean) * mean
    u /= max(float(np.linalg.norm(u)), 1e-300)
    flat = np.stack([vertices @ u, vertices @ np.cross(mean, u)], axis=1)
    # Projection onto a plane shortens a face by at most its cosine, across the slope.
    return Chart(vertices, faces, flat, False, 1.0 / float(facing.min()))
