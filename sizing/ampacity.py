"""Allowable amperage of a stocked conductor where it lies, and what each factor took away.

Base: a named table: see `bases.py`.

Ambient: NEC 310.15(B), sqrt((Tc - Ta)/(Tc - 30)), Ta = top of the 5 K band, Tc = the insulation's own rating even when
the base came from a cooler column: the true ampacity of that insulation at 30 C is not below the column's, so the
product does not overstate. Cooler air than 30 C is never used to raise a rating. (ISO 10133 has milder factors for an
engine space at 60 C; this formula is stricter there for every insulation.)

Bundle: the named factor, the heat balance of the section (`heat/section.py`), or whichever leaves less. Below 50 V no law
asks for the factor. The balance has the ambient in it; its answer never raises what the table allows a single conductor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from ribway.sizing.bases import AmpacityRow, BaseTable, base_table
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Stretch
from ribway.sizing.errors import SizingError
from ribway.sizing.gauge import canonical_gauge
from ribway.sizing.heat.section import Section, allowed_amps
from ribway.sizing.metals import metal_named
from ribway.sizing.resistance import conductor_ohm_per_m_20c
from ribway.sizing.rules import SizingRules, bundle_factor

BASE_AMBIENT_C: Final = 30.0
BAND_K: Final = 5.0


@dataclass(frozen=True)
class BaseAmpacity:
    """Where the base amperage came from.

    Attributes:
        amps: base [A]; 0 if the table has nothing for this conductor.
        row: size of the row used, or None.
        column_c: column used [deg C], or None.
        because: one clause for people.
    """

    amps: float
    row: str | None
    column_c: int | None
    because: str


@dataclass(frozen=True)
class Factor:
    """One factor and what it changed.

    Attributes:
        name: `ambient`, `bundle` or `heat balance`.
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
def base_ampacity(conductor: Conductor, base: str = "33CFR183") -> BaseAmpacity:
    """Allowable amperage of one conductor alone in air of 30 C.

    Args:
        conductor: the stocked cable.
        base: name of the table: see `bases.py`.

    Returns:
        Amps and where they came from; 0 A for a conductor thinner than the table or insulation below its columns.

    Source: the table's own.
    """
    table = base_table(base)
    fitting = [row for row in table.rows if row.area_mm2 <= conductor.counts_as_mm2 * (1.0 + 1e-12)]
    if not fitting:
        thinnest = table.size_in_words(table.rows[0])
        return BaseAmpacity(
            0.0, None, None, f"{conductor.counts_as_mm2:.4g} mm2 is thinner than {thinnest}: no table value"
        )
    row = fitting[-1]
    columns = [column for column in table.columns_c if column <= conductor.insulation_c]
    if not columns:
        coolest = table.columns_c[0]
        return BaseAmpacity(
            0.0,
            row.size,
            None,
            f"insulation rated {conductor.insulation_c:g} C has no column; {coolest} C is the coolest",
        )
    column = columns[-1]
    because = f"{table.size_in_words(row)} in the {column} C column of {table.cites}"
    if not _is_of_size(conductor, table, row):
        because += f", the largest not bigger than {conductor.counts_as_mm2:.4g} mm2"
    return BaseAmpacity(row.amps[table.columns_c.index(column)], row.size, column, because)


def _is_of_size(conductor: Conductor, table: BaseTable, row: AmpacityRow) -> bool:
    if table.metric:
        return conductor.system == "metric" and conductor.counts_as_mm2 == row.area_mm2
    return conductor.system == "awg" and canonical_gauge(conductor.size_name) == row.size


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


def _in_stretch(conductor: Conductor, stretch: Stretch, rules: SizingRules) -> Ampacity:
    base = base_ampacity(conductor, rules.base)
    ambient = 1.0 if rules.ambient == "none" else ambient_factor(conductor.insulation_c, stretch.ambient_c)
    why_ambient = f"{stretch.ambient_c:g} C air, {conductor.insulation_c:g} C insulation ({rules.ambient})"
    factors = [Factor("ambient", ambient, base.amps, base.amps * ambient, why_ambient)]
    if rules.derating != "heat" or stretch.heat is None:
        factors.append(_bundle(factors[-1].after_a, stretch, rules))
    if rules.derating != "factor" and stretch.heat is not None:
        factors.append(_heat(factors[-1].after_a, conductor, stretch, stretch.heat))
    return Ampacity(base, stretch.where, tuple(factors), factors[-1].after_a)


def _bundle(before_a: float, stretch: Stretch, rules: SizingRules) -> Factor:
    share = bundle_factor(rules.bundle, stretch.loaded_conductors)
    because = f"{stretch.loaded_conductors} loaded conductors ({rules.bundle})"
    return Factor("bundle", share, before_a, before_a * share, because)


def _heat(before_a: float, conductor: Conductor, stretch: Stretch, section: Section) -> Factor:
    """The heat balance as one more factor: 1 where it allows what the table and the factors leave."""
    limit_c, metal = section.limit_c(conductor.insulation_c), metal_named(conductor.metal)
    ohm = conductor_ohm_per_m_20c(conductor)
    may_a = allowed_amps(section, stretch.ambient_c, ohm, limit_c, metal.alpha_per_k)
    after_a = min(before_a, may_a)
    because = (
        f"heat balance of a bundle of {1000 * section.diameter_m:.3g} mm in {stretch.ambient_c:g} C air, to {limit_c:g} C: "
        f"{may_a:.4g} A"
    )
    return Factor("heat balance", after_a / before_a if before_a > 0.0 else 1.0, before_a, after_a, because)


def derated_ampacity(conductor: Conductor, stretches: Sequence[Stretch], rules: SizingRules) -> Ampacity:
    """Ampacity where it is least along a run.

    Args:
        conductor: the stocked cable.
        stretches: surroundings along it, at least one.
        rules: table of amperes, bundle and ambient rules, and how a bundle derates.

    Returns:
        The worst stretch's ampacity, the first of equals.

    Raises:
        SizingError: no stretch given.
    """
    if not stretches:
        raise SizingError(f"cable {conductor.id!r}: no stretch given, so its surroundings are not known")
    if any(stretch.heat is not None for stretch in stretches):
        return min((_in_stretch(conductor, stretch, rules) for stretch in stretches), key=lambda one: one.derated_a)
    # Without a heat balance the worst stretch is that of the smallest factors, whatever the table says: quicker.
    return _in_stretch(conductor, min(stretches, key=lambda one: _share(conductor, one, rules)), rules)


def _share(conductor: Conductor, stretch: Stretch, rules: SizingRules) -> float:
    ambient = 1.0 if rules.ambient == "none" else ambient_factor(conductor.insulation_c, stretch.ambient_c)
    return ambient * bundle_factor(rules.bundle, stretch.loaded_conductors)
