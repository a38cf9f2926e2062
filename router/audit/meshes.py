"""The plan's named metal unpacked into triangles, and which segments cross them."""

from __future__ import annotations

import base64
import binascii
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.shell import PlanPart

Array = NDArray[np.float64]
PAIRS_AT_ONCE: Final = 2_000_000
EDGE_PLAY: Final = 1e-9


def triangles_of(part: PlanPart) -> Array | None:
    """Corners of a part's triangles.

    Args:
        part: with little-endian float32 vertices and uint32 faces.

    Returns:
        `(n, 3, 3)` [m], or None if its arrays cannot be read or name vertices that are not there.
    """
    try:
        vertices = np.frombuffer(base64.b64decode(part.vertices_f32, validate=True), dtype="<f4")
        faces = np.frombuffer(base64.b64decode(part.faces_u32, validate=True), dtype="<u4")
        corners = vertices.reshape(-1, 3).astype(np.float64)[faces.reshape(-1, 3).astype(np.int64)]
    except (binascii.Error, ValueError, IndexError):
        return None
    return corners if bool(np.isfinite(corners).all()) else None


def crossings(start: Array, end: Array, triangles: Array) -> tuple[NDArray[np.int64], Array]:
    """Segments that meet triangles: `(h,)` which segment, and `(h, 3)` where [m]; see `meetings`."""
    segment, _, where = meetings(start, end, triangles)
    return segment, where


def meetings(start: Array, end: Array, triangles: Array) -> tuple[NDArray[np.int64], NDArray[np.int64], Array]:
    """Segments that meet triangles, edges and ends included; segments in a triangle's own plane do not count.

    Args:
        start, end: `(s, 3)` [m].
        triangles: `(t, 3, 3)` [m].

    Returns:
        `(h,)` which segment, `(h,)` which triangle, and `(h, 3)` where [m].

    Source: Moeller and Trumbore 1997, Fast, minimum storage ray/triangle intersection; solved here as a 3 x 3 system.
    """
    low, high = np.minimum(start, end), np.maximum(start, end)
    box_low, box_high = triangles.min(axis=1), triangles.max(axis=1)
    inside = ((low <= box_high.max(axis=0)) & (high >= box_low.min(axis=0))).all(axis=1)
    candidates = np.flatnonzero(inside)
    found: list[NDArray[np.int64]] = [np.zeros(0, dtype=np.int64)]
    met: list[NDArray[np.int64]] = [np.zeros(0, dtype=np.int64)]
    places: list[Array] = [np.zeros((0, 3))]
    step = max(1, PAIRS_AT_ONCE // max(1, len(triangles)))
    for begin in range(0, len(candidates), step):
        some = candidates[begin : begin + step]
        segment, triangle = _boxes_meet(low[some], high[some], box_low, box_high)
        segment = some[segment]
        hit, where = _meet(start[segment], end[segment], triangles[triangle])
        found.append(segment[hit])
        met.append(triangle[hit])
        places.append(where[hit])
    return np.concatenate(found), np.concatenate(met), np.concatenate(places)


def _boxes_meet(
    low: Array, high: Array, box_low: Array, box_high: Array
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs whose boxes overlap; each axis is a row of its own, so that the table is made by whole rows."""
    table = np.ones((len(low), len(box_low)), dtype=bool)
    for axis in range(3):
        table &= low[:, axis, None] <= np.ascontiguousarray(box_high[:, axis])
        table &= high[:, axis, None] >= np.ascontiguousarray(box_low[:, axis])
    a, b = np.divmod(np.flatnonzero(table), len(box_low))
    return a, b


def _meet(start: Array, end: Array, triangles: Array) -> tuple[NDArray[np.bool_], Array]:
    """Segment by segment against its own triangle: whether they meet, and where."""
    along = end - start
    side_a, side_b = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    normal = np.cross(side_a, side_b)
    slope = -(along * normal).sum(axis=1)
    scale = np.linalg.norm(along, axis=1) * np.linalg.norm(normal, axis=1)
    crossing = np.abs(slope) > EDGE_PLAY * np.maximum(scale, 1e-30)
    safe = np.where(crossing, slope, 1.0)
    to_start = start - triangles[:, 0]
    t = (to_start * normal).sum(axis=1) / safe
    turned = np.cross(along, to_start)
    u = -(side_b * turned).sum(axis=1) / safe
    v = (side_a * turned).sum(axis=1) / safe
    hit = crossing & (t >= -EDGE_PLAY) & (t <= 1.0 + EDGE_PLAY)
    hit &= (u >= -EDGE_PLAY) & (v >= -EDGE_PLAY) & (u + v <= 1.0 + EDGE_PLAY)
    return hit, start + t[:, None] * along
