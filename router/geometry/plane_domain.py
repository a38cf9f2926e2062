"""A plane domain: one polygon with holes, and what can be seen inside it.

All tests are made against the polygon grown by `TOLERANCE`, so that a segment which touches the boundary or runs
along it lies well inside and no test meets a degenerate case; the price is a corner that may be cut by 1e-7 m.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

__all__ = ["TOLERANCE", "PlaneDomain", "slices"]

TOLERANCE = 1e-7
"""How far a segment may leave the polygon and still count as inside [m]."""

_FLAT = 1e-10
"""A vertex nearer than this to the line through its neighbours is no corner [m]."""

_BLOCK = 1_000_000
"""Most segment-and-edge pairs that are held in memory at once."""


def slices(rows: int, columns: int) -> Iterator[slice]:
    """Cut `rows` into pieces so that rows times columns of a piece stays small enough to hold in memory.

    Args:
        rows: number of rows to cut.
        columns: width of each row.

    Returns:
        Slices that cover 0..rows in order.
    """
    step = max(1, _BLOCK // max(1, columns))
    return (slice(start, min(rows, start + step)) for start in range(0, rows, step))


@dataclass(frozen=True)
class PlaneDomain:
    """A closed region of the plane in which paths are looked for.

    Args:
        polygon: shapely polygon, with or without holes, coordinates in [m].

    Raises:
        ValueError: the polygon is empty, has no area or crosses itself.
    """

    polygon: Polygon

    def __post_init__(self) -> None:
        """Refuse what is not one proper polygon."""
        if not isinstance(self.polygon, Polygon):
            raise ValueError(f"plane domain: expected one polygon, found {type(self.polygon).__name__}; split it first")
        if not self.polygon.is_valid:
            reason = shapely.is_valid_reason(self.polygon)
            raise ValueError(f"plane domain: the polygon is not valid ({reason}); repair it with shapely.make_valid")
        if self.polygon.is_empty or not self.polygon.area > 0.0:
            raise ValueError(
                "plane domain: the polygon is empty or has no area; give at least three points not in line"
            )

    @cached_property
    def corners(self) -> Array:
        """`(m, 2)` corners round which a taut path may bend: vertices with more than 180 deg of domain [m]."""
        found = [
            _reflex(np.asarray(ring.coords, dtype=np.float64)[:-1, :2])
            for polygon in [shapely.orient_polygons(self.polygon)]
            for ring in [polygon.exterior, *polygon.interiors]
        ]
        return np.unique(np.concatenate(found), axis=0)

    @property
    def free(self) -> bool:
        """Whether the domain is convex, so that every two of its points see each other."""
        return len(self.corners) == 0

    @cached_property
    def grown(self) -> Polygon:
        """The polygon grown by `TOLERANCE`, prepared for point and line tests."""
        grown = self.polygon.buffer(TOLERANCE, join_style="mitre", mitre_limit=5.0)
        if not isinstance(grown, Polygon):
            raise ValueError("plane domain: the polygon falls apart when grown by 1e-7 m; check it for stray slivers")
        shapely.prepare(grown)
        return grown

    @cached_property
    def edges(self) -> Array:
        """`(e, 4)` edges of the grown polygon: x, y of the start, x, y of the end [m]."""
        rings = [np.asarray(r.coords, dtype=np.float64)[:, :2] for r in [self.grown.exterior, *self.grown.interiors]]
        return np.concatenate([np.hstack([ring[:-1], ring[1:]]) for ring in rings])

    @cached_property
    def boundary(self) -> BaseGeometry:
        """All rings of the polygon as lines, prepared for distances."""
        boundary = self.polygon.boundary
        shapely.prepare(boundary)
        return boundary

    def clearance(self, points: Array) -> Array:
        """Distance of points from the boundary of the polygon.

        Args:
            points: `(n, 2)` points [m].

        Returns:
            `(n,)` distances, rounded to 1e-9 [m].
        """
        distance = shapely.distance(self.boundary, shapely.points(points))
        rounded: Array = np.round(np.asarray(distance, dtype=np.float64), 9).astype(np.float64)
        return rounded

    def contains(self, points: Array) -> BoolArray:
        """Whether points lie in the domain or within `TOLERANCE` of it.

        Args:
            points: `(n, 2)` points [m].

        Returns:
            `(n,)` true where the point is inside.
        """
        inside: BoolArray = shapely.contains_xy(self.grown, points[:, 0], points[:, 1])
        return inside

    def pulled_inside(self, points: Array) -> Array:
        """Points moved to the nearest place of the domain; those inside stay as they are.

        Args:
            points: `(n, 2)` points [m].

        Returns:
            `(n, 2)` points in the closed domain [m]; how far each moved is for the caller to judge.
        """
        moved = np.array(points, dtype=np.float64)
        outside = np.flatnonzero(~self.contains(moved))
        if len(outside):
            lines = shapely.shortest_line(self.polygon, shapely.points(moved[outside]))
            moved[outside] = shapely.get_coordinates(lines).reshape(-1, 2, 2)[:, 0]
        return moved

    def visible(self, start: Array, end: Array) -> BoolArray:
        """Whether straight segments stay in the domain; touching or following the boundary is allowed.

        Args:
            start: `(k, 2)` starts of the segments [m].
            end: `(k, 2)` ends of the segments [m].

        Returns:
            `(k,)` true where the segment is nowhere more than `TOLERANCE` outside.
        """
        seen = self.contains(start) & self.contains(end)
        if not self.free:
            for part in slices(len(start), len(self.edges)):
                seen[part] &= ~self._crossed(start[part], end[part])
        return seen

    def _crossed(self, start: Array, end: Array) -> BoolArray:
        """Whether segments between points inside the grown polygon cross its boundary, `(k,)`."""
        x0, y0, x1, y1 = self.edges.T
        px, py = start[:, :1], start[:, 1:]
        qx, qy = end[:, :1], end[:, 1:]
        edge_x, edge_y = x1 - x0, y1 - y0
        straddles = (edge_x * (py - y0) > edge_y * (px - x0)) != (edge_x * (qy - y0) > edge_y * (qx - x0))
        line_x, line_y = qx - px, qy - py
        offset = line_x * py - line_y * px
        straddles &= (line_x * y0 - line_y * x0 > offset) != (line_x * y1 - line_y * x1 > offset)
        crossed: BoolArray = straddles.any(axis=1)
        return crossed


def _reflex(ring: Array) -> Array:
    """Vertices `(m, 2)` of an open ring, domain on its left, where the domain takes more than 180 deg."""
    before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
    into, out, chord = ring - before, after - ring, after - before
    cross = into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0]
    return ring[cross < -_FLAT * np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-9)]
