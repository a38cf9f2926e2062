"""What devices draw: their own current, and what they pass on to circuits that hang on them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ribway.models.circuits import Circuit, Device, Kind
from ribway.models.project import Project

GENERATORS = frozenset({"source", "inverter", "charger"})
"""What makes its own current: neither load nor drop of what feeds it reaches what it feeds."""

Currents = Mapping[str, tuple[float, float]]


def device_amps(
    project: Project, devices: Mapping[str, Device], by_source: Mapping[str, Sequence[Circuit]]
) -> dict[str, tuple[float, float]]:
    """Running and starting current of every device, what it passes on to circuits of the feeding kind included."""
    found: dict[str, tuple[float, float]] = {}

    def of(name: str, volts: float, kind: Kind, above: tuple[str, ...]) -> tuple[float, float]:
        if name in found:
            return found[name]
        device = devices[name]
        run, start = own_amps(device, volts)
        # A board with currents of its own keeps them (the user's diversity); anything else adds what it passes on.
        if device.kind not in GENERATORS and not (device.kind == "board" and run > 0.0) and name not in above:
            below = [
                (circuit.control_amps, circuit.control_amps)
                if circuit.pattern == "control"
                else of(load, circuit.volts or volts, kind, (*above, name))
                for circuit in by_source.get(name, [])
                if circuit.kind == kind
                for load in circuit.loads
            ]
            steps = [start - run, *(begin - amps for amps, begin in below)]
            run += sum(amps for amps, _ in below)
            start = run + max(steps)
        found[name] = (run, start)
        return found[name]

    for circuit in project.circuits:
        if circuit.kind != "data":
            for load in circuit.loads:
                of(load, nominal_v(circuit, project), circuit.kind, (circuit.source,))
    for name in devices:
        of(name, project.shop.volts, "dc", ())
    return found


def nominal_v(circuit: Circuit, project: Project) -> float:
    """Nominal voltage of a circuit [V]."""
    return circuit.volts or (230.0 if circuit.kind == "ac" else project.shop.volts)


def own_amps(device: Device, volts: float) -> tuple[float, float]:
    """What a device itself draws, running and starting [A]."""
    run = device.amps if device.amps is not None else (device.watts or 0.0) / volts
    return run, max(device.start_amps or 0.0, run)


def amps_of(circuit: Circuit, names: Iterable[str], amps: Currents) -> list[tuple[float, float]]:
    """What some devices of a circuit draw, running and starting [A]; behind a control lead it is the relay's coil."""
    if circuit.kind == "data":
        return []
    coil = (circuit.control_amps, circuit.control_amps)
    return [coil if circuit.pattern == "control" else amps[name] for name in names]
