"""The cross-section as one polyline of flat strips, and how the taper shears it.

The taper moves each point sideways in proportion to its distance back, and inside the flat middle of the roof in
proportion to its distance from the centreline as well. Every strip stays flat and all fold lines of one side stay
parallel, so the whole inside unrolls without stretch.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from shapely import Polygon

from ribway.router.shell.dimensions import CENTRE_FRACTION, CROWN_FACETS, FIRST_FACET_M
from ribway.router.shell.parts import Points

if TYPE_CHECKING:
    from ribway.router.shell.parameters import ShellParameters


@dataclass(frozen=True, eq=False)
class Profile:
    """The section from the floor's centre up the left wall, over the roof and down the right wall, back to the floor.

    Args:
        corners: ``(n, 2)`` of (y, z) [m]; 0 floor centre, 1 left floor edge, 2 left waist, 3 left roof edge.
        taper: half width lost per metre towards the rear.
        flat_m: half width of the roof's flat middle [m].
    """

    corners: Points
    taper: float
    flat_m: float

    @cached_property
    def girth(self) -> Points:
        """``(n,)`` distance along the section of each corner [m]."""
        steps = np.linalg.norm(np.diff(self.corners, axis=0), axis=1)
        return np.concatenate([[0.0], np.cumsum(steps)])

    @cached_property
    def normals(self) -> Points:
        """``(n - 1, 2)`` unit normals of the strips, looking into the van."""
        along = np.diff(self.corners, axis=0)
        along = along / np.linalg.norm(along, axis=1)[:, None]
        return np.stack([-along[:, 1], along[:, 0]], axis=1)

    def corner_index(self, place: str, side: str) -> int:
        """Index of a named corner.

        Args:
            place: ``floor``, ``waist`` or ``edge``.
            side: ``left`` or ``right``.

        Returns:
            Index into ``corners``.
        """
        left = {"floor": 1, "waist": 2, "edge": 3}[place]
        return left if side == "left" else len(self.corners) - 1 - left

    def strip_at(self, s: float) -> int:
        """Index of the strip that holds girth ``s`` [m]."""
        return int(np.clip(np.searchsorted(self.girth, s, side="right") - 1, 0, len(self.normals) - 1))

    def at(self, s: float, off_m: float = 0.0) -> Points:
        """A point of the section plane.

        Args:
            s: girth [m].
            off_m: distance off the skin into the van [m].

        Returns:
            ``(2,)`` of (y, z) [m], before the taper.
        """
        k = self.strip_at(s)
        share = (s - self.girth[k]) / (self.girth[k + 1] - self.girth[k])
        on_skin = self.corners[k] + share * (self.corners[k + 1] - self.corners[k])
        return np.asarray(on_skin + off_m * self.normals[k], dtype=np.float64)

    def mitre(self, corner: int, off_m: float) -> Points:
        """Where the two strips at a corner, both moved in by ``off_m`` [m], meet: ``(2,)`` of (y, z) [m]."""
        before, after = self.normals[corner - 1], self.normals[corner]
        return np.asarray(
            self.corners[corner] + off_m * (before + after) / (1.0 + float(before @ after)), dtype=np.float64
        )

    def band(self, s_from: float, s_to: float, off_from: float, off_to: float) -> Polygon:
        """The region between two girths and two distances off the skin, ends square to the skin.

        Args:
            s_from, s_to: girths, rising [m].
            off_from, off_to: distances off the skin, rising [m].

        Returns:
            Polygon in (y, z) [m].
        """
        inner = [i for i in range(1, len(self.corners) - 1) if s_from + 1e-9 < self.girth[i] < s_to - 1e-9]
        first, last = self.strip_at(s_from + 1e-9), self.strip_at(s_to - 1e-9)

        def edge(off: float) -> list[Points]:
            start = self._on_strip(first, s_from) + off * self.normals[first]
            end = self._on_strip(last, s_to) + off * self.normals[last]
            return [start, *(self.mitre(i, off) for i in inner), end]

        return Polygon([*edge(off_from), *reversed(edge(off_to))])

    def _on_strip(self, k: int, s: float) -> Points:
        share = (s - self.girth[k]) / (self.girth[k + 1] - self.girth[k])
        return np.asarray(self.corners[k] + share * (self.corners[k + 1] - self.corners[k]), dtype=np.float64)

    def at_height(self, z_m: float, side: str) -> float:
        """Girth of the wall point at height ``z_m`` [m] on the ``left`` or ``right`` wall [m]."""
        heights, girths = self.corners[1:4, 1], self.girth[1:4]
        s = float(np.interp(z_m, heights, girths))
        return s if side == "left" else float(self.girth[-1]) - s

    def at_across(self, y_m: float) -> float:
        """Girth of the roof point ``y_m`` [m] to the left of the centreline, at the datum [m]."""
        first, last = self.corner_index("edge", "left"), self.corner_index("edge", "right")
        across, girths = self.corners[first : last + 1, 0], self.girth[first : last + 1]
        return float(np.interp(-y_m, -across, girths))

    def shear(self, points: Points) -> Points:
        """Apply the taper.

        Args:
            points: ``(n, 3)`` [m].

        Returns:
            ``(n, 3)`` [m].
        """
        moved = np.array(points, dtype=np.float64)
        moved[:, 1] += self.taper * moved[:, 0] * np.clip(moved[:, 1] / self.flat_m, -1.0, 1.0)
        return moved

    def xyz(self, x: float, yz: Points) -> Points:
        """The tapered place of section point ``yz`` (2,) at ``x`` [m]: ``(3,)`` [m]."""
        return np.asarray(self.shear(np.array([[x, yz[0], yz[1]]]))[0], dtype=np.float64)


def crown(edge: Points, waist: Points, flat: Points) -> Points:
    """Corners of the roof's curve from its edge to the flat middle.

    A quadratic Bezier arc that leaves the edge in the upper wall's direction and arrives level; the first chord is
    wide enough to carry the roof-edge rail.

    Args:
        edge: ``(2,)`` left roof edge (y, z) [m].
        waist: ``(2,)`` left waist (y, z) [m].
        flat: ``(2,)`` where the flat middle begins (y, z) [m].

    Returns:
        ``(CROWN_FACETS - 1, 2)`` corners between the two [m].
    """
    knee_y = edge[0] + (edge[0] - waist[0]) * (flat[1] - edge[1]) / (edge[1] - waist[1])
    knee = np.array([knee_y, flat[1]])

    def arc(t: float) -> Points:
        return np.asarray((1 - t) ** 2 * edge + 2 * t * (1 - t) * knee + t**2 * flat, dtype=np.float64)

    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if np.linalg.norm(arc(middle) - edge) < FIRST_FACET_M else (low, middle)
    first = max(high, 1.0 / CROWN_FACETS)
    shares = first + (1.0 - first) * np.arange(CROWN_FACETS - 1) / (CROWN_FACETS - 1)
    return np.array([arc(float(t)) for t in shares])


def make_profile(parameters: ShellParameters) -> Profile:
    """The section of a van.

    Args:
        parameters: what the fitter measured.

    Returns:
        The profile.
    """
    p = parameters
    half_edge = p.roof_edge_width_m / 2
    flat = np.array([CENTRE_FRACTION * half_edge, p.centre_height_m])
    waist = np.array([p.waist_width_m / 2, p.waist_height_m])
    edge = np.array([half_edge, p.roof_edge_height_m])
    left = np.array([[p.floor_width_m / 2, 0.0], waist, edge, *crown(edge, waist, flat), flat])
    right = left[::-1] * np.array([-1.0, 1.0])
    centre = np.zeros((1, 2))
    return Profile(np.concatenate([centre, left, right, centre]), p.taper, float(flat[0]))
