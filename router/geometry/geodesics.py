"""Shortest paths on a triangle mesh: exact on every polyhedral surface, or with a stated bound when cut short."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ribway.router.geometry.edge_points import edge_paths, points_per_edge
from ribway.router.geometry.polylines import drop_repeats, length
from ribway.router.geometry.surfaces import Floats, Surface, SurfaceFault, SurfacePoint, located, position
from ribway.router.geometry.window_search import Arrival, Search, searched

MOST_WINDOWS = 400_000


@dataclass(frozen=True, eq=False)
class SurfacePath:
    """A path on a surface."""

    points: Floats  # (n, 3) [m], from the source to the target, a point on every edge crossed
    length_m: float
    lower_bound_m: float  # no path on the surface is shorter
    exact: bool  # the path is a shortest one, to rounding error


def _traced(surface: Surface, found: Search, arrival: Arrival, target: Floats) -> Floats:
    """Points of the path of an arrival, walked back window by window and root by root."""
    windows, points, at = found.windows, [target], target
    window, root = arrival.window, arrival.root
    while root >= 0:
        while window >= 0:
            half = int(windows.half[window])
            reach = at - surface.vertices[surface.start[half]]
            x, y = float(reach @ surface.along[half]), max(float(reach @ surface.inward[half]), 0.0)
            image_x, image_y = float(windows.image_x[window]), float(windows.image_y[window])
            cut = image_x + (x - image_x) * (-image_y) / (y - image_y)
            cut = min(max(cut, float(windows.low[window])), float(windows.high[window]))
            at = surface.vertices[surface.start[half]] + cut * surface.along[half]
            points.append(at)
            window = int(windows.parent[window])
        at = np.array(found.roots[root].at)
        points.append(at)
        window, root = found.roots[root].window, found.roots[root].before
    return np.array(points[::-1])


def shortest_paths(
    surface: Surface, source: SurfacePoint, targets: list[SurfacePoint], most_windows: int = MOST_WINDOWS
) -> list[SurfacePath]:
    """Shortest paths on a surface from one point to some others.

    Paths over points on the edges bound all distances from above; then windows are passed on exactly, and dropped where
    these bounds beat them (see `windows` for the sources).

    Args:
        surface: the surface (`surface_of`).
        source: where the paths begin.
        targets: where they end.
        most_windows: stop after this many windows and return the best path so far with a lower bound.

    Returns:
        One path per target.

    Raises:
        SurfaceFault: a target lies on another part of the mesh, or a point is not on it.
    """
    if not targets:
        return []
    seeds = edge_paths(surface, source, targets, points_per_edge(len(surface.faces)))
    upper = seeds.distance[seeds.first_target :]
    for target, known in zip(targets, upper.tolist(), strict=True):
        if not np.isfinite(known):
            raise SurfaceFault(
                f"no path on the mesh from face {source.face} to face {target.face}: they are separate parts"
            )
    found = searched(surface, source, targets, seeds.distance[: seeds.vertex_count], upper, most_windows)
    paths = []
    for number, (target, arrival, open_end) in enumerate(zip(targets, found.arrivals, found.frontier, strict=True)):
        points = seeds.path_to(number)
        if arrival.distance < np.inf:
            traced = _traced(surface, found, arrival, position(surface, target))
            points = traced if length(traced) <= length(points) else points
        points = drop_repeats(points, 1e-12 * surface.size_m)
        metres = length(points)
        exact = open_end >= metres
        paths.append(SurfacePath(points, metres, metres if exact else open_end, exact))
    return paths


def shortest_path(
    surface: Surface, source: SurfacePoint, target: SurfacePoint, most_windows: int = MOST_WINDOWS
) -> SurfacePath:
    """Shortest path on a surface between two points; see `shortest_paths`.

    Args:
        surface: the surface (`surface_of`).
        source: where the path begins.
        target: where it ends.
        most_windows: stop after this many windows and return the best path so far with a lower bound.

    Returns:
        The path.
    """
    return shortest_paths(surface, source, [target], most_windows)[0]


def shortest_path_between(surface: Surface, source: npt.ArrayLike, target: npt.ArrayLike) -> SurfacePath:
    """Shortest path on a surface between two points in space that lie on it.

    Args:
        surface: the surface (`surface_of`).
        source: (3,) point on the mesh [m].
        target: (3,) point on the mesh [m].

    Returns:
        The path.

    Raises:
        SurfaceFault: a point lies off the mesh, or the points lie on separate parts.
    """
    return shortest_path(surface, located(surface, source), located(surface, target))
