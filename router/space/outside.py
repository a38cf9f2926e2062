"""Taped stretches outside the model, from skin to skin or from a skin to a device that stands outside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.models.circuits import Device
from ribway.models.place import Place
from ribway.models.way_entries import WayEntry
from ribway.router.errors import NameFault, PlaceFault
from ribway.router.geometry.charts import Chart
from ribway.router.space.places import find_place
from ribway.router.space.types import NOWHERE, Mouth, Portal, Way
from ribway.router.space.ways import WayMaker, clear_area_m2

Array = NDArray[np.float64]

SKETCH_M = 0.15
CLOSE_M = 0.0005
ROUND_SIDES = 24


def outside(
    maker: WayMaker, entry: WayEntry, charts: Mapping[str, Chart], devices: Mapping[str, Device], where: str
) -> Way:
    """A stretch outside the model: its length is a tape's, its line a straight sketch from end to end.

    Args:
        maker: of the shell's ways.
        entry: what the project says.
        charts: the shell's skins by name.
        devices: of the project, by id.
        where: key path in the project file.

    Raises:
        PlaceFault: an end on no open skin, or a tape shorter than the straight line between the ends.
        NameFault: its device is not there, or stands in the model.
    """
    if entry.taped is None or entry.bore is None or entry.surroundings is None:
        raise NameFault(where, "a stretch outside without taped, bore or surroundings", "all three")
    mouths, closed = [], ""
    for number, place in enumerate(entry.ends, start=1):
        mouth, normal, shut = _end(maker, place, charts, f"{where} / ends {number}")
        mouths.append(mouth)
        closed = closed or shut
    if entry.device is not None:
        device = devices.get(entry.device)
        if device is None or device.at.outside is None:
            found = (
                f"{entry.device} stands in the model" if device is not None else f"there is no device {entry.device}"
            )
            known = [one.id for one in devices.values() if one.at.outside is not None]
            raise NameFault(
                f"{where} / device",
                found,
                f"one of {', '.join(known)}"
                if known
                else "a device whose place is outside, such as at: {outside: engine space}",
            )
        sketch = mouths[0].point - min(SKETCH_M + mouths[0].height_m, entry.taped) * normal
        mouths.append(Mouth(NOWHERE, mouths[0].flat, mouths[0].height_m, np.full(2, np.nan), sketch))
    line = np.vstack([mouth.point for mouth in mouths])
    straight = float(np.linalg.norm(line[1] - line[0]))
    if entry.taped < straight - CLOSE_M:
        raise PlaceFault(
            f"{where} / taped",
            f"{entry.taped:.3f} m, but its ends are {straight:.3f} m apart in a straight line",
            f"what the tape says along the stretch: {straight:.3f} m or more",
        )
    return Way(
        name=entry.name, kind="outside", member=None, line=line, length_m=max(entry.taped, straight), turns=0,
        mouths=(mouths[0], mouths[1]), shape="round", raw_bore_m=entry.bore, drawn_bore_m=entry.bore,
        bore_m=entry.bore, room_m=entry.bore, area_m2=clear_area_m2("round", entry.bore, entry.bore),
        limit=maker.limit, taken_m=0.0, grommet_m=None, state="assumed", closed=closed, zone=entry.surroundings,
        rim=line[:1], ends_at=("", entry.device or ""),
    )  # fmt: skip


def outside_portal(device: Device, ways: Sequence[Way]) -> Portal:
    """A device outside the model, drawn where the first stretch that leads to it ends.

    Raises:
        PlaceFault: no stretch leads to it.
    """
    for way in ways:
        if way.kind == "outside" and way.ends_at[1] == device.id:
            point = way.line[1]
            return Portal(device.id, point, device.at.outside or "", way.mouths[1], point[None], 0.0)
    raise PlaceFault(
        f"devices / {device.id} / at",
        "it stands outside the model, and no way leads to it",
        f"a way with kind: outside, device: {device.id}, ends: [the place where its cables come through a skin], taped, "
        "bore and surroundings",
    )


def _end(maker: WayMaker, place: Place, charts: Mapping[str, Chart], where: str) -> tuple[Mouth, Array, str]:
    """The mouth where a stretch comes through a skin, the skin's normal there, and why it is closed."""
    spot = find_place(place, charts, maker.datum_back_m, where)
    index = maker.by_name[spot.skin]
    skin = maker.skins[index]
    point = spot.off(skin.lay_depth_m if place.stand_off is None else place.stand_off)
    flat = skin.chart.flatten(point[None])[0][0]
    shut = ""
    for keep_out in maker.keep_outs:
        if keep_out.skin == index and shapely.intersects(keep_out.outline, shapely.Point(flat)):
            shut = f"in keep-out {keep_out.name}"
    bay, inner = maker.finder.at(index, flat)
    if bay == NOWHERE and not shut:
        raise PlaceFault(where, "there is no open skin at that place", "a place on open skin between members")
    height = float((point - spot.foot) @ spot.normal)
    return Mouth(bay, inner, height, np.full(2, np.nan), point), spot.normal, shut
