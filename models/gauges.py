"""Copper areas behind the names of wire sizes: AWG, SAE automotive, counted strands, and the metric row."""

from __future__ import annotations

import math

# Nominal areas of IEC 60228:2004 that a van needs; a bare "2x2.5" is taken as metric only if its size stands here.
METRIC_SIZES_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0)

# Least conductor areas of SAE J1127 and J1128 [circular mil], 3 to 11 % below AWG. 1/0 is gauge 0, 4/0 is -3.
SAE_AREA_CMIL = {
    18: 1537,
    16: 2336,
    14: 3702,
    12: 5833,
    10: 9343,
    8: 14810,
    6: 24538,
    4: 37360,
    2: 62450,
    1: 77790,
    0: 98980,
    -1: 125100,
    -2: 158600,
    -3: 205500,
}

THINNEST_AWG = 30
THICKEST_AWG = -3
_MM2_PER_CMIL = math.pi / 4 * 0.0254**2  # a circular mil is the area of a circle one thousandth of an inch wide


def awg_area_mm2(gauge: int) -> float:
    """Copper area of an American wire gauge.

    Args:
        gauge: 14 for 14 AWG, 0 for 1/0, -1 for 2/0, -2 for 3/0, -3 for 4/0.

    Returns:
        Area [mm2], that of a solid wire of this gauge.

    Raises:
        ValueError: gauge outside 4/0 to 30.

    Source:
        ASTM B258: d = 0.127 mm * 92^((36 - n) / 39).
    """
    if not THICKEST_AWG <= gauge <= THINNEST_AWG:
        raise ValueError(f"AWG goes from 4/0 to {THINNEST_AWG} here, found {gauge}")
    diameter_mm = 0.127 * math.pow(92, (36 - gauge) / 39)
    return math.pi / 4 * diameter_mm**2


def awg_within(area_mm2: float) -> int | None:
    """The thickest American wire gauge that is no thicker than so much copper.

    Args:
        area_mm2: the copper [mm2].

    Returns:
        The gauge, as for `awg_area_mm2`; None if even 30 AWG is thicker.
    """
    gauges = range(THICKEST_AWG, THINNEST_AWG + 1)
    return next((gauge for gauge in gauges if awg_area_mm2(gauge) <= area_mm2 + 1e-9), None)


def sae_area_mm2(gauge: int) -> float:
    """Least copper area of an SAE automotive wire.

    Args:
        gauge: as for `awg_area_mm2`.

    Returns:
        Area [mm2].

    Raises:
        ValueError: a gauge that the table does not hold.

    Source:
        SAE J1127/J1128 areas in circular mils.
    """
    if gauge not in SAE_AREA_CMIL:
        names = ", ".join(gauge_name(known) for known in SAE_AREA_CMIL)
        raise ValueError(f"SAE wire comes in {names}, found {gauge_name(gauge)}")
    return SAE_AREA_CMIL[gauge] * _MM2_PER_CMIL


def strands_area_mm2(count: int, diameter_mm: float) -> float:
    """Copper area of a conductor given as strands.

    Args:
        count: number of strands.
        diameter_mm: diameter of one strand [mm].

    Returns:
        Area [mm2].
    """
    return count * math.pi / 4 * diameter_mm**2


def gauge_number(text: str) -> int:
    """Turn the name of a gauge into its number.

    Args:
        text: "14", "2/0" or "00", already known to have one of these forms.

    Returns:
        14, and for both others -1.
    """
    if "/" in text:
        return 1 - int(text.partition("/")[0])
    if text.strip("0") == "":
        return 1 - len(text)
    return int(text)


def gauge_name(gauge: int) -> str:
    """Name a gauge number.

    Args:
        gauge: as for `awg_area_mm2`.

    Returns:
        "14", "1/0" for 0, "2/0" for -1.
    """
    return str(gauge) if gauge > 0 else f"{1 - gauge}/0"
