"""What one project says otherwise than another, and whether that is a small change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ribway.models.base import Data
from ribway.models.circuits import Device
from ribway.models.project import Project

SHELL_KEYS = ("preset", "parameters", "tape", "mesh", "mesh_unit", "mesh_up", "parts", "datum", "name")
"""What of the vehicle makes its shell."""
NAMED = {
    "circuits": "circuit", "vehicle.openings": "opening", "vehicle.keep_outs": "keep-out", "vehicle.ways": "way",
    "vehicle.furniture": "furniture",
}  # fmt: skip


@dataclass(frozen=True)
class Differences:
    """What changed from one project to another.

    Args:
        words: one for each thing that changed: ``device fridge moved``.
        moved: ids of devices that have another place.
        large: why all is to be planned from nothing; empty if the change is a small one.
    """

    words: tuple[str, ...]
    moved: tuple[str, ...]
    large: str


def differences(old: Project, new: Project) -> Differences:
    """What changed from one project to another.

    Args:
        old: the earlier project.
        new: the later one.
    """
    if old.shop != new.shop:
        return Differences(("the workshop's rules changed",), (), "the workshop's rules changed")
    before, after = old.vehicle, new.vehicle
    if any(getattr(before, key) != getattr(after, key) for key in SHELL_KEYS):
        return Differences(("the shell changed",), (), "the shell changed")
    if after.mesh is not None and before.openings != after.openings:
        return Differences(("openings of the mesh changed",), (), "openings of a mesh are part of its shell")
    moved = tuple(_moved(old.devices, new.devices))
    words = [f"device {name} moved" for name in moved]
    words += _things(_without_places(old.devices), _without_places(new.devices), "device")
    for path, kind in NAMED.items():
        words += _things(_named(_at(old, path)), _named(_at(new, path)), kind)
    if before.lining != after.lining:
        words.append("the lining changed")
    if old.runs != new.runs:
        words.append("what is said of runs changed")
    if old.looms != new.looms:
        words.append("what is wanted of looms changed")
    rest = ("name", "revision", "date", "equipment", "assumed", "unplanned", "alternatives")
    words += [f"{key} changed" for key in rest if getattr(old, key) != getattr(new, key)]
    return Differences(tuple(words), moved, "")


def _moved(old: Sequence[Device], new: Sequence[Device]) -> Iterator[str]:
    places = {device.id: device.at for device in old}
    for device in new:
        if device.id in places and places[device.id] != device.at:
            yield device.id


def _without_places(devices: Sequence[Device]) -> dict[str, Data]:
    return {device.id: device.model_copy(update={"at": None}) for device in devices}


def _at(project: Project, path: str) -> Sequence[Data]:
    found: object = project
    for key in path.split("."):
        found = getattr(found, key)
    return found if isinstance(found, tuple) else ()


def _named(things: Sequence[Data]) -> dict[str, Data]:
    return {str(getattr(one, "id", None) or getattr(one, "name", number)): one for number, one in enumerate(things)}


def _things(old: Mapping[str, Data], new: Mapping[str, Data], kind: str) -> Iterator[str]:
    for name in {**old, **new}:
        if name not in new:
            yield f"{kind} {name} removed"
        elif name not in old:
            yield f"{kind} {name} added"
        elif old[name] != new[name]:
            yield f"{kind} {name} changed"
