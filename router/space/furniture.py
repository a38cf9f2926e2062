"""Furniture that cables run through: entries as rooms, and square ways between every two of them and to devices in it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from ribway.models.circuits import Device
from ribway.models.place import Place
from ribway.models.way_entries import FurnitureEntry
from ribway.router.errors import NameFault, PlaceFault
from ribway.router.faults import Collector
from ribway.router.geometry.charts import Chart
from ribway.router.geometry.polylines import drop_repeats, turn_angles
from ribway.router.space.places import find_place
from ribway.router.space.portals import off_metal, portal_at
from ribway.router.space.types import NOWHERE, Mouth, Portal, Way
from ribway.router.space.ways import COUNT_TURN_RAD, WayMaker, clear_area_m2

Array = NDArray[np.float64]

OFF_BOX_M = 0.1
"""An entry may lie this far off the box: walls are not plumb, and a hole in a side has its mouth beside it."""
FAR_M = 10.0


@dataclass(frozen=True, eq=False)
class Furnished:
    """What a piece of furniture brings: entries and ways between them, and the devices that stand in it."""

    ways: tuple[Way, ...]
    portals: tuple[Portal, ...]


@dataclass(frozen=True, eq=False)
class _Node:
    """An entry, or a device in the box: its name, its point in the box, how it is reached, and its room if it is one."""

    name: str
    point: Array
    lead: Array
    lead_m: float
    mouth: Mouth
    room: Way | None


def furnish(
    maker: WayMaker, entry: FurnitureEntry, charts: Mapping[str, Chart], devices: Mapping[str, Device], where: str
) -> Furnished:
    """Ways through one piece of furniture.

    Args:
        maker: of the shell's ways.
        entry: what the project says.
        charts: the shell's skins by name.
        devices: of the project, by id.
        where: key path in the project file.

    Raises:
        RouterFaults: entries off the box, and devices that do not stand in it.
    """
    corners = [_xyz(place, maker.datum_back_m) for place in (entry.corner, entry.opposite)]
    low, high = np.minimum(*corners), np.maximum(*corners)
    collector = Collector()
    nodes: list[_Node] = []
    for one in entry.entries:
        at = f"{where} / entries / {one.name} / at"
        portal = collector.take(
            partial(
                portal_at, one.name, f"entry {one.name} of {entry.name}", one.at, maker.shell, maker.skins, charts,
                maker.finder, maker.keep_outs, maker.datum_back_m, maker.metal, at, None,
            )
        )  # fmt: skip
        if portal is None:
            continue
        if _off(portal.point, low, high) > OFF_BOX_M:
            collector.add(_off_box(at, _off(portal.point, low, high), entry.name, "on a face of it, or behind it"))
            continue
        nodes.append(_entry_node(maker, entry.name, one.name, one.bore, portal, np.clip(portal.point, low, high)))
    portals: list[Portal] = []
    for name in entry.devices:
        found = collector.take(partial(_device, maker, name, entry.name, charts, devices, low, high, where))
        if found is not None:
            portals.append(found)
            lead, lead_m = _to_box(found.point[None], 0.0, np.clip(found.point, low, high))
            nodes.append(_Node(name, lead[-1], lead, lead_m, found.mouth, None))
    collector.raise_all()
    rooms = [node.room for node in nodes if node.room is not None]
    return Furnished((*rooms, *_between(maker, entry.name, nodes)), tuple(portals))


def _xyz(place: Place, datum_back_m: float) -> Array:
    return np.array(((place.x or 0.0) - datum_back_m, place.y or 0.0, place.z or 0.0))


def _off(point: Array, low: Array, high: Array) -> float:
    """Distance of a point from a box, 0 inside [m]."""
    return float(np.linalg.norm(np.maximum(np.maximum(low - point, point - high), 0.0)))


def _off_box(where: str, off_m: float, name: str, accepted: str) -> PlaceFault:
    return PlaceFault(where, f"that is {off_m:.2f} m off the box of furniture {name}", f"a place {accepted}")


def _device(
    maker: WayMaker, name: str, box: str, charts: Mapping[str, Chart], devices: Mapping[str, Device], low: Array,
    high: Array, where: str,
) -> Portal:  # fmt: skip
    device = devices.get(name)
    if device is None or device.at.outside is not None:
        found = f"there is no device {name}" if device is None else f"{name} stands outside the model"
        raise NameFault(f"{where} / devices", found, "devices that stand in it, by id")
    at = f"devices / {name} / at"
    spot = find_place(device.at, charts, maker.datum_back_m, at, FAR_M)
    depth = maker.skins[maker.by_name[spot.skin]].lay_depth_m
    point = spot.off(depth if device.at.stand_off is None else device.at.stand_off)
    off = _off(point, low, high)
    if off > OFF_BOX_M:
        raise _off_box(at, off, box, f"in it, or take {name} out of vehicle / furniture / {box} / devices")
    mouth = Mouth(NOWHERE, np.zeros(2), 0.0, np.full(2, np.nan), point)
    return Portal(name, point, spot.skin, mouth, point[None], 0.0)


def _to_box(lead: Array, lead_m: float, inner: Array) -> tuple[Array, float]:
    """A lead taken on, square, to the box's nearest point: ribs stand between an entry on a wall and the box."""
    points = [lead]
    for axis in range(3):
        step = points[-1][-1:].copy()
        step[0, axis] = inner[axis]
        points.append(step)
    return drop_repeats(np.vstack(points), 1e-6), lead_m + float(np.abs(inner - lead[-1]).sum())


def _entry_node(maker: WayMaker, box: str, name: str, bore_m: float, portal: Portal, inner: Array) -> _Node:
    lead, lead_m = _to_box(portal.stub[::-1], portal.stub_m, inner)  # from the bay to the entry, and on to the box
    closed = "" if portal.mouth.bay != NOWHERE else "its mouth opens into no bay"
    room = _way(maker, f"{box} {name}", "entry", lead, lead_m, (portal.mouth, portal.mouth), bore_m, closed, box)
    return _Node(name, inner, lead, lead_m, portal.mouth, room)


def _between(maker: WayMaker, box: str, nodes: Sequence[_Node]) -> Iterator[Way]:
    """A way between every two entries, and between each device and every entry or other device."""
    for a, b in itertools.combinations(nodes, 2):
        shares = tuple(node.room.name for node in (a, b) if node.room is not None)
        bores = [node.room.bore_m for node in (a, b) if node.room is not None]
        line, closed = _square(maker, a, b)
        size = a.lead_m + b.lead_m + float(np.abs(b.point - a.point).sum())
        ends_at = ("" if a.room is not None else a.name, "" if b.room is not None else b.name)
        yield _way(
            maker, f"{box} {a.name}-{b.name}", "furniture", line, size, (a.mouth, b.mouth), min(bores, default=FAR_M),
            closed, box, shares, ends_at,
        )  # fmt: skip


def _square(maker: WayMaker, a: _Node, b: _Node) -> tuple[Array, str]:
    """A path along the three axes, leads included: of the six orders the first that runs into no metal and no keep-out."""
    lines, checked = [], []
    for order in itertools.permutations(range(3)):
        points = [a.point]
        for axis in order:
            step = points[-1].copy()
            step[axis] = b.point[axis]
            points.append(step)
        line = drop_repeats(np.vstack([a.lead, *points, b.lead[::-1]]), 1e-6)
        lines.append(line)
        line = off_metal(line) if a.room is None else line
        checked.append(off_metal(line[::-1]) if b.room is None else line)
    why = [f"in it a cable would run through {hit}" if hit else "" for hit in maker.metal.crossed_by(checked)]
    for index, line in enumerate(lines):
        if not why[index]:
            barred = maker.keep_outs_on(line)
            why[index] = f"in keep-out {barred}" if barred else ""
        if not why[index]:
            return line, ""
    return lines[0], why[0]


def _way(
    maker: WayMaker, name: str, kind: str, line: Array, size_m: float, mouths: tuple[Mouth, Mouth], bore_m: float,
    closed: str, box: str, shares: tuple[str, ...] = (), ends_at: tuple[str, str] = ("", ""),
) -> Way:  # fmt: skip
    return Way(
        name=name, kind="entry" if kind == "entry" else "furniture", member=None, line=line, length_m=size_m,
        turns=int((turn_angles(line) > COUNT_TURN_RAD).sum()) if len(line) > 2 else 0, mouths=mouths, shape="round",
        raw_bore_m=bore_m, drawn_bore_m=bore_m, bore_m=bore_m, room_m=bore_m,
        area_m2=clear_area_m2("round", bore_m, bore_m), limit=maker.limit, taken_m=0.0, grommet_m=None,
        state="assumed", closed=closed, zone="wall", rim=line[:1], shares=shares, ends_at=ends_at, furniture=box,
    )  # fmt: skip
