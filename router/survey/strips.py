"""Where metal runs in strips over a skin: ribs across it, rails along it, read off from how much of the skin is covered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.router.shell.parts import Mesh, Points
from ribway.router.survey.topology import Flags, Ints

STEP_ALONG_M = 0.004
STEP_ACROSS_M = 0.010
ACROSS = 0.6
"""Share of a skin's height that a rib covers; sill, rails and a wheel arch between ribs cover less."""
ALONG = 0.5
ALONG_EDGE = 0.3
"""Share of its length that a rail covers; a sill has gaps at doors."""
NEAR_EDGE_M = 0.12
WIDEST_M = 0.25
HIGH = 0.9
NARROWEST_M = 0.008
SNAP_M = 0.008
LEVEL = 0.98
SLACK_M = 5e-4

SheetName = Literal["left", "right", "roof", "floor"]


@dataclass(frozen=True)
class Lie:
    """How a skin lies: along the van, and across from its lower or outer edge.

    Args:
        up: which axis runs across: 2 up a wall, 1 over roof and floor.
        side: 1 from the left edge, -1 from the right one; walls have no side.
        edge: ``(2,)`` where that edge is: at the front, and how much further per metre along x (vans taper) [m].
    """

    up: int
    side: float
    edge: tuple[float, float]

    def across(self, points: Points) -> NDArray[np.float64]:
        """``(...)`` how far points are from the edge [m]."""
        height = points[..., self.up]
        if self.up == 2:
            return np.asarray(height - self.edge[0])
        return np.asarray(self.edge[0] + self.edge[1] * points[..., 0] - self.side * height)

    def plane(self, at: float) -> tuple[Points, float]:
        """The plane at a distance from the edge: normal, and offset of the points on it."""
        normal = np.zeros(3)
        if self.up == 2:
            normal[2] = 1.0
            return normal, self.edge[0] + at
        normal[0], normal[1] = self.edge[1], -self.side
        return normal, at - self.edge[0]


@dataclass(frozen=True)
class Strips:
    """Strips of metal over a skin.

    Args:
        columns: from and to along x, from the front on [m].
        rows: from and to across, from the edge on [m].
    """

    columns: tuple[tuple[float, float], ...]
    rows: tuple[tuple[float, float], ...]


def lie_of(points: Points, name: SheetName, side: float = 1.0) -> Lie:
    """How a skin lies.

    Args:
        points: ``(n, 3)`` of its sheet and of what stands on it [m].
        name: which.
        side: of roof and floor, the side from which to count.
    """
    if name in ("left", "right"):
        return Lie(2, 0.0, (float(points[:, 2].min()), 0.0))
    x, out = points[:, 0], side * points[:, 1]
    front, rear = x > x.max() - 0.1 * np.ptp(x), x < x.min() + 0.1 * np.ptp(x)
    a, b = np.flatnonzero(front)[np.argmax(out[front])], np.flatnonzero(rear)[np.argmax(out[rear])]
    slope = float((out[a] - out[b]) / (x[a] - x[b])) if abs(x[a] - x[b]) > 1e-6 else 0.0
    return Lie(1, side, (float(out[a] - slope * x[a]), slope))


def strips_on(
    skin: Mesh, metal: Points, normals: Points, areas: NDArray[np.float64], lie: Lie, most_m: float
) -> Strips:
    """The strips of metal over a skin.

    Args:
        skin: its sheet [m].
        metal: ``(m, 3, 3)`` triangles of what stands on it [m].
        normals, areas: of those, ``(m, 3)`` unit and ``(m,)`` [m2].
        lie: how the skin lies.
        most_m: how far across the skin goes, seen from its edge; half of the roof, say [m].
    """
    low, high = float(skin.vertices[:, 0].min()), float(skin.vertices[:, 0].max())
    x = np.arange(low + STEP_ALONG_M / 2, high, STEP_ALONG_M)
    v = np.arange(STEP_ACROSS_M / 2, most_m, STEP_ACROSS_M)
    sheet = _covered(skin.vertices[skin.faces], lie, x, v)
    held = _covered(metal, lie, x, v)
    sheet |= held  # wide feet hide the skin under them
    share = held.sum(axis=1) / np.maximum(sheet.sum(axis=1), 1)
    columns = [one for one in _stretches(x, share > ACROSS, STEP_ALONG_M) if NARROWEST_M < one[1] - one[0] < WIDEST_M]
    # Where metal goes on up from the edge for long, as over a wheel arch, nothing is to be seen of a rail along the edge.
    between = held[:, v < WIDEST_M].mean(axis=1) < HIGH
    for a, b in columns:
        between &= (x < a) | (x > b)
    open_sheet = sheet[between].sum(axis=0)
    rows_share = held[between].sum(axis=0) / np.maximum(open_sheet, 1)
    needed = np.where(v < NEAR_EDGE_M, ALONG_EDGE, ALONG)
    rows = [
        one
        for one in _stretches(v, (rows_share > needed) & (open_sheet > 0.2 * between.sum()), STEP_ACROSS_M)
        if NARROWEST_M < one[1] - one[0] < WIDEST_M
    ]
    centres = metal.mean(axis=1)
    along, upright = np.abs(normals[:, 0]) > LEVEL, np.abs(normals @ lie.plane(0.0)[0]) > LEVEL
    return Strips(
        tuple(_to_end(_snapped(one, centres[along, 0], areas[along]), low, high) for one in reversed(columns)),
        tuple(_snapped(one, lie.across(centres[upright]), areas[upright]) for one in rows),
    )


def _covered(triangles: Points, lie: Lie, x: NDArray[np.float64], v: NDArray[np.float64]) -> Flags:
    """``(len(x), len(v))`` whether a triangle lies over each spot, looked at square to the skin."""
    flat = np.stack([triangles[..., 0], lie.across(triangles)], axis=-1)
    spread = np.abs(
        (flat[:, 1, 0] - flat[:, 0, 0]) * (flat[:, 2, 1] - flat[:, 0, 1])
        - (flat[:, 2, 0] - flat[:, 0, 0]) * (flat[:, 1, 1] - flat[:, 0, 1])
    )
    spots = np.stack(np.meshgrid(x, v, indexing="ij"), axis=-1).reshape(-1, 2)
    tree = shapely.STRtree(np.asarray(shapely.points(spots)))
    hit = tree.query(shapely.polygons(flat[spread > 1e-10]), predicate="intersects")[1]
    out = np.zeros(len(spots), dtype=bool)
    out[hit] = True
    return out.reshape(len(x), len(v))


def _stretches(at: NDArray[np.float64], flags: Flags, step: float) -> list[tuple[float, float]]:
    edges = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1
    return [(float(at[a] - step / 2), float(at[b] + step / 2)) for a, b in zip(starts, ends, strict=True)]


def _snapped(
    stretch: tuple[float, float], planes: NDArray[np.float64], areas: NDArray[np.float64]
) -> tuple[float, float]:
    """A stretch whose ends are set to the faces that look along it there, a little beyond them."""
    out = []
    for end, sign in zip(stretch, (-1.0, 1.0), strict=True):
        near = np.abs(planes - end) < SNAP_M
        if near.any():
            place = planes[near]
            weight = [float(areas[near][np.abs(place - one) < SLACK_M].sum()) for one in place]
            end = float(place[int(np.argmax(weight))])
        out.append(end + sign * SLACK_M)
    return out[0], out[1]


def _to_end(stretch: tuple[float, float], low: float, high: float) -> tuple[float, float]:
    """A stretch that ends near a skin's end goes on to it."""
    a, b = stretch
    return (low - SLACK_M if a < low + NARROWEST_M else a), (high + SLACK_M if b > high - NARROWEST_M else b)


def inside_any(values: NDArray[np.float64], stretches: tuple[tuple[float, float], ...]) -> Ints:
    """``(n,)`` in which stretch each value lies; -1 in none."""
    out = np.full(len(values), -1, dtype=np.int64)
    for number, (a, b) in enumerate(stretches):
        out[(values > a) & (values < b)] = number
    return out
