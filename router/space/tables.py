"""Distances inside one bay between all mouths and device portals that meet it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.router.geometry.jogs import eased
from ribway.router.geometry.plane_domain import PlaneDomain
from ribway.router.geometry.polylines import length
from ribway.router.geometry.square_paths import SquareTable, square_table
from ribway.router.geometry.taut_paths import TautTable, taut_table
from ribway.router.memory import Memory
from ribway.router.space.types import Bay, Mouth, SkinChart

JOG_M = 0.06  # nobody lays a side step this small with two square corners: the cable slants over

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class BayTable:
    """All in-bay distances of one bay.

    Args:
        bay: the bay.
        skin: the skin it lies on.
        mouths: what meets it.
        at_device: whether that is a device, by mouth.
    """

    bay: Bay
    skin: SkinChart
    mouths: tuple[Mouth, ...]
    at_device: tuple[bool, ...]
    _sharp: dict[tuple[int, int], tuple[Array, float]] = field(default_factory=dict, repr=False)
    _taut_known: dict[tuple[int, int], float] = field(default_factory=dict, repr=False)

    @cached_property
    def _turn(self) -> Array:
        c, s = np.cos(self.bay.turn), np.sin(self.bay.turn)
        return np.array(((c, s), (-s, c)))

    @cached_property
    def _domain(self) -> PlaneDomain:
        ring: shapely.Polygon = shapely.transform(self.bay.outline, self._turned)
        return PlaneDomain(ring)

    def _turned(self, points: Array) -> Array:
        return np.asarray(points @ self._turn.T)

    @cached_property
    def _points(self) -> Array:
        return self._turned(np.array([mouth.flat for mouth in self.mouths]))

    @cached_property
    def _square(self) -> SquareTable:
        axes = self._turned(np.array([mouth.axis for mouth in self.mouths]))
        return square_table(self._domain, self._points, axes)

    @cached_property
    def _taut(self) -> TautTable:
        return taut_table(self._domain, self._points)

    @cached_property
    def _jog(self) -> Array:
        """``(n, n)`` metres up and down between each mouth's own height and the lay depth."""
        off: Array = np.array([abs(mouth.height_m - self.skin.lay_depth_m) for mouth in self.mouths])
        return off[:, None] + off[None]

    @cached_property
    def length(self) -> Array:
        """``(n, n)`` in-bay length by the bay's lay rule, jogs included [m]; infinite where there is no path."""
        table = self._square.length if self.bay.lay == "square" else self._taut.length * self.skin.chart.stretch
        return np.asarray(table + self._jog)

    @cached_property
    def turns(self) -> Array:
        """``(n, n)`` bends of the path, those at its two ends included."""
        standing = np.array([bool(np.isnan(mouth.axis).any()) for mouth in self.mouths], dtype=np.float64)
        ends = standing[:, None] + standing[None]
        if self.bay.lay == "taut":
            return np.asarray(ends + 1.0)
        # A jog that is eased to a slant is no bend.
        apart = np.abs(self._points[:, None] - self._points[None]).min(axis=2)
        eased = (self._square.turns == 2) & (apart <= JOG_M)
        return np.asarray(np.where(eased, 0.0, self._square.turns) + ends)

    def sharp(self, i: int, j: int) -> tuple[Array, float]:
        """The path as it is laid.

        Returns:
            ``(k, 3)`` polyline from mouth to mouth [m] and the length that counts for the cut [m], which is never less
            than the polyline's own nor than the taut length.
        """
        if (i, j) not in self._sharp:
            line = self._lifted(self._as_laid(i, j), i, j)
            self._sharp[i, j] = line, max(float(self.length[i, j]), length(line), self.taut_m(i, j))
        return self._sharp[i, j]

    def _as_laid(self, i: int, j: int) -> Array:
        """The path in the plane; on metal curved both ways, where equal staircases differ, the shortest on the metal."""
        if self.bay.lay == "taut":
            return self._taut.path(i, j)
        found = [self._square.path(i, j)]
        if not self.skin.chart.exact:
            found += list(self._square.ties(i, j))
        free = self.at_device[i], self.at_device[j]
        paths = [eased(path, self._domain, JOG_M, *free) for path in found]
        return paths[0] if len(paths) == 1 else min(paths, key=lambda path: length(self._lifted(path, i, j)))

    def taut_m(self, i: int, j: int) -> float:
        """Length of the shortest path on this bay's skin between two spots [m], jogs included."""
        if (i, j) not in self._taut_known:
            line = self._lifted(self._taut.path(i, j), i, j)
            self._taut_known[i, j] = max(float(self._taut.length[i, j] + self._jog[i, j]), length(line))
        return self._taut_known[i, j]

    def _lifted(self, flat: Array, i: int, j: int) -> Array:
        line = self.skin.chart.lift(flat @ self._turn, self.skin.lay_depth_m)
        line[0], line[-1] = self.mouths[i].point, self.mouths[j].point
        return line


def table_of(
    bay: Bay, skin: SkinChart, mouths: tuple[Mouth, ...], at_device: tuple[bool, ...], memory: Memory
) -> BayTable:
    """The distances of a bay, taken from memory where the same mouths met the same bay before.

    Args:
        bay: the bay.
        skin: the skin it lies on.
        mouths: what meets it.
        at_device: whether that is a device, by mouth.
        memory: what was made before.
    """
    where = np.array([(*one.flat, *one.axis, *one.point, one.height_m) for one in mouths], dtype=np.float64)
    ground = (bay.name, bay.skin, bay.lay, bay.turn, bay.outline.wkb, skin.chart, skin.lay_depth_m, skin.zone)
    return memory.of("bay", (ground, where.tobytes(), at_device), lambda: BayTable(bay, skin, mouths, at_device))
