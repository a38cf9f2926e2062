"""Everything in a project that nobody has confirmed, for a list to go through on the van."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ribway.models.circuits import Device
from ribway.models.project import Project

_WORDS = {
    "amps": "running current",
    "watts": "power",
    "start_amps": "current while starting",
    "supply": "when it has power",
    "place": "place",
    "stud": "stud of its lugs",
    "board": "fed from",
    "switch": "switched by",
    "fuse": "fuse",
}


@dataclass(frozen=True)
class Assumption:
    """A value to be confirmed.

    Attributes:
        about: id of the device or circuit.
        name: what it is called.
        what: which value, in words.
        value: the value, as it was written.
        source: where it comes from.
        error_m: how far off a place may be [m]; 0 for other values.
    """

    about: str
    name: str
    what: str
    value: str
    source: str
    error_m: float = 0.0


def assumptions(project: Project) -> tuple[Assumption, ...]:
    """List what nobody has confirmed.

    Args:
        project: the project, its sheet already in it.

    Returns:
        What ribway filled in, in the order of the sheet; then currents and powers that somebody wrote down and nobody
        read off the plate, in the order of the devices.
    """
    names = {circuit.id: circuit.name for circuit in project.circuits}
    names.update({device.id: device.name for device in project.devices})
    found = [
        Assumption(
            entry.about,
            names.get(entry.about, entry.about),
            _WORDS.get(entry.what, entry.what),
            entry.value,
            entry.source,
            entry.error or 0.0,
        )
        for entry in project.assumed
    ]
    filled = {(entry.about, entry.what) for entry in project.assumed}
    return (*found, *(one for device in project.devices for one in _unread(device, filled)))


def _unread(device: Device, filled: set[tuple[str, str]]) -> Iterator[Assumption]:
    if device.confirmed:
        return
    source = "written down, not read off the plate"
    for key, unit in (("amps", "A"), ("watts", "W"), ("start_amps", "A")):
        value: float | None = getattr(device, key)
        if value is not None and (device.id, key) not in filled:
            yield Assumption(device.id, device.name, _WORDS[key], f"{value:g} {unit}", source)
