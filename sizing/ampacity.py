"""Allowable amperage of a stocked conductor where it lies, and what each factor took away.

Base: 33 CFR 183.425 Table 5, by AWG size and insulation temperature. An insulation between two columns takes the
cooler column. A metric or SAE size, or an AWG size thinner than its name, takes the largest AWG not bigger than its
copper: so 2.5 mm2 counts as 14 AWG, and `14 SAE` (1.876 mm2) as 16 AWG (caution, ours: the law itself lets SAE sizes
go by name). Rows thinner than 18 AWG are extrapolated with caution; their source column says how.

Ambient: NEC 310.15(B), sqrt((Tc - Ta)/(Tc - 30)), Ta = top of the 5 K band, Tc = the insulation's own rating even when
the base came from a cooler column: the true ampacity of that insulation at 30 C is not below the column's, so the
product does not overstate. Cooler air than 30 C is never used to raise a rating.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Stretch
from ribway.sizing.errors import SizingError, TableFaultError
from ribway.sizing.gauge import awg_area_mm2, canonical_gauge
from ribway.sizing.rules import SizingRules, bundle_factor
from ribway.sizing.tabledata import check_rising, number_in, table_rows

BASE_AMBIENT_C: Final = 30.0
BAND_K: Final = 5.0
COLUMNS_C: Final = (60, 75, 80, 90, 105, 125, 200)


@dataclass(frozen=True)
class AmpacityRow:
    """One gauge of the base table: name, its copper [mm2], amps by column of `COLUMNS_C`."""

    awg: str
    area_mm2: float
    amps: tuple[float, ...]


@dataclass(frozen=True)
class BaseAmpacity:
    """Where the base amperage came from.

    Attributes:
        amps: base [A]; 0 if the table has nothing for this conductor.
        row_awg: row used, or None.
        column_c: column used [deg C], or None.
        because: one clause for people.
    """

    amps: float
    row_awg: str | None
    column_c: int | None
    because: str


@dataclass(frozen=True)
class Factor:
    """One factor and what it changed.

    Attributes:
        name: `ambient` or `bundle`.
        value: the factor.
        before_a: amperage before it [A].
        after_a: amperage after it [A].
        because: one clause for people.
    """

    name: str
    value: float
    before_a: float
    after_a: float
    because: str


@dataclass(frozen=True)
class Ampacity:
    """Ampacity of a conductor in its worst stretch.

    Attributes:
        base: the table value.
        where: the worst stretch.
        factors: in the order applied.
        derated_a: what may flow continuously [A].
    """

    base: BaseAmpacity
    where: str
    factors: tuple[Factor, ...]
    derated_a: float


@cache
def ampacity_rows() -> tuple[AmpacityRow, ...]:
    """The base table, thin to thick. Source: 33 CFR 183.425 Table 5; rows 20 and 22 ours."""
    table = "ampacity_33cfr183"
    names = tuple(f"c{column}_a" for column in COLUMNS_C)
    rows = tuple(
        AmpacityRow(row["awg"], awg_area_mm2(row["awg"]), tuple(number_in(table, row, name) for name in names))
        for row in table_rows(table, ("awg", *names), ("awg",))
    )
    check_rising(table, [row.area_mm2 for row in rows], "size")
    for row in rows:
        if list(row.amps) != sorted(row.amps):
            raise TableFaultError(f"{table}.csv: {row.awg} AWG carries less in a hotter column")
    return rows


def _row_of(conductor: Conductor) -> AmpacityRow | None:
    """The row a conductor goes by: the largest not bigger than its copper; None if it is thinner than all."""
    fitting = [row for row in ampacity_rows() if row.area_mm2 <= conductor.counts_as_mm2]
    return fitting[-1] if fitting else None


@cache
def base_ampacity(conductor: Conductor) -> BaseAmpacity:
    """Allowable amperage of one conductor alone in air of 30 C.

    Args:
        conductor: the stocked cable.

    Returns:
        Amps and where they came from; 0 A for a conductor thinner than the table or insulation below 60 C.

    Source: 33 CFR 183.425 Table 5.
    """
    row = _row_of(conductor)
    if row is None:
        thinnest = ampacity_rows()[0].awg
        return BaseAmpacity(
            0.0, None, None, f"{conductor.copper_mm2:.4g} mm2 is thinner than {thinnest} AWG: no table value"
        )
    columns = [column for column in COLUMNS_C if column <= conductor.insulation_c]
    if not columns:
        return BaseAmpacity(
            0.0, row.awg, None, f"insulation for {conductor.insulation_c:g} C: no column below {COLUMNS_C[0]} C"
        )
    column = columns[-1]
    because = f"{row.awg} AWG, {column} C column of 33 CFR 183.425"
    if conductor.system != "awg" or canonical_gauge(conductor.size_name) != row.awg:
        because += f", the largest not bigger than {conductor.copper_mm2:.4g} mm2"
    return BaseAmpacity(row.amps[COLUMNS_C.index(column)], row.awg, column, because)


def ambient_factor(insulation_c: float, ambient_c: float) -> float:
    """Share of its ampacity a conductor keeps in air warmer than 30 C.

    Args:
        insulation_c: rated temperature of the insulation, above 30 [deg C].
        ambient_c: air temperature [deg C]; the top of its 5 K band is used.

    Returns:
        Factor from 0 (air as hot as the insulation may be) to 1 (30 C and cooler).

    Source: NEC 310.15(B) equation, which reproduces every entry of NEC Table 310.15(B)(1).
    """
    if ambient_c <= BASE_AMBIENT_C:
        return 1.0
    top_c = BAND_K * math.ceil(ambient_c / BAND_K - 1e-9)
    if top_c >= insulation_c:
        return 0.0
    return math.sqrt((insulation_c - top_c) / (insulation_c - BASE_AMBIENT_C))


def _shares(conductor: Conductor, stretch: Stretch, rules: SizingRules) -> tuple[float, float]:
    """Ambient and bundle factor in one stretch."""
    ambient = 1.0 if rules.ambient == "none" else ambient_factor(conductor.insulation_c, stretch.ambient_c)
    return ambient, bundle_factor(rules.bundle, stretch.loaded_conductors)


def _in_stretch(conductor: Conductor, stretch: Stretch, rules: SizingRules) -> Ampacity:
    base = base_ampacity(conductor)
    ambient, bundle = _shares(conductor, stretch, rules)
    hot_a = base.amps * ambient
    derated_a = hot_a * bundle
    why_ambient = f"{stretch.ambient_c:g} C air, {conductor.insulation_c:g} C insulation ({rules.ambient})"
    why_bundle = f"{stretch.loaded_conductors} loaded conductors ({rules.bundle})"
    factors = (
        Factor("ambient", ambient, base.amps, hot_a, why_ambient),
        Factor("bundle", bundle, hot_a, derated_a, why_bundle),
    )
    return Ampacity(base, stretch.where, factors, derated_a)


def derated_ampacity(conductor: Conductor, stretches: Sequence[Stretch], rules: SizingRules) -> Ampacity:
    """Ampacity where it is least along a run.

    Args:
        conductor: the stocked cable.
        stretches: surroundings along it, at least one.
        rules: bundle and ambient rules.

    Returns:
        The worst stretch's ampacity, the first of equals.

    Raises:
        SizingError: no stretch given.
    """
    if not stretches:
        raise SizingError(f"cable {conductor.id!r}: no stretch given, so its surroundings are not known")
    worst = min(stretches, key=lambda stretch: math.prod(_shares(conductor, stretch, rules)))
    return _in_stretch(conductor, worst, rules)
