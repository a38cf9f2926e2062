"""Copper: resistivity, temperature, mass. Ideal copper is for tests and masses; stock uses `resistance.py`."""

from __future__ import annotations

from typing import Final

from ribway.sizing.errors import BadNumberError, check_number

RESISTIVITY_20C_OHM_MM2_PER_M: Final = 0.017241
"""Annealed copper at 20 C [ohm mm2/m] (IEC 60028)."""
ALPHA_20C_PER_K: Final = 0.00393
"""Temperature coefficient of copper's resistance at 20 C [1/K] (IEC 60028)."""
DENSITY_G_PER_CM3: Final = 8.96
"""Density of copper [g/cm3] (handbook value; IEC 60028 itself uses 8.89)."""


def resistance_at(r20_ohm: float, temperature_c: float, alpha_per_k: float = ALPHA_20C_PER_K) -> float:
    """Resistance of a conductor at a temperature.

    Args:
        r20_ohm: resistance at 20 C [ohm] (or ohm per metre: the answer has the same unit).
        temperature_c: conductor temperature [deg C]; the line holds from about -50 to 250.
        alpha_per_k: temperature coefficient at 20 C [1/K]; copper's if not given.

    Returns:
        Resistance at that temperature, same unit as `r20_ohm`.

    Raises:
        BadNumberError: resistance negative, or temperature outside -100 to 300 C.

    Source: R = R20 (1 + alpha (T - 20)), IEC 60028.
    """
    check_number(r20_ohm, "resistance at 20 C [ohm]")
    if not -100.0 <= temperature_c <= 300.0:
        raise BadNumberError(f"conductor temperature is {temperature_c!r} C; give one from -100 to 300 C")
    return r20_ohm * (1.0 + alpha_per_k * (temperature_c - 20.0))


def ideal_ohm_per_m(area_mm2: float, resistivity_ohm_mm2_per_m: float = RESISTIVITY_20C_OHM_MM2_PER_M) -> float:
    """Resistance per metre of a straight bar of the given area; no stranding, no tolerance.

    Args:
        area_mm2: copper area [mm2].
        resistivity_ohm_mm2_per_m: resistivity [ohm mm2/m]; pure copper at 20 C if not given.

    Returns:
        Resistance per metre [ohm/m].

    Source: R/l = rho/A.
    """
    check_number(area_mm2, "copper area [mm2]", positive=True)
    check_number(resistivity_ohm_mm2_per_m, "resistivity [ohm mm2/m]", positive=True)
    return resistivity_ohm_mm2_per_m / area_mm2


def copper_kg(area_mm2: float, conductor_m: float) -> float:
    """Mass of the copper in a length of conductor.

    Args:
        area_mm2: copper area [mm2].
        conductor_m: length of conductor [m]; a pair has twice the cable's length.

    Returns:
        Mass [kg].
    """
    check_number(area_mm2, "copper area [mm2]")
    check_number(conductor_m, "length of conductor [m]")
    return area_mm2 * conductor_m * DENSITY_G_PER_CM3 * 1e-3
