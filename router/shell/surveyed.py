"""The project as the router takes it: heights from the bare floor, and what a tape says put beside what is written."""

from __future__ import annotations

from collections.abc import Iterable

from ribway.models.circuits import Device
from ribway.models.place import Place
from ribway.models.project import Project
from ribway.models.vehicle import KeepOutEntry, OpeningEntry, Vehicle
from ribway.router.faults import RouterFaults
from ribway.router.shell.tape import TapeShell, tape_shell

LINED = ("left", "right", "roof")


def surveyed(project: Project) -> Project:
    """A project with every place from the bare floor and with its tape's holes and keep-outs.

    Args:
        project: as its file gives it.

    Returns:
        The same project if neither a tape nor a raised datum is in it. ``datum.up`` stays, so that what is written can
        be counted from where the user counts.

    Raises:
        ShellError: the tape makes no van.
    """
    vehicle, devices = project.vehicle, project.devices
    taped: TapeShell | None = None
    if vehicle.tape is not None:
        taped = tape_shell(vehicle.tape)
        datum = vehicle.datum.model_copy(
            update={"up": vehicle.tape.floor_m, "name": vehicle.tape.datum_name or vehicle.datum.name}
        )
        vehicle = vehicle.model_copy(update={"datum": datum})
        devices = tuple(_on_lining(device, vehicle) for device in devices)
    up_m = vehicle.datum.up
    if up_m:
        datum = vehicle.datum.model_copy(
            update={"name": f"{vehicle.datum.name}; heights from {1000 * up_m:.0f} mm above the bare floor"}
        )
        vehicle = _raised_vehicle(vehicle.model_copy(update={"datum": datum}), up_m)
        devices = tuple(one.model_copy(update={"at": raised(one.at, up_m)}) for one in devices)
    if taped is not None:
        vehicle = vehicle.model_copy(
            update={
                "openings": joined(taped.openings, vehicle.openings),
                "keep_outs": (*vehicle.keep_outs, *_unnamed(taped.keep_outs, vehicle.keep_outs)),
            }
        )
    if vehicle is project.vehicle:
        return project
    return project.model_copy(update={"vehicle": vehicle, "devices": devices})


def raised(place: Place, up_m: float) -> Place:
    """A place with its height counted from the bare floor.

    Args:
        place: its height counted from ``up_m`` above the bare floor.
        up_m: how far [m].
    """
    if place.on is not None:
        return place  # counted from its board's edge
    return place.model_copy(
        update={key: getattr(place, key) + up_m for key in ("up", "z") if getattr(place, key) is not None}
    )


def from_bare_floor(faults: RouterFaults, up_m: float) -> RouterFaults:
    """Faults of raised places, with a word on where their heights are counted from.

    Args:
        faults: as the router found them.
        up_m: how far above the bare floor the user counts heights from [m].

    Returns:
        The same faults; those that speak of a height say so where the user counts from elsewhere.
    """
    note = f" (heights here are from the bare floor, {1000 * up_m:.0f} mm lower than yours)"
    return RouterFaults(
        tuple(
            type(fault)(fault.place, fault.found, fault.accepted + note) if up_m and ", up " in fault.found else fault
            for fault in faults.faults
        )
    )


def joined(read: Iterable[OpeningEntry], written: Iterable[OpeningEntry]) -> tuple[OpeningEntry, ...]:
    """Opening facts of a tape with those written by name, which come first where both say something."""
    entries = {entry.name: entry for entry in read}
    for entry in written:
        known = entries.get(entry.name)
        said = {key: getattr(entry, key) for key in entry.model_fields_set}
        entries[entry.name] = entry if known is None else known.model_copy(update=said)
    return tuple(entries.values())


def _unnamed(found: Iterable[KeepOutEntry], written: Iterable[KeepOutEntry]) -> tuple[KeepOutEntry, ...]:
    names = {entry.name for entry in written}
    return tuple(entry for entry in found if entry.name not in names)


def _on_lining(device: Device, vehicle: Vehicle) -> Device:
    """A device on the lining: its wires end that far off the bare metal, unless its own stand-off is given."""
    tape, at = vehicle.tape, device.at
    if tape is None or tape.lining_thickness is None or at.wall not in LINED or at.stand_off is not None:
        return device
    stand_off = tape.rib.depth + tape.lining_thickness
    return device.model_copy(update={"at": at.model_copy(update={"stand_off": stand_off})})


def _raised_vehicle(vehicle: Vehicle, up_m: float) -> Vehicle:
    openings = tuple(
        one.model_copy(
            update={
                "at": None if one.at is None else raised(one.at, up_m),
                "path": tuple(raised(place, up_m) for place in one.path),
            }
        )
        for one in vehicle.openings
    )
    ways = tuple(
        one.model_copy(
            update={
                "at": None if one.at is None else raised(one.at, up_m),
                "path": tuple(raised(place, up_m) for place in one.path),
                "ends": tuple(raised(place, up_m) for place in one.ends),
            }
        )
        for one in vehicle.ways
    )
    furniture = tuple(
        one.model_copy(
            update={
                "corner": raised(one.corner, up_m),
                "opposite": raised(one.opposite, up_m),
                "entries": tuple(entry.model_copy(update={"at": raised(entry.at, up_m)}) for entry in one.entries),
            }
        )
        for one in vehicle.furniture
    )
    keep_outs = tuple(
        one.model_copy(update={"corner": raised(one.corner, up_m), "opposite": raised(one.opposite, up_m)})
        for one in vehicle.keep_outs
    )
    return vehicle.model_copy(
        update={"openings": openings, "ways": ways, "furniture": furniture, "keep_outs": keep_outs}
    )
