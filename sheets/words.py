"""Numbers as they are printed: in the shop's units, each rounded to its safe side.

What is needed or loads something is rounded up, what is left or carries something is rounded down, and a place is
rounded to the nearest, since nothing is safe about a hole that is a little further back.
"""

from __future__ import annotations

import math
from fractions import Fraction

from ribway.models.lengths import format_feet_inches
from ribway.models.printed import (
    DUST_DIGITS,
    INCH_PARTS,
    Units,
    length,
    rounded_down,
    rounded_up,
    size_down,
    size_up,
    three_digits_down,
    three_digits_up,
)

NOTHING = "–"
GLUE = "\N{NO-BREAK SPACE}"
"""Stands between words that stay on one line; printed as a space."""

_MM_PER_INCH = 25.4


def printed_m(m: float, units: Units) -> float:
    """The length that a printed one says, which is what is really cut.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        The length rounded up in its own unit [m].
    """
    step = Fraction(1, 100) if units == "metric" else Fraction(254, 10_000) / INCH_PARTS
    return float(max(0, math.ceil(round(float(Fraction(m) / step), DUST_DIGITS))) * step)


def bare_length(m: float, units: Units) -> str:
    """A length below a heading that says the unit.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        ``2.45`` or ``8' 0 1/2"``, its words glued.
    """
    return glued(length(m, units).removesuffix(" m"))


def left_length(m: float, units: Units) -> str:
    """A length that is left over, rounded down, below a heading that says the unit.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        ``2.45`` or ``8' 0 1/2"``, its words glued.
    """
    if units == "metric":
        return rounded_down(m, 2)
    step_m = _MM_PER_INCH / 1000 / INCH_PARTS
    return glued(format_feet_inches(math.floor(round(m / step_m, DUST_DIGITS)) * step_m, INCH_PARTS))


def length_unit(units: Units) -> str:
    """What stands over bare lengths; feet and inches carry their own marks."""
    return "m" if units == "metric" else ""


def place(m: float, units: Units) -> str:
    """A distance that says where something is, to the nearest centimetre or quarter inch.

    Args:
        m: the distance [m]; negative ones keep their sign.
        units: the shop's.

    Returns:
        ``0.88 m`` or ``2' 10 3/4"``.
    """
    if units == "metric":
        return f"{round(m, 2) + 0.0:.2f} m"
    step_m = _MM_PER_INCH / 1000 / INCH_PARTS
    steps = round(m / step_m)
    sign = "-" if steps < 0 else ""
    return sign + format_feet_inches(abs(steps) * step_m, INCH_PARTS)


def bare_place(m: float, units: Units) -> str:
    """A place below a heading that says the unit."""
    return glued(place(m, units).removesuffix(" m"))


def amps(a: float | None) -> str:
    """A current that loads something, rounded up to three digits; a dash for none."""
    return NOTHING if a is None else three_digits_up(a)


def carried_amps(a: float | None) -> str:
    """A current that something carries, rounded down to three digits; a dash for none."""
    return NOTHING if a is None else three_digits_down(a)


def percent(value: float | None) -> str:
    """A share that must stay under its limit, rounded up to a tenth; a dash for none."""
    return NOTHING if value is None else rounded_up(value, 1)


def limit(value: float | None) -> str:
    """A limit that must not be passed, rounded down to a tenth; a dash for none."""
    return NOTHING if value is None else f"{float(rounded_down(value, 1)):g}"


def volts(value: float) -> str:
    """A voltage lost, rounded up to a hundredth."""
    return rounded_up(value, 2)


def size_unit(units: Units) -> str:
    """What stands over bare sizes across; inches carry their own mark."""
    return "mm" if units == "metric" else ""


def bare(size: str) -> str:
    """A size below a heading that says the unit: ``13.6`` of ``13.6 mm``, and ``9/16"`` as it is."""
    return size.removesuffix(" mm").removesuffix(f"{GLUE}mm")


def bare_room(mm: float, units: Units) -> str:
    """A size that something has to pass, rounded down, below a heading that says the unit."""
    return glued(bare(size_down(mm, units)))


def bare_thick(mm: float, units: Units) -> str:
    """A size of something that has to pass, rounded up, below a heading that says the unit."""
    return glued(bare(size_up(mm, units)))


def width_by_length(wide: str, long: str | None) -> str:
    """A hole's size: of a slot width by length, of a round hole its one.

    Args:
        wide: the bore, or a slot's width: ``20 mm``.
        long: a slot's length; None of a round hole.

    Returns:
        ``20 × 45 mm`` on one line; inches, which are longer, may go on to a second behind the cross.
    """
    if long is None:
        return glued(wide)
    return f"{glued(wide.removesuffix(' mm') + ' ×')}{GLUE if long.endswith('mm') else ' '}{glued(long)}"


def area_mm2(mm2: float) -> str:
    """Copper of one conductor, rounded down to a hundredth.

    Args:
        mm2: the area [mm2].

    Returns:
        ``2.08 mm²``, and nothing for no copper.
    """
    if mm2 <= 0:
        return ""
    two = rounded_down(mm2, 2)
    return f"{mm2:g} mm²" if float(two) == mm2 else f"{two} mm²"


def typeset(text: str) -> str:
    """A size as it is printed, with a real square sign: ``2.5 mm²``."""
    return text.replace("mm2", "mm²")


def glued(text: str) -> str:
    """Words that stay on one line."""
    return text.replace(" ", GLUE)


def joined(names: tuple[str, ...]) -> str:
    """Names in a cell; a dash for none."""
    return ", ".join(names) if names else NOTHING
