"""Metals, classes, measured reels, joints; sources: IEC 60228, IEC 60028, IEC 60889, ASTM B566 as named."""

import csv
import math
from pathlib import Path

import pytest

from ribway.sizing.ampacity import ambient_factor, base_ampacity
from ribway.sizing.bases import base_table
from ribway.sizing.conductor import Conductor
from ribway.sizing.errors import BadNumberError, UnknownRuleError
from ribway.sizing.gauge import MM2_PER_CMIL, awg_area_mm2, sae_area_mm2
from ribway.sizing.held_stock import held, if_reel_is_bad, reel_ohm_per_m_20c, strands_area_mm2, weighed_area_mm2
from ribway.sizing.joints import fuse_ohm, joint_ohm
from ribway.sizing.metals import metal_named, times_copper
from ribway.sizing.resistance import hot_ohm_per_m, ohm_per_m_20c

CHECKS = Path(__file__).parents[1] / "data" / "checks"
IEC = list(csv.DictReader((CHECKS / "iec60228.csv").open(encoding="utf-8")))
CCA = "copper-clad aluminium"


def twin(area, **more):
    return Conductor(f"{area}", "metric", f"{area}", area, 2, 105.0, True, **more)


@pytest.mark.parametrize("row", IEC, ids=lambda row: row["area_mm2"])
def test_class_2_and_5(row):
    area = float(row["area_mm2"])
    assert ohm_per_m_20c("metric", area, "", stranding=2) * 1000 == pytest.approx(
        float(row["class2_max_ohm_per_km_20c"])
    )
    assert ohm_per_m_20c("metric", area, "") * 1000 == pytest.approx(float(row["class5_max_ohm_per_km_20c"]))
    tinned = ohm_per_m_20c("metric", area, "", True, stranding=2) / ohm_per_m_20c("metric", area, "", stranding=2)
    assert 1.0 < tinned < 1.03  # IEC 60228 allows tinned strands a little more


def test_clad_aluminium_lies_between_its_parts():
    """10 % copper by volume in parallel with 90 % aluminium: 1/(0.1/0.017241 + 0.9/0.028264) at best (closed form);
    density 0.1 x 8.96 + 0.9 x 2.70."""
    metal = metal_named(CCA)
    at_best = 1 / (0.1 / 0.017241 + 0.9 / 0.028264)
    assert at_best < metal.resistivity_ohm_mm2_per_m < 0.028264
    assert metal.density_g_per_cm3 == pytest.approx(0.1 * 8.96 + 0.9 * 2.70, rel=0.003)
    assert times_copper("copper") == 1
    assert 1.5 < times_copper(CCA) < 1.65


def test_clad_aluminium_loses_more_and_carries_less():
    copper, clad = twin(6.0), twin(6.0, metal=CCA)
    assert hot_ohm_per_m(clad, 20) == pytest.approx(hot_ohm_per_m(copper, 20) * times_copper(CCA))
    assert hot_ohm_per_m(clad, 80) / hot_ohm_per_m(clad, 20) == pytest.approx(1 + 0.00405 * 60)
    assert clad.counts_as_mm2 == pytest.approx(6.0 / times_copper(CCA))
    assert (base_ampacity(copper).row, base_ampacity(clad).row) == ("10", "12")
    with pytest.raises(UnknownRuleError, match="'tin' is not known; accepted: copper, copper-clad"):
        twin(6.0, metal="tin")
    with pytest.raises(BadNumberError, match="class 3"):
        twin(6.0, stranding=3)


def test_strands_and_scales():
    """28/0.30 is sold as 2 mm2: 1.979 mm2 (geometry). 1 m of 2.5 mm2 copper weighs 22.4 g (8.96 g/cm3)."""
    assert strands_area_mm2(28, 0.30) == pytest.approx(1.979, abs=0.0005)
    assert weighed_area_mm2(22.4, 1.0) == pytest.approx(2.5)
    assert weighed_area_mm2(8.3, 1.0, CCA) == pytest.approx(2.5)
    with pytest.raises(BadNumberError, match="strands"):
        strands_area_mm2(0, 0.3)


def test_measured_reel():
    """2.5 mm2 class 5 at 20 C: 7.98 mohm/m (IEC 60228): 10 A through 5 m loses 0.399 V."""
    assert reel_ohm_per_m_20c(0.399, 10, 5, 20) == pytest.approx(7.98e-3)
    assert reel_ohm_per_m_20c(0.399 * (1 + 0.00393 * 15), 10, 5, 35) == pytest.approx(7.98e-3)


def test_undersize_stock_counts_as_what_it_is_and_never_as_more():
    sold = twin(2.5)
    assert held(sold, 2.1).area_mm2 == 2.1
    assert held(sold, 2.9).area_mm2 == 2.5
    assert hot_ohm_per_m(held(sold, 2.1), 20) >= 7.98e-3 * 2.5 / 2.1 * (1 - 1e-9)  # IEC 60228, scaled by area
    bad = if_reel_is_bad(sold)
    assert hot_ohm_per_m(bad, 20) >= 1.5 * 7.98e-3 * (1 - 1e-9)
    assert base_ampacity(bad).amps < base_ampacity(sold).amps
    gauge = Conductor("14", "awg", "14", awg_area_mm2("14"), 2, 105.0, True)
    assert hot_ohm_per_m(if_reel_is_bad(gauge), 20) == pytest.approx(1.5 * hot_ohm_per_m(gauge, 20))
    with pytest.raises(BadNumberError, match="1 or more"):
        if_reel_is_bad(sold, 0.9)


def test_joints_and_fuses():
    """Common practice, no source; a fuse's drop at its rated current over that current."""
    assert fuse_ohm("blade", 10) == pytest.approx(0.011)
    assert fuse_ohm("blade", 12) == fuse_ohm("blade", 10)
    assert fuse_ohm("bolt-down", 200) == pytest.approx(0.0005)
    ratings = [1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30]
    assert [fuse_ohm("blade", one) for one in ratings] == sorted((fuse_ohm("blade", r) for r in ratings), reverse=True)
    assert 0 < joint_ohm("crimped ring on a stud") < joint_ohm("switch contact") < 0.02
    with pytest.raises(UnknownRuleError, match="accepted: crimped ring"):
        joint_ohm("twisted")
    with pytest.raises(UnknownRuleError, match="'glass' of 5 A"):
        fuse_ohm("glass", 5)


def test_iso_13297_takes_metric_rows():
    """ISO 10133 table A.1 (memory): 2.5 mm2 at 105 C 35 A; an AWG size takes the largest mm2 not bigger."""
    assert base_ampacity(twin(2.5), "ISO10133").amps == 35
    assert base_ampacity(Conductor("14", "awg", "14", awg_area_mm2("14"), 2, 105.0, True), "ISO10133").row == "1.5"
    assert base_ampacity(twin(0.5), "ISO10133").amps == 0
    with pytest.raises(UnknownRuleError, match="accepted: 33CFR183, ISO10133, NEC310, NEC310-60, IEC60364"):
        base_table("Atlantis")


def test_nec_for_ac():
    """factors.csv: 12 AWG, 90 C column: 30 A (NEC 310.16, read)."""
    row = next(
        row for row in csv.DictReader((CHECKS / "factors.csv").open(encoding="utf-8")) if "worked:" in row["source"]
    )
    printed = float(row["source"].split("AWG ")[1].split(" A")[0])
    wire = Conductor("12", "awg", "12", awg_area_mm2("12"), 3, 90.0, True)
    assert base_ampacity(wire, "NEC310").amps == printed
    assert base_ampacity(Conductor("18", "awg", "18", awg_area_mm2("18"), 3, 60.0, True), "NEC310").amps == 0


def test_ac_by_terminals_and_by_method_a2():
    """NEC 240.4(D) (memory): 14, 12, 10 AWG have breakers of 15, 20, 30 A, which the 60 C column gives by itself.

    IEC 60364-5-52 (memory): 2.5 mm2 in an insulated wall 18.5 A of PVC, 25 A of XLPE; 14 AWG there counts as 1.5 mm2.
    """
    for gauge, amps in (("14", 15.0), ("12", 20.0), ("10", 30.0)):
        assert (
            base_ampacity(Conductor(gauge, "awg", gauge, awg_area_mm2(gauge), 3, 105.0, True), "NEC310-60").amps == amps
        )
    wires = [Conductor("w", "metric", "2.5", 2.5, 3, celsius, True) for celsius in (60.0, 70.0, 90.0)]
    assert [base_ampacity(wire, "IEC60364").amps for wire in wires] == [0.0, 18.5, 25.0]
    assert base_ampacity(Conductor("14", "awg", "14", awg_area_mm2("14"), 3, 90.0, True), "IEC60364").row == "1.5"


def test_ambient_of_iec_is_the_same_formula():
    """IEC 60364-5-52 table B.52.14 (memory), PVC 70 C and XLPE 90 C, in air: the NEC's formula to two places."""
    printed = {70.0: {35: 0.94, 40: 0.87, 45: 0.79, 50: 0.71, 55: 0.61, 60: 0.50},
               90.0: {35: 0.96, 40: 0.91, 45: 0.87, 50: 0.82, 55: 0.76, 60: 0.71}}  # fmt: skip
    for insulation_c, row in printed.items():
        for air_c, factor in row.items():
            assert ambient_factor(insulation_c, air_c) == pytest.approx(factor, abs=0.0051)


def test_no_table_of_amperes_is_far_from_another():
    """33 CFR 183.425 against ISO 10133, 105 C, by area: amperes per size within a third of each other where sizes meet."""
    law, iso = base_table("33CFR183"), base_table("ISO10133")
    for row in iso.rows:
        near = min(law.rows, key=lambda one: abs(math.log(one.area_mm2 / row.area_mm2)))
        if abs(near.area_mm2 / row.area_mm2 - 1) < 0.2:
            amps = row.amps[iso.columns_c.index(105)] / near.amps[law.columns_c.index(105)]
            assert 0.66 < amps * (near.area_mm2 / row.area_mm2) ** 0.7 < 1.34


def test_presets_that_disagree_are_named():
    """voltage_drop.csv row 12: the ABYC chart rests on SAE areas, so its 10 AWG is not NEC's."""
    needed = 6271 * MM2_PER_CMIL
    assert sae_area_mm2("12") < needed < awg_area_mm2("12")
    assert ohm_per_m_20c("sae", 99, "12") > ohm_per_m_20c("awg", 99, "12")
