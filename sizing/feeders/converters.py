"""What chargers, converters and inverters draw from their input at the lowest voltage they see there."""

from __future__ import annotations

from ribway.sizing.errors import BadNumberError, check_number


def _check_efficiency(efficiency: float) -> None:
    if not 0.0 < efficiency <= 1.0:
        raise BadNumberError(f"efficiency is {efficiency!r}; give a share above 0, up to 1 (0.9, not 90)")


def charger_input_a(output_v: float, output_a: float, efficiency: float, lowest_input_v: float) -> float:
    """Input current of a charger or converter from DC to DC.

    Args:
        output_v: highest voltage it gives [V].
        output_a: current it gives [A].
        efficiency: share of the power that arrives, 0 to 1.
        lowest_input_v: lowest voltage at its input terminals while it works [V].

    Returns:
        Input current [A].

    Source: power in = power out / efficiency.
    """
    check_number(output_v, "output voltage [V]", positive=True)
    check_number(output_a, "output current [A]")
    _check_efficiency(efficiency)
    check_number(lowest_input_v, "lowest input voltage [V]", positive=True)
    return output_v * output_a / (efficiency * lowest_input_v)


def inverter_input_a(output_w: float, efficiency: float, lowest_input_v: float) -> float:
    """Input current of an inverter.

    Args:
        output_w: what it gives [W]; its surge to size for that.
        efficiency: at that load, 0 to 1.
        lowest_input_v: the voltage at its terminals at which it switches off [V]: just above it draws most.

    Returns:
        Input current [A].

    Source: power in = power out / efficiency.
    """
    check_number(output_w, "output power [W]")
    _check_efficiency(efficiency)
    check_number(lowest_input_v, "lowest input voltage [V]", positive=True)
    return output_w / (efficiency * lowest_input_v)
