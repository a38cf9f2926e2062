"""The audit's own tables and formulas against the values with sources in tests/data/checks, and by hand."""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import Any

import pytest

from ribway.models.plan.plan import PlanCable
from ribway.models.stock_list import load_stock
from ribway.router.audit.catalogue import (
    COLUMNS_C,
    amperage,
    bundle_factor,
    bundle_steps,
    class5_ohm_per_m,
    coax_losses,
    gauges,
    link_lengths,
)
from ribway.router.audit.conductors import ambient_factor, base_amps, copper_mm2, gauge_name, hot, ohm_range_20c
from ribway.sizing.ampacity import base_ampacity
from ribway.sizing.conductor import Conductor
from ribway.sizing.resistance import ohm_per_m_20c
from ribway.sizing.signals.coax import coax_named
from ribway.sizing.signals.links import data_link
from samples.cables import cable

CHECKS = Path(__file__).parents[2] / "data" / "checks"


def rows(name: str) -> list[dict[str, str]]:
    with (CHECKS / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def stocked(**update: Any) -> PlanCable:
    return cable("flat-2x2.5").model_copy(update=update)


def test_class_5_is_iec_60228() -> None:
    wanted = {float(row["area_mm2"]): float(row["class5_max_ohm_per_km_20c"]) / 1000.0 for row in rows("iec60228")}
    assert class5_ohm_per_m() == pytest.approx(wanted)


def test_gauges_are_astm_nec_and_sae() -> None:
    for row in rows("awg"):
        gauge = gauges()[row["awg"]]
        assert gauge.area_mm2 == float(row["area_mm2"])
        assert gauge.ohm_per_kft_75c == (
            float(row["nec_table8_ohm_per_kft_75c"]) if row["nec_table8_ohm_per_kft_75c"] else None
        )
        assert gauge.sae_cmil == (float(row["sae_j1127_j1128_cmil"]) if row["sae_j1127_j1128_cmil"] else None)
        # ASTM B258: d = 0.127 mm x 92^((36 - n) / 39)
        assert gauge.area_mm2 == pytest.approx(math.pi / 4 * (0.127 * 92 ** ((36 - int(row["n"])) / 39)) ** 2, rel=5e-4)


def test_amperage_is_33_cfr_183() -> None:
    listed = rows("allowable_amperage_33cfr183")
    for row in listed:
        assert amperage()[row["awg"]] == tuple(float(row[f"insulation_{column}c_a"]) for column in COLUMNS_C)
    assert set(amperage()) == {row["awg"] for row in listed} | {"20", "22"}


def test_rows_thinner_than_the_law_take_its_last_step_again() -> None:
    """Ours, with caution: amps(18) / amps(16) once or twice more, rounded down, never above a hotter column."""
    for name, times in (("20", 1), ("22", 2)):
        plain = [
            math.floor(b * (b / a) ** times + 1e-9) for a, b in zip(amperage()["16"], amperage()["18"], strict=True)
        ]
        assert amperage()[name] == tuple(float(min(plain[index:])) for index in range(len(plain)))


def test_bundle_factors() -> None:
    """33 CFR 183.425 note 2 and NEC 310.15(C)(1), both edges of every step."""
    for row in rows("factors"):
        if row["what"].startswith("bundle"):
            rule = "NEC" if "NEC" in row["what"] else "33 CFR 183"
            for count in {int(row["from"]), int(row["to"] or 999)}:
                assert bundle_factor(rule, count) == float(row["factor"])
    assert [bundle_factor(rule, 2) for rule in ("33 CFR 183", "NEC", "none")] == [1.0, 1.0, 1.0]
    assert bundle_factor("NEC", 3) == 1.0
    assert bundle_factor("none", 40) == 1.0
    assert bundle_steps("by feel") == ()


@pytest.mark.parametrize(
    ("insulation_c", "air_c", "factor"),
    [
        (60, 40, 0.82), (75, 36, 0.88), (90, 40, 0.91), (60, 50, 0.58), (75, 46, 0.75), (90, 50, 0.82), (90, 55, 0.76),
        (60, 60, 0.0), (90, 30, 1.0), (90, 10, 1.0),
    ],
)  # fmt: skip
def test_ambient_factors_are_the_printed_ones(insulation_c: float, air_c: float, factor: float) -> None:
    """NEC 310.15(B)(1), printed to two places; air as hot as the insulation leaves nothing."""
    assert round(ambient_factor(insulation_c, air_c), 2) == factor


def test_base_amps() -> None:
    """33 CFR 183.425 table 5 by the largest AWG not bigger, and the cooler of two columns."""
    assert base_amps(stocked(insulation_c=60.0)) == 20.0  # 2.5 mm2 is 14 AWG
    assert base_amps(stocked(insulation_c=70.0)) == 20.0  # 60 C column
    assert base_amps(stocked(insulation_c=90.0)) == 30.0
    assert base_amps(stocked(insulation_c=55.0)) is None
    assert base_amps(stocked(area_mm2=0.3)) is None
    assert base_amps(stocked(system="awg", size_name="14 AWG", area_mm2=2.08)) == 20.0  # by its name
    assert base_amps(stocked(system="awg", size_name="14 AWG", area_mm2=1.9)) == 15.0  # too thin for it: 16 AWG
    assert base_amps(stocked(system="sae", size_name="14 SAE", area_mm2=2.0)) == 15.0  # 3702 cmil = 1.876 mm2
    assert base_amps(stocked(system="strands", size_name="19/0.18", area_mm2=0.48)) is None


def test_copper_that_may_be_counted_on() -> None:
    assert copper_mm2(stocked(system="sae", size_name="14 SAE", area_mm2=2.1)) == pytest.approx(1.876, abs=5e-4)
    assert copper_mm2(stocked(system="awg", size_name="14 AWG", area_mm2=9.0)) == 2.0809
    assert copper_mm2(stocked(system="sae", size_name="3 SAE", area_mm2=20.0)) is None  # SAE has no such size
    assert [gauge_name(name) for name in ("14 AWG", "#10", "2/0", "0000", "0")] == ["14", "10", "2/0", "4/0", "1/0"]


def test_amperes_of_ac() -> None:
    """NEC 310.16 at 60 C is what 240.4(D) allows as breakers: 15, 20, 30 A; IEC 60364-5-52 method A2 (both memory)."""
    for gauge, amps in (("14", 15.0), ("12", 20.0), ("10", 30.0)):
        wire = stocked(system="awg", size_name=f"{gauge} AWG", area_mm2=gauges()[gauge].area_mm2, insulation_c=105.0)
        assert base_amps(wire, "NEC310-60") == amps
    assert base_amps(stocked(system="awg", size_name="16 AWG", area_mm2=1.3), "NEC310-60") is None
    assert [base_amps(stocked(insulation_c=rated), "IEC60364") for rated in (60.0, 70.0, 90.0)] == [None, 18.5, 25.0]
    assert bundle_factor("IEC 60364", 2) == 1.0
    assert [bundle_factor("IEC 60364", count) for count in (4, 6, 8, 10, 18, 40)] == [0.8, 0.7, 0.65, 0.6, 0.5, 0.38]


def test_other_metals() -> None:
    """Aluminium: 28.264 over 17.241 nohm m (IEC 60889, IEC 60028); clad lies between; counted as the copper that conducts so."""
    sold = (ohm_range_20c(stocked()) or (0.0, 0.0))[0]
    solid = (ohm_range_20c(stocked(metal="aluminium")) or (0.0, 0.0))[0]
    clad = (ohm_range_20c(stocked(metal="copper-clad aluminium")) or (0.0, 0.0))[0]
    assert solid / sold == pytest.approx(28.264 / 17.241, rel=1e-3)
    assert sold < clad < solid
    assert hot(stocked(metal="aluminium"), 1.0, 75.0) == pytest.approx(1.0 + 55 * 0.00403)
    assert base_amps(stocked(metal="aluminium", insulation_c=90.0)) == 25.0  # 1.52 mm2 of copper: 16 AWG


def test_data_links_and_coax_are_those_of_the_sizing_room() -> None:
    """Two copies of trade figures, held together here: neither may drift."""
    for name, longest_m in link_lengths().items():
        assert data_link(name).longest_m == longest_m
    for name, losses in coax_losses().items():
        cable = coax_named(name)
        assert (cable.db_per_100m_low, cable.db_per_100m_high) == losses
    assert len(link_lengths()) == 12
    assert len(coax_losses()) == 8


def test_resistance() -> None:
    """IEC 60028: 20 to 75 C is 1.2162; NEC table 8 at its own 75 C; SAE by area; between rows inside both products."""
    assert hot(stocked(), 1.0, 75.0) == pytest.approx(1.2162, abs=1e-4)
    low, high = ohm_range_20c(stocked(system="awg", size_name="12 AWG", area_mm2=3.3088)) or (0.0, 0.0)
    assert low == high
    assert hot(stocked(), low, 75.0) * 304.8 == pytest.approx(1.98)
    sae = ohm_range_20c(stocked(system="sae", size_name="12 SAE", area_mm2=5.0)) or (0.0, 0.0)
    assert sae[0] / low == pytest.approx(6530 / 5833, rel=1e-3)
    between = ohm_range_20c(stocked(area_mm2=3.0)) or (0.0, 0.0)
    assert between == pytest.approx((4.0 * 4.95e-3 / 3.0, 2.5 * 7.98e-3 / 3.0))


@pytest.mark.parametrize("name", ["metric", "awg"])
def test_it_agrees_with_the_sizing_room(name: str) -> None:
    """Two implementations written apart give the same for every cable that is sold."""
    checked = 0
    for one in load_stock("metric" if name == "metric" else "awg"):
        if one.kind == "data" or one.system == "strands":
            continue
        bare = gauge_name(one.size) if one.system != "metric" else one.size.replace("mm2", "").strip()
        conductor = Conductor(one.id, one.system, bare, one.area_mm2, one.cores, one.insulation_c, one.form != "single")
        mine = stocked(system=one.system, size_name=one.size, area_mm2=one.area_mm2, insulation_c=one.insulation_c)
        assert base_amps(mine) == base_ampacity(conductor).amps
        low, high = ohm_range_20c(mine) or (0.0, 0.0)
        theirs = ohm_per_m_20c(one.system, one.area_mm2, bare)
        assert low * (1 - 1e-3) <= theirs <= high * (1 + 1e-3)
        checked += 1
    assert checked > 8
