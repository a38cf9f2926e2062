"""Conductor metals. Reels of copper-clad aluminium are sold as copper; here they are told apart."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from ribway.sizing.errors import UnknownRuleError
from ribway.sizing.tabledata import number_in, table_rows

COPPER: Final = "copper"


@dataclass(frozen=True)
class Metal:
    """A conductor metal.

    Attributes:
        name: its name.
        resistivity_ohm_mm2_per_m: at 20 C [ohm mm2/m].
        alpha_per_k: temperature coefficient of its resistance at 20 C [1/K].
        density_g_per_cm3: density [g/cm3].
        copper_share: share of its volume that is copper, 0 to 1.
    """

    name: str
    resistivity_ohm_mm2_per_m: float
    alpha_per_k: float
    density_g_per_cm3: float
    copper_share: float


@cache
def metal_named(name: str) -> Metal:
    """A metal of the table: `copper`, `copper-clad aluminium`, `aluminium`.

    Raises:
        UnknownRuleError: listing the known names.

    Source: column `source` of tables/metals.csv.
    """
    table = "metals"
    columns = ("metal", "resistivity_ohm_mm2_per_m_20c", "alpha_per_k_20c", "density_g_per_cm3", "copper_share")
    rows = table_rows(table, columns, ("metal",))
    for row in rows:
        if row["metal"] == name:
            return Metal(name, *(number_in(table, row, column) for column in columns[1:]))
    raise UnknownRuleError(f"metal {name!r} is not known; accepted: {', '.join(row['metal'] for row in rows)}")


@cache
def times_copper(name: str) -> float:
    """How many times copper's resistance a metal has at 20 C."""
    return metal_named(name).resistivity_ohm_mm2_per_m / metal_named(COPPER).resistivity_ohm_mm2_per_m
