"""Loss of coaxial cable and the budget of a run of it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Final

from ribway.sizing.errors import BadNumberError, UnknownRuleError, check_number
from ribway.sizing.tabledata import number_in, table_rows

CONNECTOR_DB: Final = 0.2
"""A sound connector, erring high [dB]: common practice, no source."""
LOW_MHZ: Final = 100.0
HIGH_MHZ: Final = 1000.0


@dataclass(frozen=True)
class Coax:
    """A coaxial cable.

    Attributes:
        name: its name.
        ohm: its impedance [ohm].
        db_per_100m_low: loss at 100 MHz [dB per 100 m].
        db_per_100m_high: loss at 1 GHz [dB per 100 m].
        bend_factor: least inside bend radius over outside diameter.
    """

    name: str
    ohm: float
    db_per_100m_low: float
    db_per_100m_high: float
    bend_factor: float


@cache
def coax_named(name: str) -> Coax:
    """A coaxial cable of the table.

    Raises:
        UnknownRuleError: listing the known cables.

    Source: tables/coax.csv: common practice, no source; a maker's own figures go before.
    """
    table = "coax"
    columns = ("cable", "ohm", "db_per_100m_at_100mhz", "db_per_100m_at_1ghz", "bend_factor")
    rows = table_rows(table, columns, ("cable",))
    for row in rows:
        if row["cable"] == name:
            return Coax(name, *(number_in(table, row, column) for column in columns[1:]))
    raise UnknownRuleError(f"coax {name!r} is not known; accepted: {', '.join(row['cable'] for row in rows)}")


def coax_db_per_m(cable: Coax, frequency_mhz: float) -> float:
    """Loss of a coaxial cable at a frequency [dB/m].

    Args:
        cable: the cable.
        frequency_mhz: frequency, 1 to 6000 [MHz].

    Source: loss = a sqrt(f) + b f (skin effect and dielectric), drawn through the two stated losses.
    """
    if not 1.0 <= frequency_mhz <= 6000.0:
        raise BadNumberError(f"frequency is {frequency_mhz!r} MHz; give one from 1 to 6000 MHz")
    low, high = cable.db_per_100m_low, cable.db_per_100m_high
    roots = math.sqrt(LOW_MHZ), math.sqrt(HIGH_MHZ)
    determinant = roots[0] * HIGH_MHZ - roots[1] * LOW_MHZ
    skin = (low * HIGH_MHZ - high * LOW_MHZ) / determinant
    dielectric = (roots[0] * high - roots[1] * low) / determinant
    return (skin * math.sqrt(frequency_mhz) + dielectric * frequency_mhz) / 100.0


@dataclass(frozen=True)
class CoaxBudget:
    """A run of coaxial cable against its budget.

    Attributes:
        lost_db: cable and connectors [dB].
        allowed_db: budget [dB].
        arrives_percent: share of the power that arrives [%].
        longest_m: longest run within the budget [m]; 0 if the connectors alone use it up.
    """

    lost_db: float
    allowed_db: float
    arrives_percent: float
    longest_m: float

    @property
    def holds(self) -> bool:
        """Whether the run keeps its budget."""
        return self.lost_db <= self.allowed_db * (1.0 + 1e-9)


def coax_budget(
    cable: Coax,
    length_m: float,
    frequency_mhz: float,
    allowed_db: float,
    connectors: int = 2,
    connector_db: float = CONNECTOR_DB,
) -> CoaxBudget:
    """A run of coaxial cable against its budget.

    Args:
        cable: the cable.
        length_m: cut length, coil included [m].
        frequency_mhz: highest frequency in use [MHz].
        allowed_db: loss allowed from end to end [dB].
        connectors: plugs and joints on the way.
        connector_db: loss of each [dB].
    """
    check_number(length_m, "length of the coax [m]")
    check_number(allowed_db, "loss allowed [dB]", positive=True)
    check_number(connector_db, "loss of a connector [dB]")
    if connectors < 0:
        raise BadNumberError(f"{connectors!r} connectors; give 0 or more")
    per_m = coax_db_per_m(cable, frequency_mhz)
    ends_db = connectors * connector_db
    lost = per_m * length_m + ends_db
    longest = max(0.0, allowed_db - ends_db) / per_m
    return CoaxBudget(lost, allowed_db, 100.0 * math.pow(10.0, -lost / 10.0), longest)
