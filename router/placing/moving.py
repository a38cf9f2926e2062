"""A device taken to another place: what goes with it, and the project with it there."""

from __future__ import annotations

from ribway.models.circuits import Device
from ribway.models.place import Place
from ribway.models.project import Project
from ribway.router.errors import NameFault
from ribway.router.faults import Collector, RouterFaults


def device_of(project: Project, name: str) -> Device:
    """The device of a name that can be put elsewhere.

    Args:
        project: what the user said.
        name: its id.

    Raises:
        RouterFaults: there is no such device, or its place hangs on something else.
    """
    known = {device.id: device for device in project.devices}
    device = known.get(name)
    if device is None:
        raise _refused(f"devices / {name}", f"there is no device {name}", Collector.near(name, known))
    if device.at.on is not None:
        raise _refused(f"devices / {name} / at", f"{name} is fixed on {device.at.on}", f"place {device.at.on} instead")
    if device.at.outside is not None:
        raise _refused(
            f"devices / {name} / at", f"{name} stands outside the model", "a device on a wall, roof or floor"
        )
    for piece in project.vehicle.furniture:
        if name in piece.devices:
            where = f"{name} stands in furniture {piece.name}"
            raise _refused(f"devices / {name} / at", where, "a device on a wall, roof or floor")
    return device


def _refused(place: str, found: str, accepted: str) -> RouterFaults:
    return RouterFaults((NameFault(place, found, accepted),))


def moved_with(project: Project, name: str) -> tuple[str, ...]:
    """A device and all that is fixed on it, itself first.

    Args:
        project: what the user said.
        name: id of the device.
    """
    return (name, *(device.id for device in project.devices if device.at.on == name))


def moved_to(project: Project, name: str, place: Place) -> Project:
    """The project with a device at another place; what is fixed on it goes along.

    Args:
        project: what the user said.
        name: id of the device.
        place: where it goes, counted as the project counts.
    """
    return project.model_copy(
        update={
            "devices": tuple(
                device.model_copy(update={"at": place}) if device.id == name else device for device in project.devices
            )
        }
    )
