"""Numbers for the terminal in the shop's own units, each rounded to its safe side."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from typing import Literal

from ribway.models.lengths import format_feet_inches, format_metres

Units = Literal["metric", "feet and inches"]

_KG_PER_LB = 0.45359237  # international pound, 1959: exact
_INCH_PARTS = 4


def length(m: float, units: Units) -> str:
    """A length, rounded up in its own unit.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        ``2.45 m`` or ``8' 0 1/2"``.
    """
    return format_metres(m) if units == "metric" else format_feet_inches(m, _INCH_PARTS)


def fine_length(m: float, units: Units) -> str:
    """One line of a reckoning, rounded up finely enough for the lines to add up.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        ``0.075 m`` or ``2 15/16"``.
    """
    return format_metres(m, 3) if units == "metric" else format_feet_inches(m, 16)


def signed_length(m: float, units: Units) -> str:
    """A difference of lengths, its size rounded up.

    Args:
        m: the difference [m].
        units: the shop's.

    Returns:
        ``+0.30 m`` or ``-1'``.
    """
    return f"{'-' if m < 0 else '+'}{length(abs(m), units)}"


def mass(kg: float, units: Units) -> str:
    """A mass.

    Args:
        kg: the mass [kg].
        units: the shop's.

    Returns:
        ``1.24 kg`` or ``2.74 lb``.
    """
    return f"{kg:.2f} kg" if units == "metric" else f"{kg / _KG_PER_LB:.2f} lb"


def amps(a: float | None) -> str:
    """A current that loads something, rounded up to three digits; a dash for none.

    Args:
        a: the current [A].

    Returns:
        ``7.5 A``.
    """
    return "-" if a is None else f"{_three_digits(a, math.ceil):g} A"


def carried_amps(a: float | None) -> str:
    """A current that something carries, rounded down to three digits; a dash for none.

    Args:
        a: the current [A].

    Returns:
        ``16.3 A``.
    """
    return "-" if a is None else f"{_three_digits(a, math.floor):g} A"


def _three_digits(value: float, whole: Callable[[float], int]) -> float:
    """A value rounded one way to three digits; what differs from a whole step by a millionth is float dust."""
    if value <= 0:
        return 0.0
    step = Decimal(10) ** (math.floor(math.log10(value)) - 2)
    return float(whole(round(value / float(step), 6)) * step)


def percent(value: float | None) -> str:
    """A share of a limit that must not be passed, rounded up; a dash for none.

    Args:
        value: the share [%].

    Returns:
        ``2.4 %``.
    """
    return "-" if value is None else f"{math.ceil(round(value * 10, 6)) / 10:.1f} %"


def volts(value: float) -> str:
    """A voltage lost, rounded up.

    Args:
        value: the voltage [V].

    Returns:
        ``0.26 V``.
    """
    return f"{math.ceil(round(value * 100, 6)) / 100:.2f} V"
