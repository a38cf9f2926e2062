"""Volts at every device, running and while motors start, held against its cut-out voltage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.sizing.errors import NoOperatingPointError
from ribway.sizing.network.parts import Network
from ribway.sizing.network.solve import Solution, solve_network

ALL_AT_ONCE = "all that start, at once"


@dataclass(frozen=True)
class DeviceVolts:
    """One device.

    Attributes:
        load: its id.
        running_v: with everything running [V].
        lowest_v: the lowest it sees while anything starts [V]; as running if nothing does.
        lowest_when: the load whose start makes it lowest; empty if running is the lowest.
        cut_out_v: its cut-out voltage [V], or None.
        fed: False if a switch cuts it off.
    """

    load: str
    running_v: float
    lowest_v: float
    lowest_when: str
    cut_out_v: float | None
    fed: bool

    @property
    def stays_on(self) -> bool | None:
        """Whether it stays above its cut-out voltage; None if that is not known or it is switched off."""
        if self.cut_out_v is None or not self.fed:
            return None
        return min(self.running_v, self.lowest_v) >= self.cut_out_v

    @property
    def says(self) -> str:
        """One clause for people."""
        if not self.fed:
            return f"{self.load}: switched off"
        text = f"{self.load}: {self.running_v:.2f} V running"
        if self.lowest_when:
            text += f", {self.lowest_v:.2f} V while {self.lowest_when} starts"
        if self.stays_on is False:
            text += f"; cuts out below {self.cut_out_v:g} V"
        return text


def device_volts(network: Network, *, together: bool = False) -> tuple[DeviceVolts, ...]:
    """Volts at every load of a network, everything running, and while motors start.

    Args:
        network: the network.
        together: all loads that have a starting current start at once; else one after the other, the rest running.

    Returns:
        One entry a load, in the network's order.

    Raises:
        NotRadialError, NoOperatingPointError: see `solve_network`.
    """
    running = solve_network(network)
    starters = [load.id for load in network.loads if load.start_a is not None and running.loads[load.id].fed]
    starts: list[tuple[str, Solution]]
    if together and starters:
        starts = [(ALL_AT_ONCE, _started(network, ALL_AT_ONCE, starters))]
    else:
        starts = [(one, _started(network, one, [one])) for one in starters]
    out: list[DeviceVolts] = []
    for load in network.loads:
        at = running.loads[load.id]
        lowest_v, when = at.volts, ""
        for name, solved in starts:
            if solved.loads[load.id].volts < lowest_v:
                lowest_v, when = solved.loads[load.id].volts, name
        out.append(DeviceVolts(load.id, at.volts, lowest_v, when, load.cut_out_v, at.fed))
    return tuple(out)


def _started(network: Network, name: str, starters: Sequence[str]) -> Solution:
    try:
        return solve_network(network, frozenset(starters))
    except NoOperatingPointError as fault:
        raise NoOperatingPointError(f"while {name} starts: {fault}") from fault
