"""Heat of a short in a conductor, all of it staying in the metal: k S = I sqrt(t)."""

from __future__ import annotations

import math
from typing import Final

from ribway.sizing.conductor import Conductor
from ribway.sizing.errors import BadNumberError, check_number
from ribway.sizing.metals import COPPER, metal_named

COPPER_K: Final = (226.0, 234.5)
ALUMINIUM_K: Final = (148.0, 228.0)
"""Factor and offset of k for each metal; clad aluminium counts as aluminium (caution, ours)."""
THERMOPLASTIC_C: Final = 105.0
SHORT_C_THERMOPLASTIC: Final = 160.0
SHORT_C_THERMOSET: Final = 250.0


def k_value(start_c: float, final_c: float, metal: str = COPPER) -> float:
    """The k of a conductor between two temperatures [A sqrt(s)/mm2].

    Args:
        start_c: temperature before the short [deg C].
        final_c: temperature its insulation stands for a moment, above the start [deg C].
        metal: what it is of.

    Source: IEC 60364-5-54 Annex A: k = 226 sqrt(ln((234.5 + Tf)/(234.5 + Ti))) copper, 148 and 228 aluminium.
    """
    metal_named(metal)
    factor, offset = COPPER_K if metal == COPPER else ALUMINIUM_K
    if not -offset < start_c < final_c < math.inf:
        raise BadNumberError(f"short from {start_c!r} to {final_c!r} C; give a final temperature above the start")
    return factor * math.sqrt(math.log((offset + final_c) / (offset + start_c)))


def conductor_k(conductor: Conductor) -> float:
    """The k of a stocked cable that is as hot as its insulation allows when the short comes [A sqrt(s)/mm2].

    Insulation rated to 105 C counts as thermoplastic and stands 160 C, hotter as cross-linked and stands 250 C.

    Source: final temperatures IEC 60364-4-43 table 43A.
    """
    soft = conductor.insulation_c <= THERMOPLASTIC_C
    final_c = SHORT_C_THERMOPLASTIC if soft else max(SHORT_C_THERMOSET, conductor.insulation_c + 1.0)
    return k_value(conductor.insulation_c, final_c, conductor.metal)


def least_area_mm2(amps: float, seconds: float, k: float) -> float:
    """Least area that stands a short [mm2].

    Args:
        amps: current of the short [A].
        seconds: until it is cut off [s]; to 5 s nothing is lost to the surroundings, longer errs to the safe side.
        k: see `k_value`.

    Source: S = I sqrt(t)/k, IEC 60364-5-54.
    """
    check_number(amps, "current of the short [A]")
    check_number(seconds, "time until it is cut off [s]")
    check_number(k, "k [A sqrt(s)/mm2]", positive=True)
    return amps * math.sqrt(seconds) / k


def withstands_a2s(area_mm2: float, k: float) -> float:
    """What a conductor stands [A2 s]: k2 S2."""
    check_number(area_mm2, "area [mm2]", positive=True)
    check_number(k, "k [A sqrt(s)/mm2]", positive=True)
    return (k * area_mm2) ** 2


def seconds_to_limit(amps: float, area_mm2: float, k: float) -> float:
    """How long a conductor stands a short [s]."""
    check_number(amps, "current of the short [A]", positive=True)
    return withstands_a2s(area_mm2, k) / amps**2
