"""Crossings over members' inner faces, where the lining stands off: those that are named, and those a whole lining offers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.models.way_entries import WayEntry
from ribway.router.errors import NameFault, PlaceFault
from ribway.router.geometry.charts import Chart
from ribway.router.shell.parts import Member
from ribway.router.space.bays import along
from ribway.router.space.places import find_place
from ribway.router.space.types import NOWHERE, SkinChart, Way
from ribway.router.space.ways import WayMaker

Array = NDArray[np.float64]

WIDTH_M = 0.06
HALF_RAY_M = 0.3
BESIDE_M = 0.006
STEP_M = 0.1
EVERY_M = 0.5


def over(maker: WayMaker, entry: WayEntry, charts: Mapping[str, Chart], where: str) -> Way:
    """A way over a member's inner face at a place: up, across, down.

    Raises:
        NameFault: there is no such member.
        PlaceFault: the member does not pass there.
    """
    if entry.at is None or entry.gap is None:
        raise NameFault(where, "a way over a member without place or gap", "member, at and gap")
    member = next((m for m in maker.shell.members if m.name == entry.member), None)
    if member is None:
        names = ", ".join(m.name for m in maker.shell.members)
        raise NameFault(f"{where} / member", f"no member is called {entry.member}", f"one of {names}")
    spot = find_place(entry.at, charts, maker.datum_back_m, f"{where} / at")
    skin = maker.skins[maker.by_name[spot.skin]]
    flat = skin.chart.flatten(spot.foot[None])[0][0]
    feet = _feet(skin, member, flat)
    if feet is None:
        raise PlaceFault(f"{where} / at", f"{entry.member} does not pass there", f"a place on {entry.member} itself")
    return _crossing(maker, skin, member, entry.name, feet, entry.gap, entry.width or WIDTH_M)


def lined(maker: WayMaker, wall: str, gap_m: float, where: str) -> list[Way]:
    """Ways over every member of a wall, under a lining that stands off them all: one every half metre between two bays.

    Args:
        maker: of the shell's ways.
        wall: skin name.
        gap_m: how far the lining stands off the members' inner faces [m].
        where: key path in the project file.

    Returns:
        Open ways only, ``L4-over-1`` and so on, counted from the low or left end of the member.

    Raises:
        PlaceFault: the shell has no such wall.
    """
    if wall not in maker.by_name:
        raise PlaceFault(where, f"this shell has no {wall}", f"it has {', '.join(sorted(maker.by_name))}")
    skin = maker.skins[maker.by_name[wall]]
    ways: list[Way] = []
    for member in maker.shell.members:
        if wall in member.skins:
            found = (_crossing(maker, skin, member, "", feet, gap_m, WIDTH_M) for feet in _spread(maker, skin, member))
            open_ways = [way for way in found if not way.closed]
            ways += [
                replace(way, name=f"{member.name}-over-{number}", lined=True)
                for number, way in enumerate(open_ways, start=1)
            ]
    return ways


def _across(skin: SkinChart, member: Member, flat: Array) -> Array:
    u = skin.chart.direction(flat, along(skin.name))
    if member.kind in ("rail", "sill"):
        u = np.array((-u[1], u[0]))
    return np.asarray(u / np.hypot(*u))


def _feet(skin: SkinChart, member: Member, flat: Array) -> Array | None:
    """``(2, 2)`` where a crossing at a plane point comes down on either side of the member; None if none is there."""
    u = _across(skin, member, flat)
    ray = shapely.LineString([flat - HALF_RAY_M * u, flat + HALF_RAY_M * u])
    cut = shapely.intersection(ray, skin.closed)
    parts = [part for part in shapely.get_parts(cut) if part.distance(shapely.Point(flat)) < 1e-6]
    if not parts:
        return None
    ends = (shapely.get_coordinates(parts[0]) - flat) @ u
    return np.vstack([flat + (ends.min() - BESIDE_M) * u, flat + (ends.max() + BESIDE_M) * u])


def _crossing(
    maker: WayMaker, skin: SkinChart, member: Member, name: str, feet: Array, gap_m: float, width_m: float
) -> Way:
    top = member.depth_m + gap_m / 2.0
    low = skin.chart.lift(feet, skin.lay_depth_m)[[0, -1]]
    high = skin.chart.lift(feet, top)[[0, -1]]
    line = np.vstack([low[0], high[0], high[1], low[1]])
    free = float(maker.metal.clearances([high], [gap_m])[0])
    closed = "the member stands higher there" if free < 0.4 * gap_m else ""
    return maker.way(
        name,
        "over",
        member.name,
        line,
        (skin.name, skin.name),
        "gap",
        gap_m,
        gap_m,
        width_m,
        maker.limit,
        0.0,
        None,
        "assumed",
        closed,
        high,
    )


def _spread(maker: WayMaker, skin: SkinChart, member: Member) -> Iterator[Array]:
    """Feet of crossings spread along a member: wherever two bays lie on either side of it, one every `EVERY_M`."""
    print_ = skin.members[member.name]
    if shapely.is_empty(print_):
        return
    index = maker.by_name[skin.name]
    middle = shapely.get_coordinates(shapely.centroid(print_))[0]
    u = _across(skin, member, middle)
    v = np.array((-u[1], u[0]))
    reach = (shapely.get_coordinates(print_) - middle) @ v
    stretch: list[Array] = []
    joined: tuple[int, int] = (NOWHERE, NOWHERE)
    for s in np.arange(reach.min() + STEP_M / 2.0, reach.max(), STEP_M):
        line = shapely.LineString([middle + s * v - HALF_RAY_M * u, middle + s * v + HALF_RAY_M * u])
        on = shapely.get_coordinates(shapely.intersection(line, print_))
        feet = _feet(skin, member, on.mean(axis=0)) if len(on) else None
        bays = (
            (NOWHERE, NOWHERE)
            if feet is None
            else (maker.finder.at(index, feet[0])[0], maker.finder.at(index, feet[1])[0])
        )
        if bays != joined:
            yield from _chosen(stretch, joined)
            stretch, joined = [], bays
        if feet is not None:
            stretch.append(feet)
    yield from _chosen(stretch, joined)


def _chosen(stretch: list[Array], bays: tuple[int, int]) -> list[Array]:
    if NOWHERE in bays or bays[0] == bays[1] or not stretch:
        return []
    count = max(1, round(len(stretch) * STEP_M / EVERY_M))
    return [stretch[int((k + 0.5) * len(stretch) / count)] for k in range(count)]
