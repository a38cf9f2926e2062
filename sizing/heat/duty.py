"""Currents that come and go: the steady current that heats a conductor as much at its hottest."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ribway.sizing.errors import check_number
from ribway.sizing.heat.section import INSULATION_RATIO, INSULATION_W_PER_M_K

METAL_MJ_PER_M3_K = {"copper": 3.45, "copper-clad aluminium": 2.52, "aluminium": 2.42}
"""Heat stored by a metal (handbook values; clad by its tenth of copper)."""


@dataclass(frozen=True)
class Duty:
    """How long a load is on at a time.

    Attributes:
        on_s: longest time on without a pause [s].
        off_s: shortest pause after that [s]; None if it is cold again before the next time.
    """

    on_s: float
    off_s: float | None = None


def heating_amps(amps: float, duty: Duty, metal_mm2: float, metal: str) -> float:
    """The steady current by which a load that comes and goes warms what lies beside its cable [A].

    The heat of a core passes its own insulation first. Counted is the metal of the core alone, warming through nothing but
    that insulation: all else that has to be warmed (insulation, sheath, bundle) makes it slower, so that this errs to the safe
    side.

    Args:
        amps: current while on [A].
        duty: how long it is on.
        metal_mm2: metal of one core [mm2].
        metal: what it is of.
    """
    return duty_amps(amps, duty.on_s, duty.off_s, slow_s(metal_mm2, metal))


def slow_s(metal_mm2: float, metal: str) -> float:
    """Time constant of a core whose metal alone warms, through its own insulation alone [s].

    Args:
        metal_mm2: metal of one core [mm2].
        metal: what it is of.

    Source: heat stored times resistance to its flow, ln(D/d)/(2 pi k).
    """
    check_number(metal_mm2, "metal [mm2]", positive=True)
    through = math.log(INSULATION_RATIO) / (2.0 * math.pi * INSULATION_W_PER_M_K)
    return METAL_MJ_PER_M3_K[metal] * metal_mm2 * through


def duty_amps(amps: float, on_s: float, off_s: float | None, time_constant_s: float) -> float:
    """The steady current that makes a conductor as hot as a cycle does at its hottest moment.

    Args:
        amps: current while on [A].
        on_s: how long it is on [s].
        off_s: how long it is then off [s]; 0 is always on, None is until it is cold.
        time_constant_s: of the conductor where it lies [s]; a short one errs to the safe side.

    Returns:
        Current [A]; never more than `amps`.

    Source: response of a first-order system to a periodic step: the peak is (1 - exp(-on/tau))/(1 - exp(-(on+off)/tau)) of
    the steady rise, and heat goes with the square of the current.
    """
    check_number(amps, "current [A]")
    return amps * math.sqrt(duty_share(on_s, off_s, time_constant_s))


def duty_share(on_s: float, off_s: float | None, time_constant_s: float) -> float:
    """Share of its steady rise that a conductor reaches at its hottest moment; see `duty_amps`."""
    check_number(on_s, "time on [s]", positive=True)
    if off_s is not None:
        check_number(off_s, "time off [s]")
    check_number(time_constant_s, "time constant [s]", positive=True)
    if off_s == 0.0:
        return 1.0
    share = -math.expm1(-on_s / time_constant_s)
    if off_s is not None:
        share /= -math.expm1(-(on_s + off_s) / time_constant_s)
    return share


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
