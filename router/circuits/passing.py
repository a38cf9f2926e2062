"""What devices pass on to circuits that hang on them, in the van's worst state; of a set never together only one counts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from ribway.models.circuits import NEGATIVES, Circuit, Device, Kind
from ribway.models.project import Project
from ribway.models.shop import Shop
from ribway.router.circuits.drawn import GENERATORS, at_other_volts, driven_a, limit_percent, nominal_v, own_amps
from ribway.sizing.feeders.states import STATES, Draw, FeederLoad, feeder_load


def device_amps(
    project: Project, devices: Mapping[str, Device], by_source: Mapping[str, Sequence[Circuit]]
) -> dict[str, tuple[float, float]]:
    """Running and starting current of every device, what it passes on to circuits of the feeding kind included."""
    found: dict[str, tuple[float, float]] = {}
    for circuit in project.circuits:
        if circuit.kind != "data":
            for load in circuit.loads:
                if load not in found:
                    volts, limit = nominal_v(circuit, project), limit_percent(circuit, project.shop)
                    shop = at_other_volts(circuit, project.shop)
                    found[load] = _passing(
                        devices[load], (volts, limit, shop), circuit.kind, project, devices, by_source
                    )
    for name in devices:
        if name not in found:
            limit = project.shop.drop.other
            at = (project.shop.volts, limit, project.shop)
            found[name] = _passing(devices[name], at, "dc", project, devices, by_source)
    return found


def _passing(
    device: Device,
    at: tuple[float, float, Shop | None],
    kind: Kind,
    project: Project,
    devices: Mapping[str, Device],
    by_source: Mapping[str, Sequence[Circuit]],
) -> tuple[float, float]:
    """A device's own current with what it passes on; ``at`` has the last arguments of `own_amps`."""
    run, start = own_amps(device, *at)
    below = draws_below(device, kind, project, devices, by_source)
    if not below:
        return run, start
    load = feeder_load(below)
    return run + load.worst.amps, run + load.worst.amps + max(start - run, load.start_a - load.worst.amps)


def feeder_of(device: Device, kind: Kind, project: Project) -> FeederLoad | None:
    """The states of what a board or another device passes on; None if it passes nothing on, or states its current."""
    devices = {one.id: one for one in project.devices}
    by_source: dict[str, list[Circuit]] = {}
    for circuit in project.circuits:
        by_source.setdefault(circuit.source, []).append(circuit)
    below = draws_below(device, kind, project, devices, by_source)
    return feeder_load(below) if below else None


def draws_below(
    device: Device,
    kind: Kind,
    project: Project,
    devices: Mapping[str, Device],
    by_source: Mapping[str, Sequence[Circuit]],
) -> list[Draw]:
    """All that hangs on a device in circuits of one kind, device by device, each set of never together as one.

    Args:
        device: what feeds them.
        kind: of the circuits.
        project, devices, by_source: the project, its devices by id, its circuits by what feeds them.

    Returns:
        Empty if the device makes its own current, or is a board that states its current (the user's diversity).
    """
    return _resolved(_below(device, kind, project, devices, by_source, ()))


def of_circuits(
    sources: Iterable[str],
    kind: Kind,
    project: Project,
    devices: Mapping[str, Device],
    by_source: Mapping[str, Sequence[Circuit]],
    without: Collection[str] = (),
) -> list[Draw]:
    """All that hangs on the circuits of one kind of some devices, whatever these are; see `draws_below`.

    Args:
        sources: ids of the devices.
        kind, project, devices, by_source: as in `draws_below`.
        without: loads that do not count.
    """
    hanging = [one for source in sources for one in _of_source(source, kind, project, devices, by_source, ())]
    return _resolved([one for one in hanging if one.draw.id.rpartition("/")[2] not in without])


@dataclass(frozen=True)
class _Hanging:
    """A draw, and the circuit nearest the source that is never loaded with others of a set."""

    draw: Draw
    apart: str = ""
    circuit: str = ""


def _below(
    device: Device,
    kind: Kind,
    project: Project,
    devices: Mapping[str, Device],
    by_source: Mapping[str, Sequence[Circuit]],
    above: tuple[str, ...],
) -> list[_Hanging]:
    if device.kind in GENERATORS or device.id in above:
        return []
    if device.kind == "board" and own_amps(device, 1.0)[0] > 0.0:
        return []
    return _of_source(device.id, kind, project, devices, by_source, above)


def _of_source(
    source: str,
    kind: Kind,
    project: Project,
    devices: Mapping[str, Device],
    by_source: Mapping[str, Sequence[Circuit]],
    above: tuple[str, ...],
) -> list[_Hanging]:
    out: list[_Hanging] = []
    for circuit in by_source.get(source, []):
        if circuit.kind == kind and circuit.pattern not in NEGATIVES:
            mine = _of_circuit(circuit, project, devices, by_source, (*above, source))
            if circuit.never_with is not None:  # sets within it first, each as one draw
                mine = [_Hanging(draw, circuit.never_with, circuit.id) for draw in _resolved(mine)]
            out += mine
    return out


def _of_circuit(
    circuit: Circuit,
    project: Project,
    devices: Mapping[str, Device],
    by_source: Mapping[str, Sequence[Circuit]],
    above: tuple[str, ...],
) -> list[_Hanging]:
    out: list[_Hanging] = []
    for load in circuit.loads:
        one, name = devices[load], f"{circuit.id}/{load}"
        if circuit.pattern == "control":
            out.append(_Hanging(Draw(name, dict.fromkeys(STATES, circuit.control_amps))))
            continue
        shop = at_other_volts(circuit, project.shop)
        run, start = own_amps(one, nominal_v(circuit, project), limit_percent(circuit, project.shop), shop)
        gives = one.kind in ("charger", "source") and circuit.load_can_feed
        given = driven_a(one) if gives else None
        if given is not None:
            run = start = given
        if run > 0.0 or start > 0.0:
            states = one.states or STATES
            amps = dict.fromkeys(states, run)
            out.append(_Hanging(Draw(name, amps, gives, one.share / 100.0, start if start > run else None)))
        out += _below(one, circuit.kind, project, devices, by_source, above)
    return out


def _resolved(hanging: Sequence[_Hanging]) -> list[Draw]:
    """Draws that add up: the circuits of each set, on whatever boards they hang, as one."""
    sets: dict[str, dict[str, list[Draw]]] = {}
    for one in hanging:
        if one.apart:
            sets.setdefault(one.apart, {}).setdefault(one.circuit, []).append(one.draw)
    alone = [one.draw for one in hanging if not one.apart]
    return alone + [_one_of(name, tuple(circuits.values())) for name, circuits in sets.items()]


def _one_of(name: str, circuits: Sequence[Sequence[Draw]]) -> Draw:
    """Circuits that are never loaded together as one draw: in each state the worst of them."""
    loads = [feeder_load(draws) for draws in circuits]
    amps = {state: max(one.states[at].amps for one in loads) for at, state in enumerate(STATES)}
    start = max(one.start_a for one in loads)
    return Draw(f"one of {name}", amps, start_a=start if start > max(amps.values()) else None)
