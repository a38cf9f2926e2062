"""Tables that rest on memory, held against what was read and against closed forms: a slip of one figure would show.

What none of this can show is that a whole table is the standard's; docs/sizing.md says which rest on memory.
"""

import csv
import math
from importlib import resources

import numpy as np
import pytest


def rows(name):
    return list(csv.DictReader(resources.files("ribway.sizing.tables").joinpath(f"{name}.csv").open(encoding="utf-8")))


def area_mm2(gauge):
    """ASTM B258: 0.127 mm x 92^((36 - n)/39)."""
    number = 1 - int(gauge[0]) if gauge.endswith("/0") else int(gauge)
    return math.pi / 4 * (0.127 * 92 ** ((36 - number) / 39)) ** 2


LAW = {area_mm2(row["awg"]): row for row in rows("ampacity_33cfr183")}
"""33 CFR 183.425 table 5: law text read."""


@pytest.mark.parametrize("column", [105, 125, 200])
def test_iso_amperes_lie_between_those_of_the_laws_neighbouring_gauges(column):
    for row in rows("ampacity_iso10133"):
        area, amps = float(row["area_mm2"]), float(row[f"c{column}_a"])
        below = [float(law[f"c{column}_a"]) for size, law in LAW.items() if size <= area]
        above = [float(law[f"c{column}_a"]) for size, law in LAW.items() if size >= area]
        assert max(below, default=0.0) <= amps <= min(above, default=math.inf), row


@pytest.mark.parametrize(("column", "law_column"), [(60, 60), (70, 75), (85, 90)])
def test_iso_amperes_of_cooler_insulation_are_never_above_the_law(column, law_column):
    """Where the columns are not alike, ours is the stricter: never more than the law's next greater gauge, next hotter column."""
    for row in rows("ampacity_iso10133"):
        above = [float(law[f"c{law_column}_a"]) for size, law in LAW.items() if size >= float(row["area_mm2"])]
        assert float(row[f"c{column}_a"]) <= min(above, default=math.inf), row


def rise(celsius):
    """Amperes go with the root of the rise above 30 C over the hot resistance (Neher and McGrath 1957, copper 234.5)."""
    return math.sqrt((celsius - 30) / (234.5 + celsius))


@pytest.mark.parametrize(("column", "base"), [(75, 60), (90, 60), (90, 75)])
def test_nec_columns_follow_from_one_another(column, base):
    """To half of the table's step of 5 A and 1 %, from 10 AWG on; below that NEC 240.4(D) keeps them down."""
    for row in rows("ampacity_nec310"):
        if area_mm2(row["awg"]) > area_mm2("12"):
            expected = float(row[f"c{base}_a"]) * rise(column) / rise(base)
            assert float(row[f"c{column}_a"]) == pytest.approx(expected, abs=2.5 + 0.01 * expected), row


def test_nec_terminal_column_is_that_of_60_degrees():
    whole = {row["awg"]: row["c60_a"] for row in rows("ampacity_nec310")}
    assert all(row["c60_a"] == whole[row["awg"]] for row in rows("ampacity_nec310_terminals"))


@pytest.mark.parametrize("column", ["c70_a", "c90_a"])
def test_iec_amperes_are_a_power_of_the_area(column):
    """IEC 60364-5-52 annex D gives them as I = A S^m, m about 0.6 (form and size of m from memory): to 2.5 %."""
    table = rows("ampacity_iec60364")
    areas, amps = (np.log([float(row[name]) for row in table]) for name in ("area_mm2", column))
    m, log_a = np.polyfit(areas, amps, 1)
    assert 0.58 < m < 0.62
    assert np.abs(np.expm1(m * areas + log_a - amps)).max() < 0.025


@pytest.mark.parametrize("stranding", ["iec60228_class2", "iec60228_class5"])
def test_greatest_resistances_leave_little_less_metal_than_the_nominal_area(stranding):
    """Ohm times nominal area over pure copper's: classes allow at most 1.2 times, tinned a few per cent more (IEC 60228)."""
    for row in rows(stranding):
        over = float(row["plain_ohm_per_km_20c"]) * float(row["area_mm2"]) / 17.241
        assert 1.0 <= over < 1.2, row
        assert 1.0 < float(row["tinned_ohm_per_km_20c"]) / float(row["plain_ohm_per_km_20c"]) < 1.04, row
