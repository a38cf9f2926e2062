"""What devices draw by themselves, by what their plates say, and at which voltage."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ribway.models.circuits import Circuit, Device
from ribway.models.project import Project
from ribway.models.shop import Shop
from ribway.sizing.constant_power import amps_of_power
from ribway.sizing.feeders.converters import charger_input_a, inverter_input_a
from ribway.sizing.feeders.solar import Panel, SolarRun, solar_run

GENERATORS = frozenset({"source", "inverter", "charger"})
"""What makes its own current: neither load nor drop of what feeds it reaches what it feeds."""

Currents = Mapping[str, tuple[float, float]]
AC_LIMIT_PERCENT = 5.0


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
