"""The heat balance for many sections at once: arrays in, arrays out, the same answers as `section.allowed_amps` one by one.

What a core of a run may give off does not depend on its metal, so the surface is looked for once for all sizes of a stock.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.sizing.errors import BadNumberError, SizingError
from ribway.sizing.heat.section import BUNDLE_W_PER_M_K, INSULATION_RATIO, INSULATION_W_PER_M_K
from ribway.sizing.heat.surface import (
    AIR_GAS_CONSTANT,
    AIR_HEAT,
    EMISSIVITY,
    GRAVITY,
    KELVIN,
    PRANDTL,
    PRESSURE_PA,
    STEFAN_BOLTZMANN,
)

Floats = NDArray[np.float64]
HALVINGS: Final = 12
STRAIGHT_STEPS: Final = 5
"""Halved to a hundredth of a kelvin, a straight line through both ends finds the rest: each step squares what is left."""


@dataclass(frozen=True)
class ManySections:
    """Sections without a cover, as runs meet them; one a stretch.

    Attributes:
        diameter_m: `(n, k)` outside diameters of the bundles [m]; `nan` where a stretch's heat is not described.
        others_w_per_m_20c: `(n, k)` heat of all others, their metal at 20 C [W/m].
        others_insulation_c: `(n, k)` coolest rating among the others [deg C]; `nan` where there are none.
        cores: `(n,)` conductors of the run that carry its current.
    """

    diameter_m: Floats
    others_w_per_m_20c: Floats
    others_insulation_c: Floats
    cores: Floats

    def __post_init__(self) -> None:
        shape = self.diameter_m.shape
        if self.others_w_per_m_20c.shape != shape or self.others_insulation_c.shape != shape or len(shape) != 2:
            raise SizingError(f"sections of many runs: the arrays have other shapes than the diameters, {shape}")
        if self.cores.shape != shape[:1]:
            raise SizingError(f"cores has shape {self.cores.shape}; {shape[0]} runs want ({shape[0]},)")
        known = ~np.isnan(self.diameter_m)
        if (self.diameter_m[known] <= 0.0).any() or not (self.others_w_per_m_20c[known] >= 0.0).all():
            raise BadNumberError("a bundle without a diameter, or heat of others below 0; give more")
        if not (self.cores >= 1.0).all():
            raise BadNumberError("fewer than 1 core carries current; give 1 or more")


def heat_per_core(sections: ManySections, air_c: Floats, insulation_c: float, alpha_per_k: float) -> Floats:
    """What one core of each run may give off when the hottest metal is at its limit.

    Args:
        sections: the sections.
        air_c: `(n, k)` air around them [deg C].
        insulation_c: rating of the run's own insulation [deg C].
        alpha_per_k: temperature coefficient of its resistance [1/K].

    Returns:
        `(n, k)` the square of the current times the resistance of a core at 20 C [W/m]; `nan` where not described.

    Source: see `section.allowed_amps`.
    """
    limit = np.fmin(insulation_c, sections.others_insulation_c)
    hot = 1.0 + alpha_per_k * (limit - 20.0)
    others, cores = sections.others_w_per_m_20c * hot, sections.cores[:, None]
    inside = 1.0 / (4.0 * math.pi * BUNDLE_W_PER_M_K)
    own_k = math.log(INSULATION_RATIO) / (2.0 * math.pi * INSULATION_W_PER_M_K)
    known = ~np.isnan(sections.diameter_m)

    def over_c(surface_c: Floats) -> Floats:
        """How far the hottest metal is above its limit."""
        heat = _given_off(sections.diameter_m, surface_c, air_c)
        own = np.maximum(0.0, heat - others) / cores
        return np.asarray(surface_c + heat * inside + own * own_k - limit, dtype=np.float64)

    low, high = air_c.copy(), np.where(known, limit, np.nan)
    for _ in range(HALVINGS):
        surface = (low + high) / 2.0
        over = over_c(surface) > 0.0
        high, low = np.where(over, surface, high), np.where(over, low, surface)
    under, above = over_c(low), over_c(high)
    for _ in range(STRAIGHT_STEPS):
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.where(above > under, -under / (above - under), 0.0)
        surface = low + np.clip(share, 0.0, 1.0) * (high - low)
        found = over_c(surface)
        over = found > 0.0
        high, above = np.where(over, surface, high), np.where(over, found, above)
        low, under = np.where(over, low, surface), np.where(over, under, found)
    own = np.maximum(0.0, _given_off(sections.diameter_m, low, air_c) - others) / cores
    return np.where(known, np.asarray(own / hot, dtype=np.float64), np.nan)


def _given_off(diameter_m: Floats, surface_c: Floats, air_c: Floats) -> Floats:
    """See `surface.given_off_w_per_m`."""
    rise = np.maximum(0.0, surface_c - air_c)
    film = (surface_c + air_c) / 2.0 + KELVIN
    viscosity = 1.716e-5 * (film / KELVIN) ** 1.5 * (KELVIN + 110.4) / (film + 110.4)
    kinematic, conductivity = viscosity * AIR_GAS_CONSTANT * film / PRESSURE_PA, viscosity * AIR_HEAT / PRANDTL
    rayleigh = GRAVITY / film * rise * diameter_m**3 / kinematic**2 * PRANDTL
    nusselt = (0.60 + 0.387 * rayleigh ** (1 / 6) / (1.0 + (0.559 / PRANDTL) ** (9 / 16)) ** (8 / 27)) ** 2
    radiated = EMISSIVITY * STEFAN_BOLTZMANN * ((surface_c + KELVIN) ** 4 - (air_c + KELVIN) ** 4)
    off = math.pi * (nusselt * conductivity * rise + diameter_m * radiated)
    return np.where(rise > 0.0, off, 0.0)
