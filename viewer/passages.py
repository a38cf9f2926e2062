"""What a bundle passes, as a cross-section: openings, other ways, and the places where wires end."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.shell import PlanOpening, PlanWay
from ribway.viewer.frames import across
from ribway.viewer.pack import Region, rectangle, stadium

Points = NDArray[np.float64]
Corner = tuple[float, float, float]
Corners = tuple[Corner, ...]

DEVICE_REACH_M = 0.02


@dataclass(frozen=True, eq=False)
class Passage:
    """A cross-section that cables pass, with its own axes.

    Args:
        name: the opening's or way's id.
        centre: ``(3,)`` origin of the cross-section [m].
        first: ``(3,)`` unit vector, the cross-section's first axis.
        second: ``(3,)`` unit vector, its second axis.
        line: ``(k, 3)`` the passage from mouth to mouth [m].
        region: where the cables' outsides may be, in the two axes.
    """

    name: str
    centre: Points
    first: Points
    second: Points
    line: Points
    region: Region

    def to_space(self, place: Points) -> Points:
        """A step within the cross-section as a step in space.

        Args:
            place: ``(2,)`` along the two axes [m].

        Returns:
            ``(3,)`` the step [m].
        """
        step: Points = place[0] * self.first + place[1] * self.second
        return step

    def to_plane(self, step: Points) -> Points:
        """A step in space seen along the passage.

        Args:
            step: ``(3,)`` or ``(n, 3)`` steps [m].

        Returns:
            ``(2,)`` or ``(n, 2)`` along the two axes [m].
        """
        axes: Points = np.stack([self.first, self.second], axis=1)
        flat: Points = np.matmul(step, axes)
        return flat


def newell_normal(rim: Points) -> Points:
    """Normal of a polygon in space, as long as twice its area.

    Source: M. E. Newell's method, in I. Sutherland, R. Sproull, R. Schumacker, "A Characterization of Ten
    Hidden-Surface Algorithms", ACM Computing Surveys 6(1), 1974.

    Args:
        rim: ``(n, 3)`` corners in order [m].

    Returns:
        ``(3,)`` the normal [m2].
    """
    normal: Points = np.cross(rim, np.roll(rim, -1, axis=0)).sum(axis=0)
    return normal


def polygon_region(corners: Points, inset_m: float) -> Region | None:
    """What every edge of a polygon can see of it: all of a convex polygon, a safe part of another.

    Args:
        corners: ``(n, 2)`` in order, about the origin [m].
        inset_m: how far the region stays off the edges, for a grommet [m].

    Returns:
        The region, or None if the origin is not inside it.
    """
    edge = np.roll(corners, -1, axis=0) - corners
    length = np.linalg.norm(edge, axis=1)
    corners, edge, length = corners[length > 1e-9], edge[length > 1e-9], length[length > 1e-9]
    if len(corners) < 3:
        return None
    turning = float(np.sum(corners[:, 0] * edge[:, 1] - corners[:, 1] * edge[:, 0]))
    normals = np.stack([edge[:, 1], -edge[:, 0]], axis=1) / length[:, None] * (1.0 if turning > 0 else -1.0)
    reach = np.einsum("ij,ij->i", normals, corners) - inset_m
    return None if reach.min() <= 0.0 else Region(normals, reach)


def opening_passage(opening: PlanOpening) -> Passage:
    """The cross-section of an opening: its rim less the grommet, and its stated clear size.

    Args:
        opening: as the plan has it.

    Returns:
        The passage, about the middle of its rim.
    """
    sizes = (opening.clear_bore_mm, opening.raw_bore_mm, opening.slot_length_mm or 0.0)
    return _opening_passage(opening.id, opening.rim, opening.centre, opening.axis, opening.line, sizes)


@lru_cache(maxsize=2048)
def _opening_passage(
    name: str, rim_of: Corners, centre_of: Corner, axis_of: Corner, line_of: Corners, sizes: tuple[float, float, float]
) -> Passage:
    """Kept, since openings stay what they are while runs through them change; sizes: clear, bare, length of a slot [mm]."""
    clear_mm, raw_mm, slot_mm = sizes
    rim = np.array(rim_of, dtype=np.float64).reshape(-1, 3)
    normal = newell_normal(rim) if len(rim) >= 3 else np.zeros(3)
    centre = np.array(centre_of)
    axis = normal if np.linalg.norm(normal) > 1e-9 else np.array(axis_of)
    first, second = across(axis)
    radius = clear_mm / 2000.0
    half_straight = max(0.0, (slot_mm - clear_mm) / 2000.0)
    corners = np.empty((0, 2))
    along = np.array([1.0, 0.0])
    if len(rim) >= 3:
        flat = (rim - centre) @ np.stack([first, second], axis=1)
        middle = (flat.max(axis=0) + flat.min(axis=0)) / 2.0
        depth = float((rim.mean(axis=0) - centre) @ axis) / float(axis @ axis)
        centre = centre + middle[0] * first + middle[1] * second + depth * axis
        corners = flat - middle
        along = np.linalg.eigh(corners.T @ corners)[1][:, -1]
    region = stadium(radius, half_straight, along)
    if len(corners) >= 3:
        inset = max(0.0, (raw_mm - clear_mm) / 2000.0)
        seen = polygon_region(corners, inset)
        region = region if seen is None else region.shared_with(seen)
    line = np.array(line_of, dtype=np.float64).reshape(-1, 3)
    return Passage(name, centre, first, second, line if len(line) else centre[None], region)


def way_passage(way: PlanWay) -> Passage:
    """The cross-section of a way that is no opening: flat over a member, round in all others.

    Args:
        way: as the plan has it.

    Returns:
        The passage, about the middle of its line.
    """
    line = np.array(way.line, dtype=np.float64).reshape(-1, 3)
    stretch = len(line) // 2
    before, after = line[max(0, stretch - 1)], line[min(stretch, len(line) - 1)]
    centre = (before + after) / 2.0
    axis = after - before if np.linalg.norm(after - before) > 1e-9 else np.array([1.0, 0.0, 0.0])
    if way.kind != "over" or len(line) < 3:
        first, second = across(axis)
        region = stadium(way.clear_bore_mm / 2000.0, 0.0, np.array([1.0, 0.0]))
        return Passage(way.id, centre, first, second, line, region)
    axis = axis / np.linalg.norm(axis)
    off = line[1] - line[0]
    off = off - (off @ axis) * axis
    second = off / np.linalg.norm(off) if np.linalg.norm(off) > 1e-9 else across(axis)[1]
    gap = way.clear_bore_mm / 1000.0
    width = way.area_mm2 / 1e6 / gap if gap > 0.0 else 0.0
    return Passage(way.id, centre, np.cross(second, axis), second, line, rectangle(width / 2.0, gap / 2.0))


def device_passage(name: str, point: Points, direction: Points) -> Passage:
    """The cross-section in which cables end at a device.

    Args:
        name: the device's id.
        point: ``(3,)`` where its wires end [m].
        direction: ``(3,)`` the way they leave it.

    Returns:
        The passage; a small circle.
    """
    return _device_passage(name, point.tobytes(), direction.tobytes())


@lru_cache(maxsize=1024)
def _device_passage(name: str, point_bytes: bytes, direction_bytes: bytes) -> Passage:
    point = np.frombuffer(point_bytes)
    first, second = across(np.frombuffer(direction_bytes))
    return Passage(name, point, first, second, point[None], stadium(DEVICE_REACH_M, 0.0, np.array([1.0, 0.0])))
