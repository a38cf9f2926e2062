"""The bare section of a van off a scan: where the wall turns in at the waist, where the roof begins, how high it is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.dimensions import EDGE_LEG_M
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.scan.atlas import Atlas, atlas_of, outer

Array = NDArray[np.float64]
LOW_M = 0.14
WAIST_M = (0.5, 1.45)
STEP_M = 0.005
UPPER_M = 0.5
CAP_M = 0.008
RAIL_M = 0.025
TOP_M = 2.4
MIDDLE_M = 0.25


@dataclass(frozen=True, eq=False)
class Wall:
    """One wall's bare section: two straight lines that meet at the waist, at the datum.

    Args:
        atlas: depth over distance back and height.
        profile: ``(m,)`` usual outermost depth of each row, brought to the datum [m].
        waist_m: height at which they meet [m].
        lower, upper: depth at height 0 and its slope, below and above the waist [m], [m/m].
        rail_m: height at which the roof-edge rail begins [m].
    """

    atlas: Atlas
    profile: Array
    waist_m: float
    lower: tuple[float, float]
    upper: tuple[float, float]
    rail_m: float

    def at(self, height_m: Array) -> Array:
        """Depth of the bare wall at heights, at the datum [m]."""
        low = self.lower[0] + self.lower[1] * height_m
        high = self.upper[0] + self.upper[1] * height_m
        return np.asarray(np.where(height_m < self.waist_m, low, high))

    @property
    def edge(self) -> tuple[float, float]:
        """Half width and height of the roof edge [m]: the middle of the rail that lies over it.

        The rail's leg on the wall is taken as ``EDGE_LEG_M`` wide, as on the presets.
        """
        rise = EDGE_LEG_M / float(np.hypot(1.0, self.upper[1]))
        # The rail's face is square to the leaning wall: on the skin it begins a little higher than half way up its depth.
        height = self.rail_m + RAIL_M * abs(self.upper[1]) + rise
        return self.upper[0] + self.upper[1] * height, height


def read_wall(points: Array, side: float, length_m: float, taper: float) -> Wall:
    """Read one wall of a levelled scan.

    Args:
        points: ``(n, 3)`` levelled [m].
        side: 1 for the left, -1 for the right.
        length_m: how far back the van goes [m].
        taper: half width lost per metre towards the rear.

    Raises:
        SurveyError: too little of the wall was seen.
    """
    mine = points[side * points[:, 1] > 0.3]
    back = -mine[:, 0]
    straight = side * mine[:, 1] + taper * back
    atlas = atlas_of(back, mine[:, 2], straight, length_m, (0.0, TOP_M))
    profile = np.array([outer(row) for row in atlas.depth])
    known = np.isfinite(profile) & (atlas.rows > LOW_M)
    name = "left" if side > 0 else "right"
    if known.sum() < 30:
        raise SurveyError(f"the {name} wall was hardly seen: scan it again, or give its lines by tape")
    waist, lower, upper = _two_lines(atlas.rows[known], profile[known])
    rail = _rail_below(atlas.rows, profile, upper, waist, name)
    return Wall(atlas, profile, waist, lower, upper, rail)


Line = tuple[float, float]


def _two_lines(height: Array, depth: Array) -> tuple[float, Line, Line]:
    """The broken line that most rows lie on: hinge, lower and upper line."""
    best: tuple[float, float, Array] = (np.inf, 0.0, np.zeros(3))
    for hinge in np.arange(WAIST_M[0], WAIST_M[1], STEP_M):
        columns = np.stack([np.ones_like(height), height, np.maximum(height - hinge, 0.0)], axis=1)
        near = height < hinge + UPPER_M
        keep = near.copy()
        found = np.zeros(3)
        for within in (0.05, 0.02, 0.01, 0.006):
            if keep.sum() < 12:
                break
            found = np.linalg.lstsq(columns[keep], depth[keep], rcond=None)[0]
            keep = near & (np.abs(depth - columns @ found) < within)
        # What stands off counts the same however far: rails are no part of the wall.
        cost = float(np.minimum(np.abs(depth - columns @ found), CAP_M)[near].sum() + CAP_M * (~near).sum())
        if cost < best[0]:
            best = (cost, float(hinge), found)
    _, hinge, (a, b, c) = best
    return hinge, (float(a), float(b)), (float(a - c * hinge), float(b + c))


def _rail_below(rows: Array, profile: Array, upper: Line, waist_m: float, name: str) -> float:
    """Height at which the profile leaves the upper wall for good and stands in: the roof-edge rail's lower face."""
    stands = upper[0] + upper[1] * rows - profile
    above = np.flatnonzero((rows > waist_m + 0.15) & np.isfinite(stands))
    for k in above:
        after = stands[k : k + 3]
        if (after[np.isfinite(after)] > RAIL_M).all() and np.isfinite(after).sum() >= 2:
            before = float(stands[k - 1]) if np.isfinite(stands[k - 1]) else 0.0
            share = (RAIL_M - before) / max(float(stands[k]) - before, 1e-9)
            return float(rows[k] - (rows[1] - rows[0]) * (1 - min(max(share, 0.0), 1.0)))
    raise SurveyError(f"no roof-edge rail was seen on the {name} wall: give roof_edge_height by tape")


def read_roof(points: Array, length_m: float) -> tuple[float, Atlas]:
    """Height of the bare roof over the middle, and the atlas of its middle strip.

    Args:
        points: levelled [m].
        length_m: how far back the van goes [m].
    """
    strip = points[(np.abs(points[:, 1]) < MIDDLE_M) & (points[:, 2] > 1.0)]
    atlas = atlas_of(-strip[:, 0], strip[:, 1], strip[:, 2], length_m, (-MIDDLE_M, MIDDLE_M))
    height = outer(atlas.depth.reshape(-1))
    if not np.isfinite(height):
        raise SurveyError("the roof was hardly seen: scan it again, or give centre_height by tape")
    return height, atlas
