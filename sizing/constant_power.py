"""Loads that draw the same power at any voltage, so more current the more is lost on the way."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ribway.sizing.errors import BadNumberError, NoOperatingPointError, check_number


@dataclass(frozen=True)
class OperatingPoint:
    """Where a constant-power load settles: volts at the load, amps, volts lost."""

    load_v: float
    amps: float
    lost_v: float


def constant_power(source_v: float, loop_resistance_ohm: float, power_w: float) -> OperatingPoint:
    """Voltage and current of a load that draws the same power at any voltage (inverter, converter, fridge electronics).

    Args:
        source_v: voltage at the source [V].
        loop_resistance_ohm: there and back [ohm].
        power_w: power taken at the load's terminals [W].

    Returns:
        The stable (upper) of the two solutions.

    Raises:
        NoOperatingPointError: if 4 P R > V^2: the wires cannot deliver that power at any voltage.

    Source: V = (Vs + sqrt(Vs^2 - 4 P R))/2, from V (Vs - V)/R = P.
    """
    check_number(source_v, "source voltage [V]", positive=True)
    check_number(loop_resistance_ohm, "loop resistance [ohm]")
    check_number(power_w, "power [W]")
    inside = source_v**2 - 4.0 * power_w * loop_resistance_ohm
    if inside < 0.0:
        most_w = source_v**2 / (4.0 * loop_resistance_ohm)
        raise NoOperatingPointError(
            f"{power_w:g} W cannot be fed through {loop_resistance_ohm:.4g} ohm from {source_v:g} V: "
            f"at most {most_w:.4g} W arrive; take thicker or shorter wire, or a higher voltage"
        )
    load_v = (source_v + math.sqrt(inside)) / 2.0
    amps = power_w / load_v
    return OperatingPoint(load_v, amps, amps * loop_resistance_ohm)


def amps_of_power(power_w: float, nominal_v: float, limit_percent: float) -> float:
    """The most a constant-power load draws while its drop stays inside the limit: to size it as constant current.

    Args:
        power_w: power [W].
        nominal_v: nominal voltage [V].
        limit_percent: drop limit [%], below 100.

    Returns:
        Current [A] at the lowest voltage the limit allows; a little too much elsewhere, never too little.
    """
    check_number(power_w, "power [W]")
    check_number(nominal_v, "nominal voltage [V]", positive=True)
    check_number(limit_percent, "drop limit [%]")
    if limit_percent >= 100.0:
        raise BadNumberError(f"drop limit is {limit_percent!r} %; give one below 100 %")
    return power_w / (nominal_v * (1.0 - limit_percent / 100.0))
