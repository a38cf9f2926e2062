"""From a shell and what the project says of it to the routing space."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.models.circuits import Device
from ribway.models.place import Place
from ribway.models.project import Project
from ribway.models.vehicle import KeepOutEntry
from ribway.models.way_entries import WayEntry
from ribway.router.errors import NameFault, RouterError
from ribway.router.faults import Collector, RouterFaults
from ribway.router.geometry.charts import Chart
from ribway.router.geometry.unrolling import ChartError
from ribway.router.shell.parts import Shell
from ribway.router.space.bays import BayFinder, chart_skins, cut_bays, skin_charts, with_keep_outs
from ribway.router.space.boards import board_frame, board_portal, member_portal
from ribway.router.space.furniture import furnish
from ribway.router.space.hollow import inside
from ribway.router.space.metal import Metal
from ribway.router.space.outside import outside, outside_portal
from ribway.router.space.over import lined, over
from ribway.router.space.portals import device_portal
from ribway.router.space.regions import inside_box
from ribway.router.space.types import KeepOut, Portal, SkinChart, Space, Way
from ribway.router.space.ways import WayMaker

Array = NDArray[np.float64]


def build_space(project: Project, shell: Shell) -> Space:
    """Bays, ways, portals and keep-outs of a project on its shell.

    Args:
        project: what the user said.
        shell: the bare metal.

    Returns:
        The routing space.

    Raises:
        RouterFaults: every place and name of the project that does not fit the shell, all at once.
    """
    shop, vehicle = project.shop, project.vehicle
    datum_back_m = vehicle.datum.forward
    collector = Collector()
    try:
        charts = chart_skins(shell)
    except ChartError as fault:
        raise RouterFaults((RouterError("vehicle", str(fault), "skins that can be laid flat"),)) from fault
    bare = skin_charts(shell, charts, shop.edge_margin, shop.lay_depth)
    keep_outs: list[KeepOut] = []
    for index, entry in enumerate(vehicle.keep_outs):
        where = f"vehicle / keep_outs / {entry.name or index + 1}"
        margin = max(entry.margin, shop.keep_out_margin)
        keep_outs += collector.take(partial(_keep_outs, entry, bare, margin, datum_back_m, where)) or []
    skins = with_keep_outs(bare, keep_outs)
    bays = cut_bays(skins, shell, shop.lay, shop.lay_by_bay)
    _check_bay_names(project, {bay.name for bay in bays}, collector)
    finder = BayFinder(bays)
    metal = Metal(shell)
    ways, inside_furniture = _ways(project, shell, skins, charts, finder, keep_outs, metal, collector)
    portals: list[Portal] = []

    def portal_at(device: Device) -> Portal:
        return device_portal(device, shell, skins, charts, finder, keep_outs, datum_back_m, metal)

    hung = (one for one in project.devices if one.kind == "mounting board")
    framed = (collector.take(partial(board_frame, one, charts, datum_back_m)) for one in hung)
    boards = {board.device: board for board in framed if board is not None}
    for device in project.devices:
        board = boards.get(device.at.on or "")
        portal: Portal | None
        if device.id in inside_furniture:
            portal = inside_furniture[device.id]
        elif device.at.outside is not None:
            portal = collector.take(partial(outside_portal, device, ways))
        elif device.id in boards:
            portal = collector.take(partial(board_portal, device, boards[device.id], datum_back_m, portal_at))
        elif device.at.on is None:
            portal = collector.take(partial(portal_at, device))
        elif board is not None:
            portal = collector.take(partial(member_portal, device, board, datum_back_m, portal_at))
        else:
            continue  # its board has no place, which was said already
        if portal is not None:
            portals.append(portal)
    collector.raise_all()
    return Space(skins, bays, tuple(ways), tuple(portals), tuple(keep_outs), tuple(boards.values()))


def _ways(
    project: Project,
    shell: Shell,
    skins: tuple[SkinChart, ...],
    charts: Mapping[str, Chart],
    finder: BayFinder,
    keep_outs: list[KeepOut],
    metal: Metal,
    collector: Collector,
) -> tuple[list[Way], dict[str, Portal | None]]:
    """All ways, and the portals of devices in furniture; None for those whose furniture has a fault."""
    vehicle = project.vehicle
    devices = {device.id: device for device in project.devices}
    known = {opening.name for opening in shell.openings}
    entries = {entry.name: entry for entry in vehicle.openings}
    for name in entries:
        if name not in known:
            collector.add(
                NameFault(
                    f"vehicle / openings / {name}", "the shell has no opening of that name", collector.near(name, known)
                )
            )
    maker = WayMaker(shell, skins, finder, keep_outs, project.shop.fill_limit / 100.0, vehicle.datum.forward, metal)
    maker.look_ahead(shell.openings, entries)
    made = (collector.take(partial(maker.opening, opening, entries.get(opening.name))) for opening in shell.openings)
    ways = [way for way in made if way is not None]
    for entry in vehicle.ways:
        where = f"vehicle / ways / {entry.name}"
        if entry.name in known:
            collector.add(NameFault(where, "an opening already has that name", "a name of its own"))
            continue
        way = collector.take(_maker_of(entry, maker, charts, ways, devices, where))
        if way is not None:
            ways.append(way)
    for wall, gap_m in vehicle.lining.items():
        ways += collector.take(partial(lined, maker, wall, gap_m, f"vehicle / lining / {wall}")) or []
    portals: dict[str, Portal | None] = {}
    for piece in vehicle.furniture:
        portals.update(dict.fromkeys(piece.devices))
        where = f"vehicle / furniture / {piece.name}"
        try:
            found = furnish(maker, piece, charts, devices, where)
        except RouterFaults as faults:
            for fault in faults.faults:
                collector.add(fault)
            continue
        ways += found.ways
        portals.update({portal.device: portal for portal in found.portals})
    _refuse_repeats(ways, collector)
    names = {way.name for way in ways}
    for run in project.runs:
        for key, wanted in (("via", run.via), ("avoid", run.avoid), ("by_hand", run.by_hand or ())):
            for name in wanted:
                if name not in names:
                    collector.add(
                        NameFault(
                            f"runs / {run.id or run.circuit} / {key}",
                            f"the shell has no opening or way called {name}",
                            collector.near(name, names),
                        )
                    )
    return ways, portals


def _refuse_repeats(ways: Sequence[Way], collector: Collector) -> None:
    for name, count in Counter(way.name for way in ways).items():
        if count > 1:
            collector.add(
                NameFault("vehicle", f"{count} openings and ways are called {name}", "a name of its own each")
            )


def _maker_of(
    entry: WayEntry,
    maker: WayMaker,
    charts: Mapping[str, Chart],
    ways: Sequence[Way],
    devices: Mapping[str, Device],
    where: str,
) -> Callable[[], Way]:
    """What makes the way that an entry of the project file asks for."""
    if entry.kind == "over":
        return partial(over, maker, entry, charts, where)
    if entry.kind == "inside":
        return partial(inside, maker, entry, {one.name: one for one in ways}, where)
    if entry.kind == "outside":
        return partial(outside, maker, entry, charts, devices, where)
    return partial(maker.duct, entry, charts, where)


def _check_bay_names(project: Project, names: set[str], collector: Collector) -> None:
    for name in project.shop.lay_by_bay:
        if name not in names:
            collector.add(NameFault("shop / lay_by_bay", f"there is no bay called {name}", collector.near(name, names)))


def _keep_outs(
    entry: KeepOutEntry,
    skins: tuple[SkinChart, ...],
    margin_m: float,
    datum_back_m: float,
    where: str,
) -> list[KeepOut]:
    wall = entry.corner.wall
    low, high = _box(entry.corner, entry.opposite, datum_back_m)
    out = []
    for index, skin in enumerate(skins):
        if wall is not None and skin.name != wall:
            continue
        grow = 0.0 if wall is not None else skin.lay_depth_m
        region = inside_box(skin.chart, low - grow, high + grow)
        if not shapely.is_empty(region):
            grown = shapely.buffer(region, margin_m, join_style="mitre")
            out.append(KeepOut(entry.name, entry.why, index, grown, margin_m))
    if not out:
        raise RouterError(
            where, "the region touches no skin of this shell", "two opposite corners that enclose some metal"
        )
    return out


def _box(corner: Place, opposite: Place, datum_back_m: float) -> tuple[Array, Array]:
    """Opposite corners as a box, open in the directions that a wall place does not fix."""
    spans = []
    for place in (corner, opposite):
        if place.wall is None:
            spans.append(((place.x or 0.0) - datum_back_m, place.y or 0.0, place.z or 0.0))
        elif place.wall in ("left", "right"):
            spans.append((-((place.back or 0.0) + datum_back_m), np.nan, place.up or 0.0))
        elif place.wall in ("roof", "floor"):
            spans.append((-((place.back or 0.0) + datum_back_m), place.to_left_m, np.nan))
        else:
            spans.append((np.nan, place.to_left_m, place.up or 0.0))
    both = np.array(spans)
    low, high = both.min(axis=0), both.max(axis=0)
    return np.where(np.isnan(low), -np.inf, low), np.where(np.isnan(high), np.inf, high)
