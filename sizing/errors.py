"""Errors of the sizing room. The tree:

SizingError (a ValueError)
├── BadNumberError         a number that is not finite, is negative, or is outside what the formula holds for
├── UnknownSizeError       a size name no system knows
├── UnknownRuleError       a rule set, window, fuse family or table that is not in the shipped data
├── NoOperatingPointError  a load the wires cannot feed at any voltage
├── NotRadialError         a network with a ring, a dead short, or a load that nothing feeds
└── TableFaultError        a shipped table is damaged (a fault of the installation, not of the user)
"""

from __future__ import annotations

import math


class SizingError(ValueError):
    """Something asked of the sizing room has no answer."""


class BadNumberError(SizingError):
    """A number is not finite, is negative, or lies outside the formula's range."""


class UnknownSizeError(SizingError):
    """A conductor size name is not one that is known."""


class UnknownRuleError(SizingError):
    """A named rule set, fuse window or fuse family is not in the data."""


class NoOperatingPointError(SizingError):
    """No voltage exists at which the wires can deliver the wanted power."""


class NotRadialError(SizingError):
    """A network that must be radial is not: a ring, a dead short, or a load that nothing feeds."""


class TableFaultError(SizingError):
    """A table shipped with the program is damaged."""


def check_number(value: float, name: str, *, positive: bool = False) -> None:
    """Refuse a number that is not finite, or negative (or zero if `positive`).

    Args:
        value: the number to check.
        name: what it is, with its unit, for the message.
        positive: also refuse zero.

    Raises:
        BadNumberError: saying the name, the value and what is accepted.
    """
    if not math.isfinite(value) or value < 0.0 or (positive and value == 0.0):
        wanted = "a finite number above 0" if positive else "a finite number, 0 or more"
        raise BadNumberError(f"{name} is {value!r}; give {wanted}")
