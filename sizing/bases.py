"""Tables of amperes: what one conductor may carry alone in air of 30 C, by size and insulation temperature.

33CFR183  33 CFR 183.425 Table 5 (the amperes of ABYC E-11 are the same table), by AWG
ISO10133  ISO 10133 table A.1, taken over by ISO 13297, by mm2
NEC310    NEC Table 310.16, for AC, by AWG
NEC310-60 the same, its 60 C column alone: what terminals allow to 100 A (NEC 110.14(C)), whatever the insulation
IEC60364  IEC 60364-5-52, method A2, two loaded conductors, for AC, by mm2

A conductor that is not in the table takes the largest row not bigger than its copper: so 2.5 mm2 counts as 14 AWG, and
`14 SAE` (1.876 mm2) as 16 AWG (caution, ours: the law itself lets SAE sizes go by name). An insulation between two columns
takes the cooler one. Rows thinner than the table's own are extrapolated with caution; their source column says how.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ribway.sizing.errors import TableFaultError, UnknownRuleError
from ribway.sizing.gauge import awg_area_mm2
from ribway.sizing.rules import BASES
from ribway.sizing.tabledata import check_rising, number_in, table_rows


@dataclass(frozen=True)
class AmpacityRow:
    """One size of a table: its name, its copper [mm2], amps by column; 0 A where the table has none."""

    size: str
    area_mm2: float
    amps: tuple[float, ...]


@dataclass(frozen=True)
class BaseTable:
    """A table of amperes.

    Attributes:
        name: one of `rules.BASES`.
        cites: the standard, for people.
        metric: whether its sizes are mm2, not AWG.
        columns_c: insulation temperatures, rising [deg C].
        rows: thin to thick.
    """

    name: str
    cites: str
    metric: bool
    columns_c: tuple[int, ...]
    rows: tuple[AmpacityRow, ...]

    def size_in_words(self, row: AmpacityRow) -> str:
        """`14 AWG` or `2.5 mm2`."""
        return f"{row.size} mm2" if self.metric else f"{row.size} AWG"


_FILES = {
    "33CFR183": ("ampacity_33cfr183", "33 CFR 183.425", "awg", (60, 75, 80, 90, 105, 125, 200)),
    "ISO10133": ("ampacity_iso10133", "ISO 10133 table A.1", "area_mm2", (60, 70, 85, 105, 125, 200)),
    "NEC310": ("ampacity_nec310", "NEC Table 310.16", "awg", (60, 75, 90)),
    "NEC310-60": ("ampacity_nec310_terminals", "NEC Table 310.16", "awg", (60,)),
    "IEC60364": ("ampacity_iec60364", "IEC 60364-5-52, method A2", "area_mm2", (70, 90)),
}


@cache
def base_table(name: str) -> BaseTable:
    """A table of amperes by name.

    Raises:
        UnknownRuleError: listing the known names. TableFaultError: damaged.

    Source: column `source` of each file.
    """
    if name not in _FILES:
        raise UnknownRuleError(f"table of amperes {name!r} is not known; accepted: {', '.join(BASES)}")
    file, cites, key, columns = _FILES[name]
    metric = key == "area_mm2"
    cells = tuple(f"c{column}_a" for column in columns)
    rows = tuple(
        AmpacityRow(
            row[key],
            number_in(file, row, key) if metric else awg_area_mm2(row[key]),
            tuple(number_in(file, row, cell) for cell in cells),
        )
        for row in table_rows(file, (key, *cells), (key,))
    )
    check_rising(file, [row.area_mm2 for row in rows], "size")
    for row in rows:
        if list(row.amps) != sorted(row.amps):
            raise TableFaultError(f"{file}.csv: {row.size} carries less in a hotter column")
    return BaseTable(name, cites, metric, columns, rows)
