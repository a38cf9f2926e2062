"""Heat that a long horizontal cylinder gives off to still air: free convection and radiation."""

from __future__ import annotations

import math
from typing import Final

from ribway.sizing.errors import BadNumberError, check_number

STEFAN_BOLTZMANN: Final = 5.670374e-8
"""[W/(m2 K4)] (CODATA 2018)."""
GRAVITY: Final = 9.80665
KELVIN: Final = 273.15
PRESSURE_PA: Final = 101325.0
AIR_GAS_CONSTANT: Final = 287.05
AIR_HEAT: Final = 1006.0
"""[J/(kg K)]"""
PRANDTL: Final = 0.707
EMISSIVITY: Final = 0.9
"""Plastic insulation: 0.9 to 0.95 in handbooks."""


def air_viscosity_and_conductivity(film_c: float) -> tuple[float, float]:
    """Kinematic viscosity [m2/s] and conductivity [W/(m K)] of air at one atmosphere.

    Args:
        film_c: mean of surface and air temperature [deg C], from about -50 to 300.

    Source: Sutherland's law with 1.716e-5 Pa s at 273.15 K and 110.4 K; ideal gas; Prandtl number 0.707.
    """
    kelvin = film_c + KELVIN
    viscosity = 1.716e-5 * (kelvin / KELVIN) ** 1.5 * (KELVIN + 110.4) / (kelvin + 110.4)
    density = PRESSURE_PA / (AIR_GAS_CONSTANT * kelvin)
    return viscosity / density, viscosity * AIR_HEAT / PRANDTL


def convection_w_per_m2k(diameter_m: float, surface_c: float, air_c: float) -> float:
    """Heat transfer coefficient of free convection around a horizontal cylinder [W/(m2 K)].

    Args:
        diameter_m: outside diameter [m].
        surface_c: its surface temperature [deg C].
        air_c: temperature of the air [deg C].

    Source: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, for Rayleigh numbers to 1e12.
    """
    check_number(diameter_m, "diameter of the bundle [m]", positive=True)
    film_c = (surface_c + air_c) / 2.0
    viscosity, conductivity = air_viscosity_and_conductivity(film_c)
    grashof = GRAVITY / (film_c + KELVIN) * abs(surface_c - air_c) * diameter_m**3 / viscosity**2
    rayleigh = grashof * PRANDTL
    nusselt: float = (0.60 + 0.387 * rayleigh ** (1 / 6) / (1.0 + (0.559 / PRANDTL) ** (9 / 16)) ** (8 / 27)) ** 2
    return nusselt * conductivity / diameter_m


def given_off_w_per_m(diameter_m: float, surface_c: float, air_c: float, emissivity: float = EMISSIVITY) -> float:
    """Heat given off by a metre of a horizontal cylinder in still air, to walls as warm as the air.

    Args:
        diameter_m: outside diameter [m].
        surface_c: its surface temperature, not below the air's [deg C].
        air_c: temperature of the air [deg C].
        emissivity: of its surface, 0 to 1.

    Returns:
        Heat [W/m]; rises with the surface temperature.
    """
    if not 0.0 <= emissivity <= 1.0:
        raise BadNumberError(f"emissivity is {emissivity!r}; give one from 0 to 1")
    if surface_c <= air_c:
        return 0.0
    convected = convection_w_per_m2k(diameter_m, surface_c, air_c) * (surface_c - air_c)
    radiated = emissivity * STEFAN_BOLTZMANN * ((surface_c + KELVIN) ** 4 - (air_c + KELVIN) ** 4)
    return math.pi * diameter_m * (convected + radiated)
