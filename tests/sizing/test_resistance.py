"""Resistance per metre against IEC 60228, NEC Table 8, SAE areas; sources stand in the rows of tests/data/checks."""

import csv
import math
from pathlib import Path

import pytest

from ribway.sizing.copper import copper_kg, ideal_ohm_per_m, resistance_at
from ribway.sizing.errors import BadNumberError, UnknownSizeError
from ribway.sizing.gauge import MM2_PER_CMIL, awg_area_mm2, canonical_gauge, gauge_rows, sae_area_mm2
from ribway.sizing.resistance import TINNED_OVER_PLAIN_AWG, ohm_per_m_20c

CHECKS = Path(__file__).parents[1] / "data" / "checks"
IEC = list(csv.DictReader((CHECKS / "iec60228.csv").open(encoding="utf-8")))
AWG = list(csv.DictReader((CHECKS / "awg.csv").open(encoding="utf-8")))


@pytest.mark.parametrize("row", IEC, ids=lambda row: row["area_mm2"])
def test_metric_is_class_5_maximum(row):
    area = float(row["area_mm2"])
    plain, tinned = (float(row[f"class5_{kind}max_ohm_per_km_20c"]) / 1000 for kind in ("", "tinned_"))
    assert ohm_per_m_20c("metric", area, row["area_mm2"]) == pytest.approx(plain, rel=1e-12)
    assert ohm_per_m_20c("metric", area, row["area_mm2"], True) == pytest.approx(tinned, rel=1e-12)


@pytest.mark.parametrize("row", [row for row in AWG if row["nec_table8_ohm_per_kft_75c"]], ids=lambda row: row["awg"])
def test_awg_is_table_8_brought_to_20_c(row):
    at_75 = float(row["nec_table8_ohm_per_kft_75c"]) / 304.8
    ours = ohm_per_m_20c("awg", float(row["area_mm2"]), row["awg"])
    assert resistance_at(ours, 75) == pytest.approx(at_75, rel=2e-4)  # area_mm2 is printed with four digits
    assert ours * 1.2162 == pytest.approx(at_75, rel=2e-4)  # factors.csv: resistance 20 to 75 C
    if row["sae_j1127_j1128_cmil"]:
        sae = ohm_per_m_20c("sae", float(row["area_mm2"]), row["awg"])
        assert sae / ours == pytest.approx(float(row["cmil"]) / float(row["sae_j1127_j1128_cmil"]), rel=4e-4)


@pytest.mark.parametrize("row", AWG, ids=lambda row: row["awg"])
def test_areas(row):
    assert awg_area_mm2(row["awg"]) == pytest.approx(float(row["area_mm2"]), rel=2e-4)
    assert float(row["cmil"]) * MM2_PER_CMIL == pytest.approx(float(row["area_mm2"]), rel=1e-3)
    if row["sae_j1127_j1128_cmil"]:
        area = float(row["sae_j1127_j1128_cmil"]) * math.pi / 4 * 0.0254**2
        assert sae_area_mm2(row["awg"]) == pytest.approx(area, rel=1e-12)
    assert 0.029 * 0.99 < 1 - sae_area_mm2(row["awg"]) / awg_area_mm2(row["awg"]) < 0.11  # 3 to 11 % thinner


def test_shipped_gauge_table_agrees_with_the_formula():
    for row in gauge_rows():
        assert awg_area_mm2(row.name) == pytest.approx(row.area_mm2, rel=2e-4)


def test_sizes_outside_table_8_are_scaled_by_area():
    """20 AWG: 18 AWG's 7.95 ohm/kft x 1624/1022 cmil (ASTM B258), brought to 20 C."""
    expected = 7.95 / 304.8 / (1 + 0.00393 * 55) * 1624 / 1022
    assert ohm_per_m_20c("awg", 0.5176, "20") == pytest.approx(expected, rel=1e-3)
    assert ohm_per_m_20c("awg", 10.55, "7") > ideal_ohm_per_m(awg_area_mm2("7"))


def test_stated_thinner_awg_has_more_resistance_and_stated_thicker_none_less():
    full = ohm_per_m_20c("awg", awg_area_mm2("14"), "14")
    assert ohm_per_m_20c("awg", 1.9, "14") == pytest.approx(full * awg_area_mm2("14") / 1.9, rel=1e-9)
    assert ohm_per_m_20c("awg", 2.5, "14") == full


@pytest.mark.parametrize("tinned", [False, True])
def test_metric_between_rows_is_never_understated_and_never_rises_with_area(tinned):
    """Either neighbour's class 5 maximum scaled by area, unless the thinner row itself bounds it (IEC 60228)."""
    column = "class5_tinned_max_ohm_per_km_20c" if tinned else "class5_max_ohm_per_km_20c"
    rows = [(float(row["area_mm2"]), float(row[column]) / 1000) for row in IEC]
    last = math.inf
    for step in range(30, 20000):
        area = step / 100
        ours = ohm_per_m_20c("metric", area, "", tinned)
        thinner = max((row for row in rows if row[0] <= area), default=None)
        thicker = min((row for row in rows if row[0] >= area), default=None)
        least = max(row[0] * row[1] / area for row in (thinner, thicker) if row)
        assert ours >= min(least, thinner[1] if thinner else math.inf) * (1 - 1e-12)
        assert ours <= last * (1 + 1e-12)
        assert ours > ideal_ohm_per_m(area)
        last = ours


def test_order_of_systems_at_one_gauge():
    for name in ("18", "14", "10", "4", "1/0"):
        area = awg_area_mm2(name)
        plain = ohm_per_m_20c("awg", area, name)
        assert ohm_per_m_20c("sae", area, name) > plain > ideal_ohm_per_m(area)
        assert ohm_per_m_20c("awg", area, name, True) == pytest.approx(plain * TINNED_OVER_PLAIN_AWG)


@pytest.mark.parametrize(
    ("written", "means"),
    [("0", "1/0"), ("00", "2/0"), ("0000", "4/0"), ("4/0", "4/0"), ("#10", "10"), ("10 AWG", "10"), ("12ga", "12")],
)
def test_gauge_names(written, means):
    """ASTM B258 names; spellings are common practice."""
    assert canonical_gauge(written) == means


def test_two_aught_is_not_two():
    assert awg_area_mm2("2/0") == pytest.approx(67.43, abs=0.005)  # ASTM B258
    assert awg_area_mm2("2") == pytest.approx(33.63, abs=0.005)


@pytest.mark.parametrize("name", ["", "5/0", "00000", "2.5", "-1", "41", "14/2", "six", "012"])
def test_unknown_gauge_is_refused_by_name(name):
    with pytest.raises(UnknownSizeError, match="accepted"):
        canonical_gauge(name)


def test_bad_numbers_are_refused():
    with pytest.raises(BadNumberError, match="area"):
        ohm_per_m_20c("metric", 0.0, "0")
    with pytest.raises(BadNumberError, match="area"):
        ohm_per_m_20c("metric", math.nan, "")
    with pytest.raises(UnknownSizeError, match="inch"):
        ohm_per_m_20c("inch", 1.0, "1")
    with pytest.raises(BadNumberError, match="temperature"):
        resistance_at(1.0, 1000)


def test_copper_of_a_pair():
    """voltage_drop.csv row 23: 23.94 mm2 pair, 429 g per metre at 8.96 g/cm3."""
    assert copper_kg(23.946, 2) == pytest.approx(0.429, rel=0.002)
