"""Numbers for people, wherever they are printed: each in its own unit, rounded to its safe side.

What is needed or loads something is rounded up, what is left or carries something is rounded down. A difference from a whole
step by a millionth of a step is float dust and counts as that step.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Final, Literal

from ribway.models.lengths import format_feet_inches, format_metres

Units = Literal["metric", "feet and inches"]

INCH_PARTS: Final = 4
"""Printed lengths in feet and inches go by quarters."""
SIZE_PARTS: Final = 32
"""Printed sizes across (holes, cables, bundles) go by thirty-seconds, the finest marks of a steel rule and steps of drills."""
RADIUS_PARTS: Final = 8
"""Printed bend radii go by eighths: nobody bends a cable more finely."""
DUST_DIGITS: Final = 6

_KG_PER_LB: Final = 0.45359237  # international pound, 1959: exact
_MM_PER_INCH: Final = 25.4  # international inch, 1959: exact
_SPOKEN: Final = re.compile(r"(?<![\d.])(\d+(?:\.\d+)?)(?: x (\d+(?:\.\d+)?))? (mm|m)(?![\w/²³])")


def length(m: float, units: Units) -> str:
    """A length, rounded up in its own unit.

    Args:
        m: the length [m].
        units: the shop's.

    Returns:
        ``2.45 m`` or ``8' 0 1/2"``.
    """
    return format_metres(m) if units == "metric" else format_feet_inches(m, INCH_PARTS)


def size_up(mm: float, units: Units) -> str:
    """A size across that has to go through something, rounded up.

    Args:
        mm: the size [mm].
        units: the shop's.

    Returns:
        ``13.6 mm`` or ``9/16"``.
    """
    return f"{float(rounded_up(mm, 1)):g} mm" if units == "metric" else _inch(mm, SIZE_PARTS, math.ceil)


def size_down(mm: float, units: Units) -> str:
    """A size across that is left for something, rounded down, as `size_up` says it."""
    return f"{float(rounded_down(mm, 1)):g} mm" if units == "metric" else _inch(mm, SIZE_PARTS, math.floor)


def size_near(mm: float, units: Units) -> str:
    """A size across by which a thing is found or named, to the nearest, as `size_up` says it."""
    return f"{round(mm, 1):g} mm" if units == "metric" else _inch(mm, SIZE_PARTS, round)


def radius_up(mm: float, units: Units) -> str:
    """A radius that a cable may not be bent below, rounded up.

    Args:
        mm: the radius [mm].
        units: the shop's.

    Returns:
        ``121 mm`` or ``4 7/8"``.
    """
    return f"{rounded_up(mm, 0)} mm" if units == "metric" else _inch(mm, RADIUS_PARTS, math.ceil)


def radius_down(mm: float, units: Units) -> str:
    """A radius that a corner leaves room for, rounded down, as `radius_up` says it."""
    return f"{rounded_down(mm, 0)} mm" if units == "metric" else _inch(mm, RADIUS_PARTS, math.floor)


def in_shops_units(text: str, units: Units) -> str:
    """A sentence with its lengths in the shop's units: metres to the nearest quarter inch, millimetres to the nearest 32nd.

    It is for sentences that reckon in metres; what has a safe side is rounded to that where it is said.

    Args:
        text: such as ``AC lies within 13 mm of C2 for 0.16 m``.
        units: the shop's.
    """
    return text if units == "metric" else _SPOKEN.sub(_said, text)


def _said(found: re.Match[str]) -> str:
    scale, parts = (1.0, SIZE_PARTS) if found[3] == "mm" else (1000.0, INCH_PARTS)
    return " x ".join(_inch(scale * float(one), parts, round) for one in (found[1], found[2]) if one)


def mass(kg: float, units: Units) -> str:
    """A mass, rounded up.

    Args:
        kg: the mass [kg].
        units: the shop's.

    Returns:
        ``1.24 kg`` or ``2.74 lb``.
    """
    return f"{rounded_up(kg, 2)} kg" if units == "metric" else f"{rounded_up(kg / _KG_PER_LB, 2)} lb"


def mass_down(kg: float, units: Units) -> str:
    """A mass of which there is no less, rounded down, as `mass` says it."""
    return f"{rounded_down(kg, 2)} kg" if units == "metric" else f"{rounded_down(kg / _KG_PER_LB, 2)} lb"


def grams_up(kg: float, units: Units) -> str:
    """A mass to a gram or a thousandth of a pound, rounded up: where two masses nearly alike stand side by side."""
    return f"{rounded_up(kg, 3)} kg" if units == "metric" else f"{rounded_up(kg / _KG_PER_LB, 3)} lb"


def grams_down(kg: float, units: Units) -> str:
    """A mass that nothing goes below, to a gram or a thousandth of a pound, rounded down."""
    return f"{rounded_down(kg, 3)} kg" if units == "metric" else f"{rounded_down(kg / _KG_PER_LB, 3)} lb"


def rounded_up(value: float, decimals: int) -> str:
    """What is needed, on this many decimals."""
    return _stepped(value, decimals, math.ceil)


def rounded_down(value: float, decimals: int) -> str:
    """What is left, on this many decimals."""
    return _stepped(value, decimals, math.floor)


def three_digits_up(value: float) -> str:
    """What loads something, such as a current, on three digits; ``0`` for nothing."""
    return _three_digits(value, math.ceil)


def three_digits_down(value: float) -> str:
    """What something carries, on three digits; ``0`` for nothing."""
    return _three_digits(value, math.floor)


def counted(count: int, one: str, many: str = "") -> str:
    """A number with its noun.

    Args:
        count: how many.
        one: the noun for one.
        many: the noun for more; by default with an s.

    Returns:
        ``1 run``, ``2 runs``.
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def _inch(mm: float, parts: int, whole: Callable[[float], int]) -> str:
    """Feet and inches to a part of an inch; what is off a whole step by a millionth of one is that step."""
    steps = whole(round(mm * parts / _MM_PER_INCH, DUST_DIGITS))
    return format_feet_inches(max(0, steps) * _MM_PER_INCH / 1000.0 / parts, parts)


def _stepped(value: float, decimals: int, whole: Callable[[float], int]) -> str:
    scale = 10**decimals
    return f"{whole(round(value * scale, DUST_DIGITS)) / scale:.{decimals}f}"


def _three_digits(value: float, whole: Callable[[float], int]) -> str:
    if value <= 0:
        return "0"
    step = Decimal(10) ** (math.floor(math.log10(value)) - 2)
    return f"{float(whole(round(value / float(step), DUST_DIGITS)) * step):g}"
