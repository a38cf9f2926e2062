"""Batteries at the fed end of a circuit: what flows to or from them if nobody says it.

Either battery may be the only one that is charged. So the cable to the far one is made for all that the van takes from both
or charges them with, whichever is more, in the worst of its states.
"""

from __future__ import annotations

from ribway.models.circuits import NEGATIVES, Circuit, Device
from ribway.models.project import Project
from ribway.router.circuits.drawn import is_battery
from ribway.router.circuits.passing import of_circuits
from ribway.sizing.feeders.states import feeder_load


def far_batteries(project: Project) -> dict[str, Circuit]:
    """Batteries at the fed end of a DC circuit, with that circuit.

    Args:
        project: what the user said.
    """
    devices = {device.id: device for device in project.devices}
    return {
        load: circuit
        for circuit in project.circuits
        if circuit.kind == "dc" and circuit.load_can_feed and circuit.pattern not in NEGATIVES
        for load in circuit.loads
        if is_battery(devices[load])
    }


def with_banks(project: Project) -> Project:
    """The project with the current of each battery at a fed end; what is stated stays.

    Args:
        project: what the user said.
    """
    banks = far_batteries(project)
    devices = {device.id: device for device in project.devices}
    unsaid = [name for name in banks if devices[name].amps is None and devices[name].watts is None]
    if not unsaid:
        return project
    found: dict[str, float] = {}
    for name in unsaid:
        heads = {_head(banks[name].source, project, devices), name}
        draws = of_circuits(sorted(heads), "dc", project, banks)
        found[name] = feeder_load(draws).worst.amps if draws else 0.0
    return project.model_copy(
        update={
            "devices": tuple(
                device.model_copy(update={"amps": found[device.id]}) if found.get(device.id) else device
                for device in project.devices
            )
        }
    )


def _head(name: str, project: Project, devices: dict[str, Device]) -> str:
    """What stands at the head of everything that leads to a device."""
    seen = {name}
    while devices[name].kind not in ("source", "charger", "inverter"):
        above = [
            circuit.source
            for circuit in project.circuits
            if circuit.kind == "dc" and circuit.pattern not in NEGATIVES and name in circuit.loads
        ]
        if not above or above[0] in seen:
            break
        name = above[0]
        seen.add(name)
    return name
