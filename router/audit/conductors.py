"""Resistance and ampacity of a stocked conductor."""

from __future__ import annotations

import math
import re
from typing import Final

from ribway.models.plan.plan import PlanCable
from ribway.router.audit.catalogue import (
    COLUMNS_C,
    ISO_COLUMNS_C,
    amperage,
    class5_ohm_per_m,
    gauges,
    iec_amperage,
    iso_amperage,
    nec_amperage,
)

ALPHA_PER_K: Final = 0.00393
"""Copper at 20 C; source: IEC 60028."""
METALS: Final = {"copper": (1.0, 0.00393), "copper-clad aluminium": (1.591, 0.00405), "aluminium": (1.6394, 0.00403)}
"""Times copper's resistance at 20 C, and coefficient [1/K]. Source: IEC 60028; ASTM B566 class 10A; IEC 60889."""
COPPER_SHARE: Final = {"copper": 1.0, "copper-clad aluminium": 0.1, "aluminium": 0.0}
"""Of a metal's volume: ASTM B566 class 10A has 10 % of copper (memory)."""
FT_PER_M: Final = 1.0 / 0.3048
MM2_PER_CMIL: Final = math.pi / 4.0 * 0.0254**2
SAME: Final = 1e-3
BY_NAME: Final = 0.99
"""An AWG size within 1 % of its standard area goes by its name: people round areas."""
BAND_K: Final = 5.0
BASE_C: Final = 30.0


def gauge_name(size_name: str) -> str:
    """``14 AWG``, ``#14``, ``2/0``, ``00`` as the tables name it."""
    bare = re.sub(r"AWG|SAE|GA|#|\s", "", size_name.upper())
    return f"{len(bare)}/0" if bare and set(bare) == {"0"} else bare


def copper_mm2(cable: PlanCable) -> float | None:
    """Copper of one core that may be counted on [mm2]: never more than its size name has; None for an unknown size."""
    if cable.system == "metric":
        return cable.area_mm2 or None
    gauge = gauges().get(gauge_name(cable.size_name))
    if gauge is None or cable.system == "strands":
        return None
    if cable.system == "awg":
        return gauge.area_mm2 if cable.area_mm2 >= BY_NAME * gauge.area_mm2 else cable.area_mm2
    return min(cable.area_mm2, gauge.sae_cmil * MM2_PER_CMIL) if gauge.sae_cmil is not None else None


def ohm_range_20c(cable: PlanCable) -> tuple[float, float] | None:
    """Least and greatest resistance of one core at 20 C that the tables allow [ohm/m]; equal for a size in a table.

    For an area between two rows they are the smaller and the greater of the neighbours' ohm x area, over its own area.

    Source: IEC 60228:2004 table 3 class 5; NEC chapter 9 table 8, taken from 75 to 20 C and scaled by true area.
    """
    as_copper = _copper_range_20c(cable)
    times = METALS[cable.metal][0]
    return None if as_copper is None else (times * as_copper[0], times * as_copper[1])


def _copper_range_20c(cable: PlanCable) -> tuple[float, float] | None:
    area = copper_mm2(cable)
    if area is None:
        return None
    if cable.system == "metric":
        for row_area, ohm in class5_ohm_per_m().items():
            if abs(row_area - area) <= SAME * row_area:
                return ohm, ohm
        rows = {row_area: row_area * ohm for row_area, ohm in class5_ohm_per_m().items()}
    else:
        rows = _table8_products()
        nominal = gauges()[gauge_name(cable.size_name)].area_mm2
        for row_area, product in rows.items():
            if abs(row_area - nominal) <= SAME * row_area:
                return product / area, product / area
    below = [product for row_area, product in rows.items() if row_area < area][-1:]
    above = [product for row_area, product in rows.items() if row_area > area][:1]
    return min(below + above) / area, max(below + above) / area


def _table8_products() -> dict[float, float]:
    """ohm x area at 20 C [ohm mm2/m] by area [mm2]."""
    cold = 1.0 / (1.0 + ALPHA_PER_K * (75.0 - 20.0))
    return {
        gauge.area_mm2: gauge.ohm_per_kft_75c / 1000.0 * FT_PER_M * cold * gauge.area_mm2
        for gauge in gauges().values()
        if gauge.ohm_per_kft_75c is not None
    }


def hot(cable: PlanCable, ohm_20c: float, temperature_c: float) -> float:
    """Resistance at a temperature. Source: linear law, coefficients see `METALS`."""
    return ohm_20c * (1.0 + METALS[cable.metal][1] * (temperature_c - 20.0))


def base_amps(cable: PlanCable, base: str = "33CFR183") -> float | None:
    """Allowable amps alone in air of 30 C; None if not tabulated. Row: the largest not bigger; column: the cooler.

    Source: 33 CFR 183.425 table 5, or ISO 10133 table A.1; for AC NEC 310.16 at 60 C, or IEC 60364-5-52 method A2.
    """
    metal_mm2 = copper_mm2(cable)
    area = metal_mm2 / METALS[cable.metal][0] if metal_mm2 is not None else None  # as the copper that conducts as well
    if base == "NEC310-60":
        fits = [
            amps for name, amps in nec_amperage().items() if area and gauges()[name].area_mm2 <= area * (1.0 + 1e-9)
        ]
        return fits[-1] if fits and cable.insulation_c >= 60.0 else None
    if base == "IEC60364":
        pairs = [pair for row_mm2, pair in iec_amperage().items() if area and row_mm2 <= area * (1.0 + 1e-9)]
        return pairs[-1][cable.insulation_c >= 90.0] if pairs and cable.insulation_c >= 70.0 else None
    if base == "ISO10133":
        columns = [index for index, column in enumerate(ISO_COLUMNS_C) if column <= cable.insulation_c]
        fitting = [amps for row_mm2, amps in iso_amperage().items() if area and row_mm2 <= area * (1.0 + 1e-9)]
        return fitting[-1][columns[-1]] if fitting and columns else None
    columns = [index for index, column in enumerate(COLUMNS_C) if column <= cable.insulation_c]
    if area is None or not columns:
        return None
    rows = [name for name in amperage() if gauges()[name].area_mm2 <= area * (1.0 + 1e-9)]
    return amperage()[rows[-1]][columns[-1]] if rows else None


def ambient_factor(insulation_c: float, air_c: float) -> float:
    """Share of its ampacity a conductor keeps in hot air: sqrt((Tc - Ta) / (Tc - 30)), Ta = top of the 5 K band.

    Source: NEC 310.15(B); air of 30 C and less is not used to raise a rating.
    """
    if air_c <= BASE_C:
        return 1.0
    top = BAND_K * math.ceil(round(air_c / BAND_K, 9))
    return math.sqrt((insulation_c - top) / (insulation_c - BASE_C)) if insulation_c > top else 0.0
