"""Currents that come and go: the steady current that heats a conductor as much at its hottest."""

from __future__ import annotations

import math

from ribway.sizing.errors import check_number


def duty_amps(amps: float, on_s: float, off_s: float, time_constant_s: float) -> float:
    """The steady current that makes a conductor as hot as a cycle does at its hottest moment.

    Args:
        amps: current while on [A].
        on_s: how long it is on [s].
        off_s: how long it is then off [s]; 0 is always on.
        time_constant_s: of the conductor where it lies [s]; a short one errs to the safe side.

    Returns:
        Current [A]; never more than `amps`.

    Source: response of a first-order system to a periodic step: the peak is (1 - exp(-on/tau))/(1 - exp(-(on+off)/tau)) of
    the steady rise, and heat goes with the square of the current.
    """
    check_number(amps, "current [A]")
    check_number(on_s, "time on [s]", positive=True)
    check_number(off_s, "time off [s]")
    check_number(time_constant_s, "time constant [s]", positive=True)
    if off_s == 0.0:
        return amps
    share = math.expm1(-on_s / time_constant_s) / math.expm1(-(on_s + off_s) / time_constant_s)
    return amps * math.sqrt(share)


def time_constant_s(metal_mm2: float, insulation_mm2: float, kelvin_m_per_w: float) -> float:
    """Thermal time constant of a cable [s].

    Args:
        metal_mm2: copper in its cross-section, all cores [mm2].
        insulation_mm2: plastic in its cross-section [mm2].
        kelvin_m_per_w: from the metal to the air [K m/W].

    Source: heat stored times resistance to the air; copper 3.45 MJ/(m3 K), PVC 1.3 MJ/(m3 K) (handbook values, the lower
    end: a short time constant errs to the safe side).
    """
    check_number(metal_mm2, "metal [mm2]", positive=True)
    check_number(insulation_mm2, "insulation [mm2]")
    check_number(kelvin_m_per_w, "thermal resistance [K m/W]", positive=True)
    return (3.45 * metal_mm2 + 1.3 * insulation_mm2) * kelvin_m_per_w
