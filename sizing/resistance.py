"""Resistance per metre of stocked conductors at 20 C, never understated.

metric  IEC 60228 class 5 (or, if so stated, class 2) greatest resistance; an area between two rows is scaled (see
        `_scaled`).
awg     NEC Chapter 9 Table 8, brought from 75 C to 20 C; a size not in it, or thinner than named, is scaled by area.
sae     the AWG size of that name, scaled by AWG area over SAE area.

Another metal than copper has as many times the resistance as its resistivity is copper's.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final, Literal

from ribway.sizing.conductor import Conductor, System, copper_area_mm2
from ribway.sizing.copper import ALPHA_20C_PER_K, resistance_at
from ribway.sizing.gauge import awg_area_mm2, canonical_gauge, gauge_rows
from ribway.sizing.metals import COPPER, metal_named, times_copper
from ribway.sizing.tabledata import check_rising, number_in, table_rows

FT_PER_M: Final = 1.0 / 0.3048
TINNED_OVER_PLAIN_AWG: Final = 1.07
"""Coated over uncoated stranded copper in NEC Table 8: at most 1.063, at 18 AWG (memory; rounded up)."""


@cache
def _class_rows(tinned: bool, stranding: int) -> tuple[tuple[float, float], ...]:
    """(area [mm2], greatest ohm per metre at 20 C), thin to thick. Source: IEC 60228:2004 tables 2 (class 2), 3 (5)."""
    name, columns = f"iec60228_class{stranding}", ("area_mm2", "plain_ohm_per_km_20c", "tinned_ohm_per_km_20c")
    rows = table_rows(name, columns, ("area_mm2",))
    column = "tinned_ohm_per_km_20c" if tinned else "plain_ohm_per_km_20c"
    pairs = tuple((number_in(name, row, "area_mm2"), number_in(name, row, column) / 1000.0) for row in rows)
    check_rising(name, [area for area, _ in pairs], "area_mm2")
    return pairs


@cache
def _table8_rows() -> tuple[tuple[float, float], ...]:
    """(ASTM area [mm2], ohm per metre at 20 C), thin to thick. Source: NEC 2020 Chapter 9 Table 8, alpha IEC 60028."""
    to_20c = 1.0 / (1.0 + ALPHA_20C_PER_K * 55.0)
    return tuple(
        (awg_area_mm2(row.name), row.table8_ohm_per_kft_75c / 1000.0 * FT_PER_M * to_20c)
        for row in gauge_rows()
        if row.table8_ohm_per_kft_75c is not None
    )


def _scaled(rows: Sequence[tuple[float, float]], area_mm2: float) -> float:
    """Ohm per metre of an area, from rows of (area, ohm per metre).

    A row's own area gives the row. Else the greater ohm x area of the two rows beside it is divided by the area, but
    is never more than the thinner row has: so the answer is never below either row's scaling unless that row bounds
    it, and never rises with area.
    """
    for row_area, ohm in rows:
        if abs(row_area - area_mm2) <= 1e-9 * row_area:
            return ohm
    below = [row for row in rows if row[0] < area_mm2][-1:]
    above = [row for row in rows if row[0] > area_mm2][:1]
    scaled = max(row_area * ohm for row_area, ohm in below + above) / area_mm2
    return min([scaled] + [ohm for _, ohm in below])


@cache
def ohm_per_m_20c(
    system: System,
    area_mm2: float,
    size_name: str,
    tinned: bool = False,
    metal: str = COPPER,
    stranding: Literal[2, 5] = 5,
) -> float:
    """Resistance per metre of one stocked conductor at 20 C, never understated.

    Whether unstated automotive wire counts as `sae` is the caller's choice (it should).

    Args:
        system: `metric`, `awg` or `sae`.
        area_mm2: stated copper area of the conductor [mm2]. Less than the named gauge has: the resistance is raised
            to match. More: the named gauge counts.
        size_name: gauge name; not read for `metric`.
        tinned: whether the strands are tinned.
        metal: what the strands are of.
        stranding: class of a metric conductor.

    Returns:
        Resistance [ohm/m] at 20 C.

    Raises:
        UnknownSizeError, BadNumberError: see `copper_area_mm2`.

    Source: IEC 60228:2004 table 3; NFPA 70 (NEC) 2020 Chapter 9 Table 8; SAE J1127/J1128 areas; IEC 60028 alpha.
    """
    area = copper_area_mm2(system, area_mm2, size_name)
    if system == "metric":
        return _scaled(_class_rows(tinned, stranding), area) * times_copper(metal)
    nominal = awg_area_mm2(canonical_gauge(size_name))
    plain = _scaled(_table8_rows(), nominal) * nominal / area * times_copper(metal)
    return plain * (TINNED_OVER_PLAIN_AWG if tinned else 1.0)


def hot_ohm_per_m(conductor: Conductor, temperature_c: float) -> float:
    """Resistance per metre of one core of a stocked cable at a temperature.

    Args:
        conductor: the stocked cable.
        temperature_c: temperature of its copper [deg C].

    Returns:
        Resistance [ohm/m].
    """
    return resistance_at(conductor_ohm_per_m_20c(conductor), temperature_c, metal_named(conductor.metal).alpha_per_k)


def conductor_ohm_per_m_20c(conductor: Conductor) -> float:
    """Resistance per metre of one core of a stocked cable at 20 C [ohm/m]."""
    one = conductor
    return ohm_per_m_20c(one.system, one.area_mm2, one.size_name, one.tinned, one.metal, one.stranding)


def greatest_ohm_mm2_per_m_20c() -> float:
    """Greatest resistance x area of any tabulated stock, tinned too [ohm mm2/m]: to say what area would be needed."""
    return max(area * ohm for area, ohm in _class_rows(False, 5) + _class_rows(True, 5) + _table8_rows())
