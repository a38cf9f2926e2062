"""Formulas for the area that printed charts rest on, as named presets: they disagree, and none is law for a van.

ribway itself reckons with the greatest resistance the stock may have (see `resistance.py`) at the temperature of the copper,
which asks for more copper than any of these. They are here to say why another chart prints another size.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

from ribway.sizing.copper import RESISTIVITY_20C_OHM_MM2_PER_M
from ribway.sizing.drop import area_needed_mm2
from ribway.sizing.errors import TableFaultError, UnknownRuleError
from ribway.sizing.gauge import awg_area_mm2, gauge_rows, sae_area_mm2
from ribway.sizing.tabledata import number_in, table_rows

Areas = Literal["sae", "awg", "metric"]


@dataclass(frozen=True)
class DropFormula:
    """A formula that a chart rests on.

    Attributes:
        name: its name.
        resistivity_ohm_mm2_per_m: of the copper it reckons with [ohm mm2/m].
        areas: the sizes its chart prints.
        source: where it is from.
    """

    name: str
    resistivity_ohm_mm2_per_m: float
    areas: Areas
    source: str

    @property
    def understates(self) -> bool:
        """Whether it reckons with better copper than there is at 20 C."""
        return self.resistivity_ohm_mm2_per_m < RESISTIVITY_20C_OHM_MM2_PER_M


@cache
def drop_formula(name: str) -> DropFormula:
    """A formula by name: `ABYC E-11`, `ISO 10133`, `K 12.9`, `kappa 56`, `0.01785`.

    Raises:
        UnknownRuleError: listing the known names.
    """
    table = "drop_formulas"
    rows = table_rows(table, ("name", "resistivity_ohm_mm2_per_m", "areas"), ("name",))
    for row in rows:
        if row["name"] == name:
            if row["areas"] not in ("sae", "awg", "metric"):
                raise TableFaultError(f"{table}.csv: areas of {name} are {row['areas']!r}")
            areas = cast("Areas", row["areas"])
            return DropFormula(name, number_in(table, row, "resistivity_ohm_mm2_per_m"), areas, row["source"])
    raise UnknownRuleError(f"drop formula {name!r} is not known; accepted: {', '.join(row['name'] for row in rows)}")


def formula_area_mm2(name: str, amps: float, loop_m: float, allowed_v: float) -> float:
    """Area that a formula asks for [mm2].

    Args:
        name: of the formula.
        amps: current [A].
        loop_m: there and back [m].
        allowed_v: drop allowed [V].
    """
    return area_needed_mm2(amps, loop_m, allowed_v, drop_formula(name).resistivity_ohm_mm2_per_m)


def formula_gauge(name: str, amps: float, loop_m: float, allowed_v: float) -> str | None:
    """The gauge that a chart in gauges prints; None if none is thick enough, or the chart is in mm2."""
    areas = drop_formula(name).areas
    if areas == "metric":
        return None
    area_of = sae_area_mm2 if areas == "sae" else awg_area_mm2
    needed = formula_area_mm2(name, amps, loop_m, allowed_v)
    # Charts print even gauges and 1; 3 AWG and odd ones below are not sold as boat cable.
    names = [row.name for row in gauge_rows() if row.name not in ("20", "22", "3")]
    return next((gauge for gauge in names if area_of(gauge) >= needed), None)
