"""Named presets that disagree, against voltage_drop.csv; AC figures; the usual sizes of the trade."""

import csv
import re
from pathlib import Path

import pytest

from ribway.sizing.ac_information import LICENSED, ac_information
from ribway.sizing.conductor import Conductor
from ribway.sizing.copper import RESISTIVITY_20C_OHM_MM2_PER_M
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.drop_formulas import drop_formula, formula_area_mm2, formula_gauge
from ribway.sizing.errors import UnknownRuleError
from ribway.sizing.gauge import MM2_PER_CMIL, awg_area_mm2
from ribway.sizing.resistance import greatest_ohm_mm2_per_m_20c
from ribway.sizing.rules import rule_set
from ribway.sizing.verdict import passes

CHECKS = Path(__file__).parents[1] / "data" / "checks"
FT = 0.3048


def rows(name):
    with (CHECKS / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


DROP = {int(row["case"]): row for row in rows("voltage_drop")}


@pytest.mark.parametrize(("case", "share"), [(12, 0.03), (13, 0.10)])
def test_abyc_chart(case, share):
    """Rows 12 and 13: 10 A, 21 ft there and back: 6271 and 1881 cmil, printed as 10 and 16 AWG."""
    cmil, gauge = re.findall(r"(\d+) cmil -> (\d+) AWG", DROP[case]["answer"])[0]
    assert formula_area_mm2("ABYC E-11", 10, 21 * FT, share * 12) / MM2_PER_CMIL == pytest.approx(float(cmil), abs=1)
    assert formula_gauge("ABYC E-11", 10, 21 * FT, share * 12) == gauge


def test_the_chart_of_another_trade_prints_another_gauge():
    """Row 12: 12 AWG only for wire of the full 6530 cmil; K 12.9 asks for 20 % more copper."""
    assert formula_area_mm2("K 12.9", 10, 21 * FT, 0.36) / formula_area_mm2(
        "ABYC E-11", 10, 21 * FT, 0.36
    ) == pytest.approx(12.9 / 10.75, rel=1e-4)
    assert formula_gauge("ISO 10133", 10, 21 * FT, 0.36) is None
    assert formula_gauge("ABYC E-11", 1000, 100, 0.1) is None


@pytest.mark.parametrize(("name", "amps", "loop_m", "volts", "area"), [
    ("K 12.9", 20, 200 * FT, 7.902, 6530 * MM2_PER_CMIL),  # row 1
    ("0.01785", 1, 40, 0.54923, 1.3),  # row 9
    ("kappa 56", 25 / 12, 36, 0.6, 2.23),  # row 11
])  # fmt: skip
def test_worked_examples(name, amps, loop_m, volts, area):
    assert formula_area_mm2(name, amps, loop_m, volts) == pytest.approx(area, rel=2e-3)


def test_iso_reckons_with_better_copper_than_there_is():
    """0.0164 against 0.017241 ohm mm2/m (IEC 60028): 5 % too little; no other preset does."""
    names = ("ABYC E-11", "ISO 10133", "K 12.9", "kappa 56", "0.01785")
    assert [name for name in names if drop_formula(name).understates] == ["ISO 10133"]
    assert drop_formula("ISO 10133").resistivity_ohm_mm2_per_m / RESISTIVITY_20C_OHM_MM2_PER_M == pytest.approx(
        0.951, abs=1e-3
    )
    with pytest.raises(UnknownRuleError, match="accepted: ABYC E-11, ISO 10133"):
        drop_formula("Atlantis")


def test_stock_is_reckoned_worse_than_any_preset_at_the_same_temperature():
    """IEC 60228 class 5 and NEC Table 8 at 20 C, against presets for 20 to 30 C."""
    cool = [drop_formula(name).resistivity_ohm_mm2_per_m for name in ("ABYC E-11", "ISO 10133", "kappa 56", "0.01785")]
    assert greatest_ohm_mm2_per_m_20c() > max(cool)


def test_ac_is_information_for_a_licensed_person():
    """12 AWG, 90 C, 20 A, 10 m, 120 V: NEC Table 8 1.98 ohm/kft at 75 C, brought to 90 C."""
    wire = Conductor("12", "awg", "12", awg_area_mm2("12"), 3, 90.0, True)
    told = ac_information(wire, 20, 25, 10, 120, [Stretch("wall", 30, 3)])
    ohm = 1.98 / 304.8 / (1 + 0.00393 * 55) * (1 + 0.00393 * 70)
    assert told.drop_v == pytest.approx(20 * 20 * ohm, rel=1e-3)
    assert told.drop_percent == pytest.approx(told.drop_v / 1.2)
    assert told.derated_a == 20  # the 60 C column: terminals to 100 A (NEC 110.14(C))
    assert told.says == (
        LICENSED,
        "the 25 A breaker is above the 20 A the cable may carry where it lies",
        "12 AWG may have a breaker of 20 A at most (NEC 240.4(D))",
    )
    hot = ac_information(wire, 20, 20, 10, 120, [Stretch("roof", 60, 9)])
    assert "the 20 A breaker is above the" in hot.says[1]
    assert "not known" in ac_information(wire, 20, None, 10, 120, [Stretch("wall", 30, 3)]).says[1]


# What such circuits draw, and how much they may lose: common practice, no source.
USUAL = {"fridge": (5.0, 3.0), "pump": (5.0, 10.0), "fan": (3.0, 10.0), "USB": (5.0, 10.0), "light": (2.0, 10.0)}


@pytest.mark.parametrize("row", rows("usual_sizes"), ids=lambda row: row["circuit"])
def test_usual_sizes_keep_every_limit(row):
    """usual_sizes.csv (common practice, no source), with arms of 0.85 m, 105 C marine cable at 75 C, a twin by itself."""
    gauge = re.match(r"\d+", row["usual size"])
    arms = re.match(r"\d+", row["run"])
    assert gauge is not None
    assert arms is not None
    amps, limit = next((value for key, value in USUAL.items() if key in row["circuit"]), (2.0, 10.0))
    wire = Conductor(gauge[0], "awg", gauge[0], awg_area_mm2(gauge[0]), 2, 105.0, True)
    demand = Demand(
        (Leg(0.85 * int(arms[0]), amps),), (Stretch("wall", 40, 2),), 12.0, limit, conductor_temperature_c=75.0
    )
    assert passes(wire, demand, rule_set()).ok
