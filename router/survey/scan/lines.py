"""A levelled scan as the lines of a tape, each with how far it may be off."""

from __future__ import annotations

import warnings
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.parts import Mesh
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.scan.atlas import CELL_M, Atlas, Gap, Ridge, gaps, ridges
from ribway.router.survey.scan.levelling import Level
from ribway.router.survey.scan.section import Wall, read_roof, read_wall

Array = NDArray[np.float64]
ARCH_M = 0.12
ARCH_ROWS_M = (0.10, 0.30)
LEAST_ARCH_M = 0.4
RIB_ROWS_M = (0.45, 0.90)
RIB_ROWS_HIGH_M = (0.12, 0.40)
FRONT_M = 0.10
"""What stands nearer to the front is the pillar or the roof header, no rib or bow."""
DOOR_M = (0.45, 1.0)


@dataclass(frozen=True)
class ScanArch:
    """A wheel arch: front edge, length, height, and width from the wall [m]."""

    front_m: float
    length_m: float
    height_m: float
    width_m: float


@dataclass(frozen=True)
class ScanLines:
    """A van off a scan, in the words of a tape; heights from the bare floor, distances back from the datum.

    Args:
        length_m: to the rear sill [m].
        floor_width_m, waist_width_m, roof_edge_width_m: at the datum [m].
        waist_height_m, roof_edge_height_m, centre_height_m: from the floor [m].
        rear_waist_width_m: at the rear end [m].
        ribs_left, ribs_right, bows: centres [m].
        rib_depth_m, rib_width_m: of the usual rib [m].
        door: side and gap of the side door; None if none stands open.
        windows: side and gap of each window.
        arch: of both sides; None if there is none.
        has_bulkhead: whether metal closes the front.
        unlike_m: how far the two walls differ, half the widths of one from the other's [m].
    """

    length_m: float
    floor_width_m: float
    waist_width_m: float
    waist_height_m: float
    roof_edge_width_m: float
    roof_edge_height_m: float
    centre_height_m: float
    rear_waist_width_m: float
    ribs_left: tuple[float, ...]
    ribs_right: tuple[float, ...]
    bows: tuple[float, ...]
    rib_depth_m: float
    rib_width_m: float
    door: tuple[str, Gap] | None
    windows: tuple[tuple[str, Gap], ...]
    arch: ScanArch | None
    has_bulkhead: bool
    unlike_m: float


def read_lines(mesh: Mesh, level: Level) -> ScanLines:
    """Read a levelled scan.

    Args:
        mesh: levelled: floor at z = 0, front at x = 0 [m].
        level: for the taper and the front.

    Raises:
        SurveyError: walls, roof or ribs were not seen.
    """
    points = _dense(mesh)
    length = _length(points)
    taper = level.taper
    walls = {side: read_wall(points, sign, length, taper) for side, sign in (("left", 1.0), ("right", -1.0))}
    centre, roof = read_roof(points, length)
    doors, windows = _wall_gaps(walls, length)
    found = {side: _ribs(wall, [gap for name, gap in doors if name == side]) for side, wall in walls.items()}
    every = [ridge for ribs in found.values() for ridge in ribs]
    if not every:
        raise SurveyError("no ribs were seen on either wall: give ribs_left and ribs_right by tape")
    bows = [one for one in ridges(roof.along, centre - _middle_of(roof.depth)) if one.middle_m > FRONT_M]
    edges = {side: wall.edge for side, wall in walls.items()}
    waist = float(np.mean([wall.waist_m for wall in walls.values()]))
    at_waist = [float(wall.at(np.array([waist - 1e-9]))[0]) for wall in walls.values()]
    floor = [wall.lower[0] for wall in walls.values()]
    return ScanLines(
        length,
        sum(floor),
        sum(at_waist),
        waist,
        sum(edge[0] for edge in edges.values()),
        float(np.mean([edge[1] for edge in edges.values()])),
        centre,
        sum(at_waist) - 2 * taper * length,
        tuple(ridge.middle_m for ridge in found["left"]),
        tuple(ridge.middle_m for ridge in found["right"]),
        tuple(ridge.middle_m for ridge in bows),
        float(np.median([ridge.height_m for ridge in every])),
        float(np.median([ridge.width_m for ridge in every])),
        doors[0] if doors else None,
        tuple(windows),
        _arch(walls, points, taper),
        level.has_bulkhead,
        max(abs(at_waist[0] - at_waist[1]), abs(floor[0] - floor[1])) / 2,
    )


def _dense(mesh: Mesh) -> Array:
    """The corners and the middles of all faces."""
    return np.concatenate([mesh.vertices, mesh.vertices[mesh.faces].mean(axis=1)])


def _length(points: Array) -> float:
    """How far back the floor reaches."""
    floor = points[(np.abs(points[:, 2]) < 0.03) & (np.abs(points[:, 1]) < 0.5)]
    if len(floor) < 100:
        raise SurveyError("the floor was hardly seen: scan it again, or give the van's length by tape")
    count, edges = np.histogram(-floor[:, 0], bins=np.arange(0.0, 8.0, 0.01))
    usual = float(np.median(count[count > 0]))
    last = int(np.flatnonzero(count > usual / 3)[-1])
    inside = -floor[(-floor[:, 0] < edges[last + 1] + 0.01), 0]
    return float(np.quantile(inside, 0.9995))


def _middle_of(depth: Array) -> Array:
    """Median of each column; NaN of one in which nothing was seen."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # columns of nothing are expected
        return np.asarray(np.nanmedian(depth, axis=0))


def _ribs(wall: Wall, doors: list[Gap]) -> list[Ridge]:
    """Ribs of one wall, seen between arch and waist and above it; those in a door are none."""
    rows = wall.atlas.rows
    stands = wall.at(rows)[:, None] - wall.atlas.depth
    low = (rows > RIB_ROWS_M[0]) & (rows < RIB_ROWS_M[1])
    high = (rows > wall.waist_m + RIB_ROWS_HIGH_M[0]) & (rows < wall.waist_m + RIB_ROWS_HIGH_M[1])
    found = ridges(wall.atlas.along, _middle_of(stands[low | high]))
    behind = [ridge for ridge in found if ridge.middle_m > FRONT_M]
    return [ridge for ridge in behind if not any(gap.front_m < ridge.middle_m < gap.rear_m for gap in doors)]


def _wall_gaps(walls: dict[str, Wall], length_m: float) -> tuple[list[tuple[str, Gap]], list[tuple[str, Gap]]]:
    """Doors and windows: gaps below the roof edge; a door is high and comes down to the floor."""
    doors, windows = [], []
    for side, wall in walls.items():
        rows = wall.atlas.rows < wall.rail_m
        atlas = Atlas(wall.atlas.along, wall.atlas.rows[rows], wall.atlas.depth[rows])
        for gap in gaps(atlas):
            if gap.rear_m > length_m - 2 * CELL_M:
                continue
            wide, high = gap.rear_m - gap.front_m, gap.top_m - gap.bottom_m
            if gap.bottom_m < 0.25 and wide > DOOR_M[0] and high > DOOR_M[1]:
                doors.append((side, gap))
            elif gap.bottom_m > 0.4:
                windows.append((side, gap))
    doors.sort(key=lambda one: one[1].front_m - one[1].rear_m)
    return doors, windows


def _arch(walls: dict[str, Wall], points: Array, taper: float) -> ScanArch | None:
    """The wheel arch, the mean of both sides: where something broad stands on floor and wall."""
    found = []
    for side, wall in walls.items():
        sign = 1.0 if side == "left" else -1.0
        rows = (wall.atlas.rows > ARCH_ROWS_M[0]) & (wall.atlas.rows < ARCH_ROWS_M[1])
        stands = wall.at(wall.atlas.rows)[:, None] - wall.atlas.depth
        low = ridges(wall.atlas.along, _middle_of(stands[rows][: max(3, int(rows.sum()) // 3)]), ARCH_M, 2.5)
        low = [one for one in low if one.width_m > LEAST_ARCH_M]
        if not low:
            continue
        arch = max(low, key=lambda one: one.width_m)
        front, rear = arch.middle_m - arch.width_m / 2, arch.middle_m + arch.width_m / 2
        back = -points[:, 0]
        core = (back > front + 0.3 * arch.width_m) & (back < rear - 0.3 * arch.width_m)
        inward = float(wall.lower[0]) - taper * back - sign * points[:, 1]
        face = core & (points[:, 2] > 0.05) & (points[:, 2] < 0.22) & (inward > ARCH_M) & (inward < 0.6)
        if face.sum() < 20:
            continue
        width = float(np.median(inward[face]))
        top = core & (points[:, 2] > 0.15) & (points[:, 2] < 0.7) & (inward > 0.08) & (inward < 0.85 * width)
        if top.sum() < 20:
            continue
        heights = np.histogram(points[top, 2], bins=np.arange(0.15, 0.71, 0.01))
        level = float(heights[1][int(np.argmax(heights[0]))]) + 0.005
        near = points[top & (np.abs(points[:, 2] - level) < 0.03), 2]
        found.append((front, rear - front, float(np.median(near)), width))
    if not found:
        return None
    front, long, high, wide = (float(value) for value in np.mean(np.array(found), axis=0))
    return ScanArch(front, long, high, wide)
