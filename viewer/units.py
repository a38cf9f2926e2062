"""Lengths as text on pictures, never less than they are."""

from __future__ import annotations

import math

from ribway.models.printed import Units

FOOT_M = 0.3048
INCH_M = 0.0254
TINY = 1e-6


def length_text(length_m: float, units: Units) -> str:
    """A length rounded up: to 0.1 m, or to a whole inch.

    Args:
        length_m: the length [m].
        units: how the plan's owner writes lengths.

    Returns:
        For example ``12.4 m`` or ``40' 9"``.
    """
    if units == "metric":
        return f"{math.ceil(length_m * 10.0 - TINY) / 10.0:.1f} m"
    feet, inches = divmod(math.ceil(length_m / INCH_M - TINY), 12)
    return f"{feet}' {inches}\""


def mark_step(units: Units) -> float:
    """Distance between two figures of a scale.

    Args:
        units: how the plan's owner writes lengths.

    Returns:
        The step [m].
    """
    return 0.5 if units == "metric" else FOOT_M


def mark_text(count: int, units: Units) -> str:
    """Figure at a mark of a scale.

    Args:
        count: the mark's number; 0 at the origin.
        units: how the plan's owner writes lengths.

    Returns:
        For example ``1.5`` or ``5'``.
    """
    return f"{count * 0.5:g}" if units == "metric" else f"{count}'"
