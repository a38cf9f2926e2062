"""What devices draw: their own current, and what they pass on to circuits that hang on them, in the van's worst state."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ribway.models.circuits import NEGATIVES, Circuit, Device, Kind
from ribway.models.project import Project
from ribway.models.shop import Shop
from ribway.sizing.constant_power import amps_of_power
from ribway.sizing.feeders.converters import charger_input_a, inverter_input_a
from ribway.sizing.feeders.solar import Panel, SolarRun, solar_run
from ribway.sizing.feeders.states import STATES, Draw, FeederLoad, feeder_load

GENERATORS = frozenset({"source", "inverter", "charger"})
"""What makes its own current: neither load nor drop of what feeds it reaches what it feeds."""

Currents = Mapping[str, tuple[float, float]]
AC_LIMIT_PERCENT = 5.0


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
    above: tuple[str, ...] = (),
) -> list[Draw]:
    """All that hangs on a device in circuits of one kind, device by device, each set of never together as one.

    Args:
        device: what feeds them.
        kind: of the circuits.
        project, devices, by_source: the project, its devices by id, its circuits by what feeds them.
        above: devices that lead here, so that a ring ends.

    Returns:
        Empty if the device makes its own current, or is a board that states its current (the user's diversity).
    """
    if device.kind in GENERATORS or device.id in above:
        return []
    if device.kind == "board" and own_amps(device, 1.0)[0] > 0.0:
        return []
    return of_circuits(device.id, kind, project, devices, by_source, above)


def of_circuits(
    source: str,
    kind: Kind,
    project: Project,
    devices: Mapping[str, Device],
    by_source: Mapping[str, Sequence[Circuit]],
    above: tuple[str, ...] = (),
) -> list[Draw]:
    """All that hangs on the circuits of one kind of a device, whatever that is; see `draws_below`."""
    out: list[Draw] = []
    sets: dict[str, list[list[Draw]]] = {}
    for circuit in by_source.get(source, []):
        if circuit.kind == kind and circuit.pattern not in NEGATIVES:
            mine = _of_circuit(circuit, project, devices, by_source, (*above, source))
            if circuit.never_with is None:
                out += mine
            else:
                sets.setdefault(circuit.never_with, []).append(mine)
    return out + [_one_of(name, circuits) for name, circuits in sets.items()]


def _of_circuit(
    circuit: Circuit,
    project: Project,
    devices: Mapping[str, Device],
    by_source: Mapping[str, Sequence[Circuit]],
    above: tuple[str, ...],
) -> list[Draw]:
    out: list[Draw] = []
    for load in circuit.loads:
        one, name = devices[load], f"{circuit.id}/{load}"
        if circuit.pattern == "control":
            out.append(Draw(name, dict.fromkeys(STATES, circuit.control_amps)))
            continue
        shop = at_other_volts(circuit, project.shop)
        run, start = own_amps(one, nominal_v(circuit, project), limit_percent(circuit, project.shop), shop)
        gives = one.kind in ("charger", "source") and circuit.load_can_feed
        given = driven_a(one) if gives else None
        if given is not None:
            run = start = given
        if run > 0.0 or start > 0.0:
            states = one.states or STATES
            out.append(Draw(name, dict.fromkeys(states, run), gives, one.share / 100.0, start if start > run else None))
        out += draws_below(one, circuit.kind, project, devices, by_source, above)
    return out


def _one_of(name: str, circuits: Sequence[Sequence[Draw]]) -> Draw:
    """Circuits that are never loaded together as one draw: in each state the worst of them."""
    loads = [feeder_load(draws) for draws in circuits if draws]
    amps = {state: max((one.states[at].amps for one in loads), default=0.0) for at, state in enumerate(STATES)}
    start = max((one.start_a for one in loads), default=0.0)
    return Draw(f"one of {name}", amps, start_a=start if start > max(amps.values()) else None)


def nominal_v(circuit: Circuit, project: Project) -> float:
    """Nominal voltage of a circuit [V]."""
    return circuit.volts or (230.0 if circuit.kind == "ac" else project.shop.volts)


def limit_percent(circuit: Circuit, shop: Shop) -> float:
    """Greatest drop of a circuit that carries power [%]."""
    if circuit.drop == "critical":
        return shop.drop.critical
    if circuit.drop == "other":
        return AC_LIMIT_PERCENT if circuit.kind == "ac" else shop.drop.other
    return circuit.drop


def at_other_volts(circuit: Circuit, shop: Shop) -> Shop | None:
    """The shop, for a circuit whose devices' amps are to be converted from `amps_at`: DC of the van's own voltage."""
    return shop if circuit.kind == "dc" and circuit.volts is None else None


def own_amps(device: Device, volts: float, limit: float = 0.0, shop: Shop | None = None) -> tuple[float, float]:
    """What a device itself draws from what feeds it, running and starting [A].

    Args:
        device: the device.
        volts: nominal voltage of what feeds it [V].
        limit: drop limit of that [%]: a load of constant power draws most at the lowest voltage it allows, or at the one
            at which it gives up where that is lower (from a battery nearly empty).
        shop: whose setting says at which voltage amps are stated; None to take them as they are.
    """
    if device.amps is None and device.output is not None:
        run = _input_a(device, volts)
    elif device.amps is None and device.watts is not None and device.load == "constant power":
        run = max(amps_of_power(device.watts, volts, limit), device.watts / (device.cut_out_volts or volts))
    else:
        run = device.amps if device.amps is not None else (device.watts or 0.0) / volts
    start = device.start_amps or 0.0
    if shop is not None and shop.amps_at is not None:
        share = shop.amps_at / volts
        run, start = run * share if device.amps is not None else run, start * share
    return run, max(start, run)


def _input_a(device: Device, volts: float) -> float:
    output = device.output
    if output is None:
        return 0.0
    efficiency = output.efficiency / 100.0
    if output.watts is not None:
        return inverter_input_a(output.watts, efficiency, min(output.lowest_input, volts))
    if output.amps is None or output.volts is None:
        return 0.0
    return charger_input_a(output.volts, output.amps, efficiency, min(output.lowest_input, volts))


def solar_of(device: Device) -> SolarRun | None:
    """What the run from a solar entry sees; None if its panels are not described."""
    said = device.panels
    if said is None:
        return None
    panel = Panel(
        said.open_volts, said.short_amps, said.best_volts, said.best_amps, -said.volts_per_kelvin / 100.0,
        said.greatest_fuse,
    )  # fmt: skip
    return solar_run(panel, said.in_series, said.strings, said.coldest, said.hottest_cell, said.controller_volts)


def is_battery(device: Device) -> bool:
    """Whether a device is a source that does not limit its own current: no panels behind it."""
    return device.kind == "source" and device.panels is None


def limited_a(device: Device, circuit: Circuit, volts: float, shop: Shop) -> float | None:
    """What a device that limits its own current drives into a short at most [A]; None for a battery, or if nobody knows.

    A charger of which only its plate's current is known is taken by that: in and out differ, and the greater is stated.

    Args:
        device: a source or a charger.
        circuit: that it drives.
        volts: nominal voltage of that [V].
        shop: its settings.
    """
    if is_battery(device):
        return None
    given = driven_a(device)
    if given is not None:
        return given
    return own_amps(device, volts, limit_percent(circuit, shop), at_other_volts(circuit, shop))[0] or None


def driven_a(device: Device) -> float | None:
    """What a device drives into a circuit by itself [A]: a charger's output, a solar field's short circuit in strong sun."""
    solar = solar_of(device)
    if solar is not None:
        return solar.short_a
    return device.output.amps if device.output is not None else None


def amps_of(
    circuit: Circuit, names: Iterable[str], amps: Currents, devices: Mapping[str, Device]
) -> list[tuple[float, float]]:
    """What some devices of a circuit draw or drive into it, running and starting [A].

    Behind a control lead it is the relay's coil; from a solar field what the sun can drive; from a charger at the fed end
    what it gives.
    """
    if circuit.kind == "data":
        return []
    if circuit.pattern == "control":
        return [(circuit.control_amps, circuit.control_amps) for _ in names]
    solar = solar_of(devices[circuit.source])
    if solar is not None:
        return [(solar.short_a, solar.short_a) if place == 0 else (0.0, 0.0) for place, _ in enumerate(names)]
    out: list[tuple[float, float]] = []
    for name in names:
        given = driven_a(devices[name]) if circuit.load_can_feed else None
        out.append(amps[name] if given is None else (given, given))
    return out
