"""What switches the power of every device and circuit: said, or followed from the source outwards.

A source is always live unless it says otherwise; what hangs behind a switch in a feed to a board is on the main switch;
all else has the class of what feeds it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ribway.models.circuits import NEGATIVES, Circuit, Device, Supply
from ribway.models.project import Project


@dataclass(frozen=True)
class Misfit:
    """Something that asks for another class than it gets.

    Args:
        about: device or circuit.
        wants: its own class.
        gets: class of what it hangs on.
        board: what it hangs on.
        circuit: through which circuit.
    """

    about: str
    wants: Supply
    gets: Supply
    board: str
    circuit: str


@dataclass(frozen=True)
class Supplies:
    """Classes of a project.

    Args:
        circuits: by circuit id; None for data.
        boards: what devices that feed circuits pass on, by device id.
        misfits: what hangs on the wrong class.
    """

    circuits: Mapping[str, Supply | None]
    boards: Mapping[str, Supply]
    misfits: tuple[Misfit, ...]


def supplies_of(project: Project) -> Supplies:
    """Classes of all circuits, and what does not agree with them.

    Args:
        project: what the user said; control circuits apart.
    """
    devices = {device.id: device for device in project.devices}
    powered = [circuit for circuit in project.circuits if circuit.kind != "data" and circuit.pattern not in NEGATIVES]
    fed_by = {load: circuit for circuit in powered for load in circuit.loads if devices[load].kind != "source"}
    boards: dict[str, Supply] = {}
    for circuit in powered:
        boards[circuit.source] = _passed_on(circuit.source, devices, fed_by, ())
    circuits: dict[str, Supply | None] = {circuit.id: None for circuit in project.circuits}
    misfits: list[Misfit] = []
    for circuit in powered:
        gets = boards[circuit.source]
        wants = {devices[load].supply for load in circuit.loads if devices[load].kind not in ("source", "board")}
        said = circuit.supply or (wants.pop() if len(wants) == 1 else None)
        circuits[circuit.id] = said or gets
        if circuit.supply is not None and circuit.supply != gets:
            misfits.append(Misfit(circuit.id, circuit.supply, gets, circuit.source, circuit.id))
            continue
        misfits += [
            Misfit(load, want, gets, circuit.source, circuit.id)
            for load in circuit.loads
            if (want := devices[load].supply) is not None and want != gets and devices[load].kind == "load"
        ]
    return Supplies(circuits, boards, tuple(misfits))


def _passed_on(
    name: str, devices: Mapping[str, Device], fed_by: Mapping[str, Circuit], above: tuple[str, ...]
) -> Supply:
    """The class that a device passes on to what it feeds."""
    device, circuit = devices[name], fed_by.get(name)
    if device.supply is not None:
        return device.supply
    if circuit is None or name in above:
        return "always"
    before = circuit.loads[: circuit.loads.index(name)]
    if circuit.pattern in ("chain", "switched chain") and any(devices[load].kind == "switch" for load in before):
        return circuit.supply or "main switch"
    return circuit.supply or _passed_on(circuit.source, devices, fed_by, (*above, name))
