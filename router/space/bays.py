"""Skins cut into bays: what stays connected when members, obstacles and keep-outs are taken out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.router.geometry.charts import Chart
from ribway.router.geometry.unrolling import chart_of
from ribway.router.shell.parts import Shell, Skin
from ribway.router.space.regions import footprint, pieces
from ribway.router.space.types import NOWHERE, Bay, KeepOut, Lay, SkinChart

Array = NDArray[np.float64]

MEMBER_MARGIN_M = 0.002
OBSTACLE_MARGIN_M = 0.005
LEAST_BAY_M2 = 2e-3
SNAP_M = 0.02
INSIDE_M = 1e-6
SAME_POINT_M = 1e-9
"""Corners nearer than this are one: turned, an edge between them may cross its neighbour."""
REACH_M = 0.25

ALONG: dict[str, tuple[float, float, float]] = {"bulkhead": (0.0, 1.0, 0.0), "rear": (0.0, 1.0, 0.0)}
_X = (1.0, 0.0, 0.0)


def along(skin: str) -> Array:
    """The direction that runs square across a skin's members: along the vehicle, or across it on a bulkhead."""
    return np.array(ALONG.get(skin, _X))


def chart_skins(shell: Shell) -> dict[str, Chart]:
    """Every skin of a shell laid flat, by name."""
    return {
        skin.name: chart_of(skin.mesh.vertices, skin.mesh.faces, along(skin.name), skin.name) for skin in shell.skins
    }


def skin_charts(
    shell: Shell, charts: Mapping[str, Chart], edge_margin_m: float, lay_depth_m: float | None
) -> tuple[SkinChart, ...]:
    """Skins with all that members and obstacles cover; keep-outs are added by `with_keep_outs`.

    Args:
        shell: the shell.
        charts: its skins laid flat.
        edge_margin_m: kept clear of the sheet's free edges: windows, doors [m].
        lay_depth_m: how far off the metal cables lie, instead of each skin's own [m].
    """
    return tuple(_skin_chart(shell, skin, charts[skin.name], edge_margin_m, lay_depth_m) for skin in shell.skins)


def _skin_chart(shell: Shell, skin: Skin, chart: Chart, edge_margin_m: float, lay_depth_m: float | None) -> SkinChart:
    members = {
        member.name: footprint(chart, member.mesh, REACH_M, MEMBER_MARGIN_M)
        for member in shell.members
        if skin.name in member.skins
    }
    obstacles = [
        footprint(chart, obstacle.mesh, np.inf, OBSTACLE_MARGIN_M)  # however far it stands into the van
        for obstacle in shell.obstacles
        if skin.name in obstacle.skins
    ]
    sheet = shapely.buffer(chart.outline, -edge_margin_m, join_style="mitre")
    depth = skin.lay_depth_m if lay_depth_m is None else lay_depth_m
    return SkinChart(
        skin.name, skin.zone, chart, depth, sheet, shapely.union_all([*members.values(), *obstacles]), members
    )


def with_keep_outs(skins: Sequence[SkinChart], keep_outs: Sequence[KeepOut]) -> tuple[SkinChart, ...]:
    """Skins with keep-outs closed as well.

    A cable lies off the metal. Where the metal bends, what is straight below it is not just where the plane has it, by its
    distance times the sine of the angle at most: so much more is closed, and the cable is clear however one looks at it.
    """
    out = []
    for index, skin in enumerate(skins):
        own = [
            shapely.buffer(keep_out.outline, skin.lay_depth_m * skin.chart.tilt(keep_out.outline), join_style="mitre")
            for keep_out in keep_outs
            if keep_out.skin == index
        ]
        out.append(replace(skin, closed=shapely.union_all([skin.closed, *own])) if own else skin)
    return tuple(out)


def cut_bays(skins: Sequence[SkinChart], shell: Shell, lay: Lay, lay_by_bay: Mapping[str, Lay]) -> tuple[Bay, ...]:
    """All bays of all skins, named by wall, number and height.

    Args:
        skins: with everything closed that is to be closed.
        shell: for the members that number the bays.
        lay: the project's lay rule.
        lay_by_bay: exceptions by bay name.
    """
    bays: list[Bay] = []
    for index, skin in enumerate(skins):
        left = shapely.remove_repeated_points(shapely.difference(skin.sheet, skin.closed), SAME_POINT_M)
        polygons = pieces(left, LEAST_BAY_M2)
        for polygon, name in zip(polygons, _names(skin, shell, polygons), strict=True):
            middle = np.array(shapely.get_coordinates(shapely.point_on_surface(polygon))[0])
            u = skin.chart.direction(middle, along(skin.name))
            bays.append(Bay(name, index, lay_by_bay.get(name, lay), polygon, float(np.arctan2(u[1], u[0]))))
    return tuple(bays)


def _names(skin: SkinChart, shell: Shell, polygons: Sequence[shapely.Polygon]) -> list[str]:
    """Bays are numbered by the rib or bow in front of them; several in one number are told apart by height or side."""
    across = "xyz".index("x" if skin.name not in ALONG else "y")
    stations = sorted(
        float(member.mesh.vertices[:, across].mean())
        for member in shell.members
        if skin.name in member.skins and member.kind in ("rib", "bow")
    )
    rank = 2 if skin.zone == "wall" else 1
    words = ("lower", "upper") if skin.zone == "wall" else ("right", "left")
    places = []
    for polygon in polygons:
        middle = np.array(shapely.get_coordinates(shapely.point_on_surface(polygon)))
        point = skin.chart.lift(np.vstack([middle, middle + 1e-4]), 0.0)[0]
        places.append((sum(1 for station in stations if station > point[across]), float(point[rank])))
    names = []
    for number, height in places:
        same = sorted(other for count, other in places if count == number)
        head = f"{skin.name} {number}" if stations else skin.name
        if len(same) == 1:
            names.append(head)
        elif len(same) == 2:
            names.append(f"{head} {words[same.index(height)]}")
        else:
            names.append(f"{head} {chr(ord('a') + same.index(height))}")
    return names


class BayFinder:
    """Which bay a plane point of a skin lies in."""

    def __init__(self, bays: Sequence[Bay]) -> None:
        by_skin: dict[int, list[int]] = {}
        for index, bay in enumerate(bays):
            by_skin.setdefault(bay.skin, []).append(index)
        self._by_skin = {
            skin: (found, np.array([bays[index].outline for index in found])) for skin, found in by_skin.items()
        }
        self._bays = bays

    def skin_of(self, bay: int) -> int:
        """Index of the skin that a bay lies on; ``NOWHERE`` if it is none."""
        return self._bays[bay].skin if bay != NOWHERE else NOWHERE

    def at(self, skin: int, flat: Array, snap_m: float = SNAP_M) -> tuple[int, Array]:
        """Bay index and the point itself, moved into the bay if it lies within ``snap_m`` of it; else ``NOWHERE``."""
        point = shapely.Point(flat)
        best, gap = NOWHERE, np.inf
        if skin in self._by_skin:
            found, outlines = self._by_skin[skin]
            distances = shapely.distance(outlines, point)
            nearest_bay = int(np.argmin(distances))
            best, gap = found[nearest_bay], float(distances[nearest_bay])
        if gap > snap_m:
            return NOWHERE, flat
        return best, flat if gap == 0.0 else _drawn_in(self._bays[best].outline, point)


def _drawn_in(outline: shapely.Polygon, point: shapely.Point) -> Array:
    """The place nearest to a point outside that lies a little off the outline, clear of rounding, round holes too."""
    inside = outline.buffer(-INSIDE_M, join_style="mitre")
    nearest = shapely.shortest_line(outline if inside.is_empty else inside, point)
    return np.asarray(shapely.get_coordinates(nearest)[0])
