"""Devices as portals: where their wires end, and how a cable gets from there to the bay."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.models.circuits import Device
from ribway.models.place import Place
from ribway.router.errors import PlaceFault
from ribway.router.geometry.charts import Chart
from ribway.router.shell.parts import Member, Shell
from ribway.router.space.bays import BayFinder
from ribway.router.space.metal import Metal
from ribway.router.space.places import find_place
from ribway.router.space.types import NOWHERE, KeepOut, Mouth, Portal, SkinChart

Array = NDArray[np.float64]

STAND_OFF_M = 0.06  # common practice, no source: behind a lining on battens that just clears the ribs
ASIDE_M = 0.35
TOUCHES_M = 0.001
STRAIGHT_DOWN_M = 0.002  # no more than a bay stands clear of a member, so that a slant does not cut its edge


def device_portal(
    device: Device,
    shell: Shell,
    skins: Sequence[SkinChart],
    charts: Mapping[str, Chart],
    finder: BayFinder,
    keep_outs: Sequence[KeepOut],
    datum_back_m: float,
    metal: Metal,
) -> Portal:
    """Where a device's cables leave it and where they meet a bay.

    Raises:
        PlaceFault: the device is off the shell, in a keep-out, inside a member, or too far from any bay.
    """
    where = f"devices / {device.id} / at"
    return portal_at(
        device.id,
        device.name,
        device.at,
        shell,
        skins,
        charts,
        finder,
        keep_outs,
        datum_back_m,
        metal,
        where,
        STAND_OFF_M,
    )


def portal_at(
    id_: str,
    name: str,
    at: Place,
    shell: Shell,
    skins: Sequence[SkinChart],
    charts: Mapping[str, Chart],
    finder: BayFinder,
    keep_outs: Sequence[KeepOut],
    datum_back_m: float,
    metal: Metal,
    where: str,
    stand_off_m: float | None,
) -> Portal:
    """As `device_portal`, for anything at a place.

    Args:
        id_, name: what it is called.
        at: its place.
        shell, skins, charts, finder, keep_outs, datum_back_m, metal: the shell and its bays.
        where: key path of the place in the project file.
        stand_off_m: how far off the metal it is if the place does not say [m]; None for where cables lie there.
    """
    spot = find_place(at, charts, datum_back_m, where)
    index = next(i for i, skin in enumerate(skins) if skin.name == spot.skin)
    skin = skins[index]
    usual_m = skin.lay_depth_m if stand_off_m is None else stand_off_m
    point = spot.off(usual_m if at.stand_off is None else at.stand_off)
    flat = skin.chart.flatten(point[None])[0][0]
    _refuse_keep_out(flat, index, keep_outs, where, name)
    bay, inside = finder.at(index, flat, ASIDE_M)
    if bay == NOWHERE:
        raise PlaceFault(where, f"there is no bay within {ASIDE_M} m", "a place on open skin between members")
    aside_m = float(np.hypot(*(inside - flat)))
    height_m = float((point - spot.foot) @ spot.normal)
    if aside_m > 1e-6:
        _refuse_inside_member(shell, skin, flat, height_m, where)
    if aside_m > 1e-6:
        end = skin.chart.lift(np.vstack([inside, inside + 1e-9]), skin.lay_depth_m)[0]
    else:
        end = point - (height_m - skin.lay_depth_m) * spot.normal  # straight down, with no step aside at a fold nearby
    stub = _stub(point, end, spot.normal)
    through = metal.crossed_by([off_metal(stub)])[0]
    if through:
        raise PlaceFault(
            where,
            f"from there its cables would have to run through {through}",
            f"choose a place beside {through}, or a larger stand_off",
        )
    stub_m = float(np.abs(np.diff(stub, axis=0)).sum())
    mouth = Mouth(bay, inside, skin.lay_depth_m, np.full(2, np.nan), end)
    return Portal(id_, point, spot.skin, mouth, stub, stub_m)


def _refuse_keep_out(flat: Array, skin: int, keep_outs: Sequence[KeepOut], where: str, name: str) -> None:
    for keep_out in keep_outs:
        if keep_out.skin == skin and shapely.intersects(keep_out.outline, shapely.Point(flat)):
            raise PlaceFault(
                where,
                f"{name} stands inside keep-out {keep_out.name} ({keep_out.why}), margin "
                f"{keep_out.margin_m * 1000:.0f} mm included",
                "a place outside it",
            )


def _refuse_inside_member(shell: Shell, skin: SkinChart, flat: Array, height_m: float, where: str) -> None:
    if not shapely.intersects(skin.closed, shapely.Point(flat)):
        return
    point = shapely.Point(flat)
    for member in shell.members:
        if skin.name not in member.skins or height_m >= member.depth_m - 1e-3:
            continue
        if _is_inside(skin, member, point, height_m):
            raise PlaceFault(
                where,
                f"it would sit inside member {member.name}, {height_m * 1000:.0f} mm off the skin",
                f"a stand_off of {member.depth_m * 1000:.0f} mm or more, or a place beside the member",
            )


def _is_inside(skin: SkinChart, member: Member, point: shapely.Point, height_m: float) -> bool:
    """Whether a place lies in a member: within its box, or under metal that stands higher in one that goes all round."""
    nearby, off = skin.chart.flatten(member.mesh.vertices)
    if member.kind == "brace":
        heights = off[member.mesh.faces]
        over = (heights.max(axis=1) > height_m + 1e-3) & (heights.min(axis=1) < member.depth_m + 0.05)
        if not over.any():
            return False
        corners = nearby[member.mesh.faces[over]]
        low, high = corners.min(axis=1), corners.max(axis=1)
        at = np.array([point.x, point.y])
        near = ((low <= at) & (at <= high)).all(axis=1)
        return bool(shapely.intersects(shapely.polygons(corners[near]), point).any())
    low, high = nearby[off < member.depth_m + 0.05].min(axis=0), nearby[off < member.depth_m + 0.05].max(axis=0)
    return bool(low[0] <= point.x <= high[0] and low[1] <= point.y <= high[1])


def off_metal(stub: Array) -> Array:
    """A line from a device without its first millimetre: a device may sit on the metal (an earth point, a stud)."""
    if len(stub) < 2:
        return stub
    step = stub[1] - stub[0]
    first = stub[0] + step * min(1.0, TOUCHES_M / max(float(np.linalg.norm(step)), 1e-12))
    return np.vstack([first, stub[1:]])


def _stub(point: Array, end: Array, normal: Array) -> Array:
    """From the device sideways at its own height, then straight down to the lay depth."""
    rise = float((point - end) @ normal)
    above = end + rise * normal
    corners = [point]
    if float(np.linalg.norm(above - point)) > STRAIGHT_DOWN_M:
        corners.append(above)
    if float(np.linalg.norm(end - corners[-1])) > 1e-4:
        corners.append(end)
    return np.vstack(corners)
