"""The same van at another system voltage: what scales by itself, what has to be bought anew, and what is not known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ribway.models.circuits import Circuit, Device
from ribway.models.project import Project


@dataclass(frozen=True)
class AtVolts:
    """A project at another voltage.

    Args:
        project: with that voltage.
        notes: what was taken for granted, in words.
    """

    project: Project
    notes: tuple[str, ...]


def at_volts(project: Project, volts: float) -> AtVolts:
    """A project with its system voltage changed.

    Every device is taken to need the same power. What says its watts draws what these need at the new voltage; amps are
    converted from the voltage they are stated at. What was stated for the old voltage alone is converted or left out, and
    told.

    Args:
        project: what the user said.
        volts: the new system voltage [V].
    """
    old = project.shop.volts
    share = volts / old
    own = {name for one in project.circuits if _of_system(one, project) for name in (one.source, *one.loads)}
    devices = tuple(_device(one, share) if one.id in own else one for one in project.devices)
    circuits = tuple(_circuit(one) if _of_system(one, project) else one for one in project.circuits)
    amps_at = project.shop.amps_at or old
    shop = project.shop.model_copy(update={"volts": volts, "amps_at": amps_at})
    changed = project.model_copy(update={"shop": shop, "devices": devices, "circuits": circuits})
    return AtVolts(changed, tuple(_notes(project, own, old, volts)))


def _of_system(circuit: Circuit, project: Project) -> bool:
    """Whether a circuit has the van's own voltage: what a charger gives is its own, whatever it is."""
    if circuit.kind != "dc" or circuit.volts is None:
        return circuit.kind == "dc"
    converted = any(one.id == circuit.source and one.kind == "charger" for one in project.devices)
    return circuit.volts == project.shop.volts and not converted


def _device(device: Device, share: float) -> Device:
    update: dict[str, object] = {"maker": None}
    if device.cut_out_volts is not None:
        update["cut_out_volts"] = device.cut_out_volts * share
    if device.output is not None:
        output: dict[str, float] = {"lowest_input": device.output.lowest_input * share}
        if device.output.volts is not None and device.kind == "charger":
            output["volts"] = device.output.volts * share
            output["amps"] = (device.output.amps or 0.0) / share
        update["output"] = device.output.model_copy(update=output)
    return device.model_copy(update=update)


def _circuit(circuit: Circuit) -> Circuit:
    return circuit.model_copy(update={"fuse": None, "far_fuse": None, "volts": None})


def _notes(project: Project, own: set[str], old: float, volts: float) -> Iterator[str]:
    devices = [one for one in project.devices if one.id in own]
    drawing = [one for one in devices if one.kind not in ("source", "board", "switch", "joint", "earth point")]
    by_amps = [one for one in drawing if one.amps is not None and one.load != "constant power"]
    yield from _told(
        by_amps,
        f"stated in amps, for {project.shop.amps_at or old:g} V: taken to need the same power at {volts:g} V; buy the "
        f"{volts:g} V kind, or reckon a converter with its loss",
    )
    resistive = [one for one in drawing if one.amps is None and one.watts is not None and one.load == "resistance"]
    yield from _told(resistive, f"a resistance: the {volts:g} V kind of the same watts is needed")
    yield from _told([one for one in devices if one.kind == "source"], f"has to give {volts:g} V")
    yield from _told(
        [one for one in devices if one.cut_out_volts is not None], "cut-out volts scaled with the system's"
    )
    yield from _told(
        [one for one in devices if one.maker is not None], f"its maker's wires are for {old:g} V: not held"
    )
    yield from _told(
        [one for one in devices if one.output is not None], "input and charging volts scaled with the system's"
    )
    fused = [
        one.id for one in project.circuits if _of_system(one, project) and (one.fuse, one.far_fuse) != (None, None)
    ]
    if fused:
        yield f"{', '.join(fused)}: stated fuses are for {old:g} V; chosen anew"
    kept = [one.id for one in project.circuits if _of_system(one, project) and (one.least or one.cable)]
    if kept:
        yield f"{', '.join(kept)}: stated cable or least size kept; it may be more than {volts:g} V needs"
    kept_v = [one for one in project.circuits if one.kind == "dc" and not _of_system(one, project)]
    others = [f"{one.id} {one.volts:g} V" for one in kept_v]
    if others:
        yield f"{', '.join(others)}: own voltage kept"


def _told(devices: list[Device], what: str) -> Iterator[str]:
    if devices:
        yield f"{', '.join(one.id for one in devices)}: {what}"
