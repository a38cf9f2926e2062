"""AWG and SAE size names and their copper areas."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Final

from ribway.sizing.errors import UnknownSizeError
from ribway.sizing.tabledata import check_rising, number_in, table_rows

MM2_PER_CMIL: Final = math.pi / 4.0 * 0.0254**2
"""One circular mil [mm2]: a circle 0.001 inch across."""
THINNEST_AWG: Final = 40

_NAME = re.compile(
    r"^(?:#\s*)?(?:(?P<aught>[1-4])/0|(?P<zeros>0{1,4})|(?P<number>[1-9]\d?))(?:\s*(?:AWG|SAE|GA))?$", re.I
)


@dataclass(frozen=True)
class GaugeRow:
    """One row of the gauge table.

    Attributes:
        name: `18` ... `1`, `1/0` ... `4/0`.
        area_mm2: ASTM B258 area [mm2].
        cmil: the same [circular mil].
        table8_ohm_per_kft_75c: NEC Chapter 9 Table 8, stranded uncoated copper at 75 C [ohm per 1000 ft], or None.
        sae_cmil: least area of the SAE J1127/J1128 size of that name [circular mil], or None.
    """

    name: str
    area_mm2: float
    cmil: float
    table8_ohm_per_kft_75c: float | None
    sae_cmil: float | None


@cache
def gauge_rows() -> tuple[GaugeRow, ...]:
    """The gauge table, thin to thick.

    Source: ASTM B258; NFPA 70 (NEC) 2020 Chapter 9 Table 8; SAE J1127/J1128.
    """
    columns = ("awg", "n", "area_mm2", "cmil", "table8_ohm_per_kft_75c", "sae_cmil")
    rows = tuple(
        GaugeRow(
            row["awg"],
            number_in("awg", row, "area_mm2"),
            number_in("awg", row, "cmil"),
            number_in("awg", row, "table8_ohm_per_kft_75c") if row["table8_ohm_per_kft_75c"] else None,
            number_in("awg", row, "sae_cmil") if row["sae_cmil"] else None,
        )
        for row in table_rows("awg", columns, ("awg",))
    )
    check_rising("awg", [row.area_mm2 for row in rows], "area_mm2")
    return rows


@cache
def canonical_gauge(size_name: str) -> str:
    """The one name used here for a gauge: `10`, `1/0`, `4/0`.

    Args:
        size_name: `10`, `#10`, `10 AWG`, `0`, `1/0`, `0000`, `4/0` ...

    Returns:
        `40` ... `1`, `1/0`, `2/0`, `3/0`, `4/0`. One aught and `1/0` are the same size; `2/0` is never 2 AWG.

    Raises:
        UnknownSizeError: for anything else.
    """
    match = _NAME.match(size_name.strip())
    if match is None or (match["number"] and int(match["number"]) > THINNEST_AWG):
        raise UnknownSizeError(
            f"{size_name!r} is no AWG or SAE size; accepted: {THINNEST_AWG} to 1, 1/0 to 4/0, 0 to 0000"
        )
    if match["aught"]:
        return f"{match['aught']}/0"
    if match["zeros"]:
        return f"{len(match['zeros'])}/0"
    return str(int(match["number"]))


@cache
def awg_area_mm2(size_name: str) -> float:
    """Copper area of an AWG size.

    Args:
        size_name: any spelling `canonical_gauge` takes; odd sizes too.

    Returns:
        Area [mm2].

    Source: ASTM B258, d = 0.127 mm * 92^((36 - n)/39), with n = 0, -1, -2, -3 for 1/0 to 4/0.
    """
    name = canonical_gauge(size_name)
    n = 1 - int(name[0]) if name.endswith("/0") else int(name)
    diameter_mm = 0.127 * math.pow(92.0, (36 - n) / 39.0)
    return math.pi / 4.0 * diameter_mm**2


@cache
def sae_area_mm2(size_name: str) -> float:
    """Copper area of an SAE automotive size: 3 to 11 % less than the AWG size of the same name.

    A name without an SAE area in the table gets the AWG area times the smallest SAE/AWG ratio there (caution, ours).

    Args:
        size_name: any spelling `canonical_gauge` takes.

    Returns:
        Area [mm2].

    Source: SAE J1127/J1128 least areas.
    """
    name = canonical_gauge(size_name)
    for row in gauge_rows():
        if row.name == name and row.sae_cmil is not None:
            return row.sae_cmil * MM2_PER_CMIL
    return awg_area_mm2(name) * min(row.sae_cmil / row.cmil for row in gauge_rows() if row.sae_cmil is not None)
