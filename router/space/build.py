"""From a shell and what the project says of it to the routing space."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import partial

from ribway.models.circuits import Device
from ribway.models.project import Project
from ribway.models.way_entries import WayEntry
from ribway.router.errors import NameFault
from ribway.router.faults import Collector, RouterFaults
from ribway.router.geometry.charts import Chart
from ribway.router.memory import Memory
from ribway.router.shell.parts import Shell
from ribway.router.space.boards import board_frame, board_portal, member_portal
from ribway.router.space.furniture import furnish
from ribway.router.space.ground import Ground, ground_of
from ribway.router.space.hollow import inside
from ribway.router.space.outside import outside, outside_portal
from ribway.router.space.over import lined, over
from ribway.router.space.portals import device_portal
from ribway.router.space.types import Portal, Space, Way
from ribway.router.space.ways import WayMaker


def build_space(project: Project, shell: Shell, memory: Memory | None = None) -> Space:
    """Bays, ways, portals and keep-outs of a project on its shell.

    Args:
        project: what the user said.
        shell: the bare metal.
        memory: what was made before; all that still holds is taken from it.

    Returns:
        The routing space.

    Raises:
        RouterFaults: every place and name of the project that does not fit the shell, all at once.
    """
    memory = Memory() if memory is None else memory
    collector = Collector()
    ground = ground_of(project, shell, memory, collector)
    charts, datum_back_m = ground.bare.charts, ground.datum_back_m
    _check_bay_names(project, {bay.name for bay in ground.bays}, collector)
    ways, inside_furniture = _ways(project, ground, memory, collector)
    portals: list[Portal] = []

    def portal_at(device: Device) -> Portal:
        def make() -> Portal:
            return device_portal(
                device, shell, ground.skins, charts, ground.finder, ground.keep_outs, datum_back_m, ground.bare.metal
            )

        return memory.of("portal", (device.id, device.name, device.at, ground), make)

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
            portal = collector.take(partial(member_portal, device, board, datum_back_m, portal_at, ground.bare.metal))
        else:
            continue  # its board has no place, which was said already
        if portal is not None:
            portals.append(portal)
    collector.raise_all()
    return Space(ground.skins, ground.bays, tuple(ways), tuple(portals), ground.keep_outs, tuple(boards.values()))


def _ways(
    project: Project, ground: Ground, memory: Memory, collector: Collector
) -> tuple[list[Way], dict[str, Portal | None]]:
    """All ways, and the portals of devices in furniture; None for those whose furniture has a fault."""
    shell, charts = ground.shell, ground.bare.charts
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
    limit = project.shop.fill_limit / 100.0
    maker = WayMaker(
        shell, ground.skins, ground.finder, ground.keep_outs, limit, vehicle.datum.forward, ground.bare.metal
    )
    keys = {opening.name: (ground, limit, opening, entries.get(opening.name)) for opening in shell.openings}
    maker.look_ahead([one for one in shell.openings if not memory.has("opening", keys[one.name])], entries)
    ways: list[Way] = []
    for opening in shell.openings:
        make = partial(maker.opening, opening, entries.get(opening.name))
        made = collector.take(partial(memory.of, "opening", keys[opening.name], make))
        ways += [made] if made is not None else []
    for entry in vehicle.ways:
        where = f"vehicle / ways / {entry.name}"
        if entry.name in known:
            collector.add(NameFault(where, "an opening already has that name", "a name of its own"))
            continue
        lay: Callable[[], Way] = _maker_of(entry, maker, charts, ways, devices, where)
        if entry.kind in ("over", "duct"):  # these ask for nothing but the ground
            lay = partial(memory.of, "way", (ground, limit, entry), lay)
        way = collector.take(lay)
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
