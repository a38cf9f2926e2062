"""Numbers for the terminal in the shop's own units, each rounded to its safe side."""

from __future__ import annotations

import math
import re

from ribway.models.lengths import format_feet_inches, format_metres
from ribway.models.printed import Units, length, mass, mass_down, rounded_up, three_digits_down, three_digits_up

_METRES = re.compile(r"(?<![\d.])(\d+\.\d+) m(?![\w/²³])")


def fine_length(m: float, units: Units) -> str:
    """One line of a reckoning, rounded up finely enough for the lines to add up.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        ``0.075 m`` or ``2 15/16"``.
    """
    return format_metres(m, 3) if units == "metric" else format_feet_inches(m, 16)


def si_length(m: float, units: Units) -> str:
    """A length as it stands in a formula, in metres, with the shop's own way to say it beside it.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        ``4.15 m``, or ``4.15 m (13' 8")``.
    """
    return f"{m:.2f} m" if units == "metric" else f"{m:.2f} m ({length(m, units)})"


def beside_metres(text: str, units: Units) -> str:
    """Words with metres in them, the shop's own way to say each length beside it.

    Args:
        text: such as ``at least 4 mm2 for 4.15 m one way``.
        units: the shop's.
    """
    if units == "metric":
        return text
    return _METRES.sub(lambda found: f"{found[0]} ({length(float(found[1]), units)})", text)


def reach(m: float, units: Units) -> str:
    """How far something holds, rounded down.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        ``4.15 m`` or ``4.15 m (13' 7")``.
    """
    short = f"{math.floor(100.0 * m + 1e-6) / 100.0:.2f} m"
    inches = math.floor(m / 0.0254 + 1e-6) * 0.0254
    return short if units == "metric" else f"{short} ({format_feet_inches(inches)})"


def signed_length(m: float, units: Units) -> str:
    """A difference of lengths, its size rounded up.

    Args:
        m: the difference [m].
        units: the shop's.

    Returns:
        ``+0.30 m`` or ``-1'``.
    """
    return f"{'-' if m < 0 else '+'}{length(abs(m), units)}"


def signed_mass(kg: float, units: Units) -> str:
    """A difference of masses: what is more is rounded up, what is saved down.

    Args:
        kg: the difference [kg].
        units: the shop's.

    Returns:
        ``+0.31 kg``, ``-0.30 kg`` or ``-0.66 lb``; ``0.00 kg`` if nothing is left of it.
    """
    sign, said = ("+", mass(kg, units)) if kg > 0.0 else ("-", mass_down(-kg, units))
    return said if float(said.split()[0]) == 0.0 else f"{sign}{said}"


def amps(a: float | None) -> str:
    """A current that loads something, rounded up to three digits; a dash for none.

    Args:
        a: the current [A].

    Returns:
        ``7.5 A``.
    """
    return "-" if a is None else f"{three_digits_up(a)} A"


def carried_amps(a: float | None) -> str:
    """A current that something carries, rounded down to three digits; a dash for none.

    Args:
        a: the current [A].

    Returns:
        ``16.3 A``.
    """
    return "-" if a is None else f"{three_digits_down(a)} A"


def percent(value: float | None) -> str:
    """A share of a limit that must not be passed, rounded up; a dash for none.

    Args:
        value: the share [%].

    Returns:
        ``2.4 %``.
    """
    return "-" if value is None else f"{rounded_up(value, 1)} %"


def volts(value: float) -> str:
    """A voltage lost, rounded up.

    Args:
        value: the voltage [V].

    Returns:
        ``0.26 V``.
    """
    return f"{rounded_up(value, 2)} V"
