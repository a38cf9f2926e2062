"""Places given by tape, found on the shell's metal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.models.place import Place
from ribway.router.errors import PlaceFault
from ribway.router.geometry.charts import Chart
from ribway.router.geometry.meshes import face_normals, nearest_on_triangles, segment_hits
from ribway.router.shell.on_skin import drawn_back, sight

Array = NDArray[np.float64]

NEAR_SKIN_M = 0.6


@dataclass(frozen=True, eq=False)
class OnSkin:
    """A place on the metal.

    Args:
        skin: skin name.
        foot: ``(3,)`` point on the metal [m].
        normal: ``(3,)`` unit normal there, into the van.
        line: ``(3,)`` direction along which it was looked for, outwards.
        given: ``(3,)`` the place itself if it was given by x, y, z [m]; else None.
    """

    skin: str
    foot: Array
    normal: Array
    line: Array
    given: Array | None

    def off(self, stand_off_m: float) -> Array:
        """The place itself if given by x, y, z; else the point that stands off the metal at the taped distances [m]."""
        return drawn_back(self.foot, self.line, self.normal, stand_off_m) if self.given is None else self.given


def find_place(
    place: Place, charts: Mapping[str, Chart], datum_back_m: float, where: str, near_m: float = NEAR_SKIN_M
) -> OnSkin:
    """The point of the shell that a tape place means.

    Args:
        place: as the user gave it.
        charts: the shell's skins by name.
        datum_back_m: how far the user's datum lies behind the shell model's front edge [m].
        where: key path of the place in the project file, for error texts.
        near_m: how far off the skins a place by x, y, z may be [m].

    Returns:
        The point on the metal with its normal.

    Raises:
        PlaceFault: no such skin, or no metal there.
    """
    if place.outside is not None:
        raise PlaceFault(where, "a place outside the model", "a wall with its distances, or x, y, z")
    if place.wall is None:
        return _nearest_skin(place, charts, datum_back_m, where, near_m)
    chart = charts.get(place.wall)
    if chart is None:
        raise PlaceFault(where, f"this shell has no {place.wall}", f"it has {', '.join(sorted(charts))}")
    start, end = sight(place, datum_back_m)
    t = segment_hits(start, end, chart.corners)
    if not np.isfinite(t).any():
        raise PlaceFault(where, _off_words(place), _reach_words(place.wall, chart, datum_back_m))
    face = int(np.argmin(t))
    foot = start + float(t[face]) * (end - start)
    return OnSkin(place.wall, foot, face_normals(chart.corners[[face]])[0], end - start, None)


def _nearest_skin(place: Place, charts: Mapping[str, Chart], datum_back_m: float, where: str, near_m: float) -> OnSkin:
    point = np.array((place.x, place.y, place.z), dtype=np.float64) - np.array((datum_back_m, 0.0, 0.0))
    best: tuple[float, OnSkin] | None = None
    for name, chart in charts.items():
        face, weights, distance = nearest_on_triangles(point[None], chart.corners)
        normal = face_normals(chart.corners[[int(face[0])]])[0]
        foot = weights[0] @ chart.corners[int(face[0])]
        if float((point - foot) @ normal) < -1e-3:
            continue  # behind the metal
        if best is None or float(distance[0]) < best[0]:
            best = (float(distance[0]), OnSkin(name, foot, normal, -normal, point))
    if best is None or best[0] > near_m:
        gap = "behind the metal" if best is None else f"{best[0]:.2f} m from the nearest skin"
        raise PlaceFault(
            where,
            f"x {place.x:.3f}, y {place.y:.3f}, z {place.z:.3f} m is {gap}",
            f"a place inside the van and within {near_m:g} m of a skin",
        )
    return best[1]


def _off_words(place: Place) -> str:
    parts = [
        f"{key} {value:.3f} m"
        for key, value in (("back", place.back), ("up", place.up), ("left", place.left), ("right", place.right))
        if value is not None
    ]
    return f"there is no metal on the {place.wall} at {', '.join(parts)}"


def _reach_words(wall: str, chart: Chart, datum_back_m: float) -> str:
    low, high = chart.vertices.min(axis=0), chart.vertices.max(axis=0)
    back = f"back {max(0.0, -high[0] - datum_back_m):.2f} to {-low[0] - datum_back_m:.2f} m"
    if wall in ("left", "right"):
        reach = f"{back}, up {low[2]:.2f} to {high[2]:.2f} m"
    elif wall in ("roof", "floor"):
        reach = f"{back}, left or right up to {high[1]:.2f} m"
    else:
        reach = f"up {low[2]:.2f} to {high[2]:.2f} m, left or right up to {high[1]:.2f} m"
    return f"the {wall} reaches {reach}, less its windows and doors"
