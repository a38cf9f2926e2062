"""The wire that is really on the reel: its copper by strands or by weight, and what if the reel is bad."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from ribway.sizing.conductor import Conductor
from ribway.sizing.errors import BadNumberError, check_number
from ribway.sizing.metals import COPPER, metal_named

BAD_REEL_FACTOR: Final = 1.5
"""Resistance of a bad reel (aluminium core, thin copper) over what it claims: common practice, no source."""


def strands_area_mm2(strands: int, strand_mm: float) -> float:
    """Area of a conductor from its strands, as automotive wire is sold (`28/0.30`).

    Args:
        strands: number of strands.
        strand_mm: diameter of one, measured [mm].

    Returns:
        Area [mm2].
    """
    if strands < 1:
        raise BadNumberError(f"{strands!r} strands; give 1 or more")
    check_number(strand_mm, "diameter of a strand [mm]", positive=True)
    return strands * math.pi / 4.0 * strand_mm**2


def weighed_area_mm2(metal_g: float, length_m: float, metal: str = COPPER) -> float:
    """Area of a conductor from a stripped piece on the scales.

    Args:
        metal_g: mass of the bare metal of one core [g].
        length_m: length of the piece [m].
        metal: what it is of.

    Returns:
        Area [mm2]. Strands are laid in a spiral, which makes the true one up to 2 % less (common practice, no source).
    """
    check_number(metal_g, "mass of the metal [g]", positive=True)
    check_number(length_m, "length of the piece [m]", positive=True)
    return metal_g / length_m / metal_named(metal).density_g_per_cm3


def reel_ohm_per_m_20c(volts: float, amps: float, length_m: float, wire_c: float, metal: str = COPPER) -> float:
    """Resistance per metre at 20 C from a measurement on a piece of the reel.

    Args:
        volts: across the piece [V].
        amps: through it [A].
        length_m: length of the piece [m].
        wire_c: temperature of the wire during the measurement [deg C].
        metal: what it is of.

    Returns:
        Resistance [ohm/m] at 20 C.
    """
    check_number(volts, "volts across the piece [V]", positive=True)
    check_number(amps, "amps through the piece [A]", positive=True)
    check_number(length_m, "length of the piece [m]", positive=True)
    return volts / amps / length_m / (1.0 + metal_named(metal).alpha_per_k * (wire_c - 20.0))


def held(conductor: Conductor, measured_mm2: float, metal: str = COPPER) -> Conductor:
    """A stocked cable as it really is: never more copper than it claims.

    Args:
        conductor: the cable as sold.
        measured_mm2: metal area of one core as measured [mm2].
        metal: what it turned out to be of.

    Returns:
        The same cable with the smaller area; resistance and ampacity follow from it.
    """
    check_number(measured_mm2, "measured area [mm2]", positive=True)
    return replace(conductor, area_mm2=min(conductor.copper_mm2, measured_mm2), metal=metal)


def if_reel_is_bad(conductor: Conductor, factor: float = BAD_REEL_FACTOR) -> Conductor:
    """A stocked cable as if its reel were bad: with the copper that has `factor` times the resistance."""
    if not (math.isfinite(factor) and factor >= 1.0):
        raise BadNumberError(f"the factor of a bad reel is {factor!r}; give 1 or more")
    return replace(conductor, area_mm2=conductor.copper_mm2 / factor)
