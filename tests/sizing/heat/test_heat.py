"""The heat balance against handbook air, tables of amperes, closed forms and a stepping simulation."""

import csv
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from ribway.sizing.ampacity import derated_ampacity
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.errors import BadNumberError
from ribway.sizing.gauge import awg_area_mm2
from ribway.sizing.heat.duty import Duty, duty_amps, heating_amps, slow_s, time_constant_s
from ribway.sizing.heat.section import BUNDLE_W_PER_M_K, Section, allowed_amps, hottest_c
from ribway.sizing.heat.surface import air_viscosity_and_conductivity, convection_w_per_m2k, given_off_w_per_m
from ribway.sizing.resistance import ohm_per_m_20c
from ribway.sizing.rules import rule_set
from ribway.sizing.verdict import passes

CHECKS = Path(__file__).parents[2] / "data" / "checks"
TABLE = list(csv.DictReader((CHECKS / "allowable_amperage_33cfr183.csv").open(encoding="utf-8")))
# Outside diameters of marine primary wire [mm]: typical, common practice, no source.
OUTSIDE = {"18": 2.2, "16": 2.5, "14": 3.0, "12": 3.5, "10": 4.3, "8": 5.6, "6": 6.7, "4": 8.2, "3": 9.1, "2": 10.0,
           "1": 11.2, "1/0": 12.4, "2/0": 13.8, "3/0": 15.3, "4/0": 17.0}  # fmt: skip


@pytest.mark.parametrize(
    ("kelvin", "viscosity", "conductivity"),
    [(300, 15.89e-6, 26.3e-3), (350, 20.92e-6, 30.0e-3), (400, 26.41e-6, 33.8e-3)],
)
def test_air(kelvin, viscosity, conductivity):
    """Dry air at one atmosphere, handbook values (Incropera, table A.4; memory)."""
    ours = air_viscosity_and_conductivity(kelvin - 273.15)
    assert ours == (pytest.approx(viscosity, rel=0.02), pytest.approx(conductivity, rel=0.04))


def test_steam_pipe():
    """0.1 m pipe at 165 C in 23 C air, emissivity 0.85 (a textbook pipe; Churchill and Chu with air of table A.4 at 367 K:
    Ra = 5.07e6, Nu = 23.3, k = 0.0313: h = 7.29; 325 W/m convected and 441 W/m radiated). Recomputed."""
    assert convection_w_per_m2k(0.1, 165, 23) == pytest.approx(7.29, rel=0.02)
    assert given_off_w_per_m(0.1, 165, 23, 0.85) == pytest.approx(325 + 441, rel=0.015)


def test_a_surface_no_warmer_than_the_air_gives_nothing_off():
    assert given_off_w_per_m(0.01, 30, 30) == given_off_w_per_m(0.01, 20, 30) == 0.0


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row["awg"])
def test_single_wire_of_105_c_in_30_c_air_carries_what_the_law_allows(row):
    """33 CFR 183.425 Table 5, 105 C column: the balance comes within 8 % of all fifteen sizes; not a fit."""
    outside = OUTSIDE[row["awg"]]
    metal = 1.15 * math.sqrt(4 / math.pi * float(awg_area_mm2(row["awg"])))  # stranding: 15 % wider than solid
    section = Section(outside / 1000, cores=1, insulation_ratio=max(1.0, outside / metal))
    ohm = ohm_per_m_20c("awg", awg_area_mm2(row["awg"]), row["awg"])
    assert allowed_amps(section, 30, ohm, 105) == pytest.approx(float(row["insulation_105c_a"]), rel=0.08)


def test_allowed_amps_make_it_exactly_as_hot_as_allowed():
    for section in (
        Section(0.02),
        Section(0.03, 12.0, 90.0, 2),
        Section(0.012, 3.0, None, 1, cover_m=0.02, insulation_ratio=1.5, emissivity=0.7),
    ):
        amps = allowed_amps(section, 45, 0.008, 90)
        assert amps > 0
        assert hottest_c(section, 45, 0.008, amps) == pytest.approx(90, abs=1e-6)
        assert hottest_c(section, 45, 0.008, 1.01 * amps) > 90
        assert allowed_amps(section, 46, 0.008, 90) < amps
        assert allowed_amps(replace(section, cover_m=section.cover_m + 0.01), 45, 0.008, 90) < amps
    assert hottest_c(Section(0.02), 45, 0.008, 0) == pytest.approx(45, abs=1e-9)


def test_the_middle_of_a_bundle_by_finite_differences():
    """Closed form q/(4 pi k) against a stepwise solution of d/dr (r k dT/dr) = -r q'''."""
    heat, radius = 20.0, 0.015
    rings = 4000
    edges = np.linspace(0, radius, rings + 1)
    through = heat * (edges[1:] / radius) ** 2  # heat made inside each edge leaves through it
    centres = (edges[1:] + edges[:-1]) / 2
    outer = np.append(centres[1:], radius)
    rise = float(np.sum(through * np.log(outer / centres) / (2 * math.pi * BUNDLE_W_PER_M_K)))
    assert heat * (Section(2 * radius).inside_k_m_per_w) == pytest.approx(rise, rel=1e-3)


def test_nothing_may_flow_where_it_is_too_hot_already():
    assert allowed_amps(Section(0.02), 95, 0.008, 90) == 0.0
    assert allowed_amps(Section(0.02, 200.0), 40, 0.008, 90) == 0.0
    assert hottest_c(Section(0.02), 40, 0.008, 500) == math.inf


WIRE = Conductor("14", "awg", "14", awg_area_mm2("14"), 2, 105, True)


def test_choice_of_factor_or_balance_and_the_stricter_by_default():
    """14 AWG 105 C: 35 A at 30 C; 8 conductors 0.5 (33 CFR note 2): 17.5 A."""
    careful = rule_set()
    assert careful.derating == "stricter"
    cool = Stretch("wide", 30, 8, Section(0.05, 1.0, 105))
    hot = Stretch("tight", 30, 8, Section(0.010, 30.0, 75))
    for stretch, by_heat in ((cool, False), (hot, True)):
        strict = derated_ampacity(WIRE, [stretch], careful)
        factor = derated_ampacity(WIRE, [stretch], replace(careful, derating="factor"))
        heat = derated_ampacity(WIRE, [stretch], replace(careful, derating="heat"))
        assert factor.derated_a == pytest.approx(17.5)
        assert strict.derated_a == pytest.approx(min(factor.derated_a, heat.derated_a))
        assert (heat.derated_a < 17.5) is by_heat
        assert heat.derated_a <= 35
        assert [one.name for one in strict.factors] == ["ambient", "bundle", "heat balance"]
        assert [one.name for one in factor.factors] == ["ambient", "bundle"]
        assert [one.name for one in heat.factors] == ["ambient", "heat balance"]
        for one in (strict, factor, heat):
            assert math.prod(step.value for step in one.factors) * one.base.amps == pytest.approx(one.derated_a)
    assert "to 75 C" in derated_ampacity(WIRE, [hot], careful).factors[-1].because
    undescribed = derated_ampacity(WIRE, [Stretch("x", 30, 8)], replace(careful, derating="heat"))
    assert undescribed.derated_a == pytest.approx(17.5)


@pytest.mark.parametrize(("volts", "amps"), [(12.0, 35.0), (48.0, 35.0), (120.0, 17.5)])
def test_from_50_v_on_the_factor_is_law(volts, amps):
    """33 CFR 183.425 note 2: the factors apply at 50 V and above."""
    wide = Stretch("wide", 30, 8, Section(0.2, 0.0))
    demand = Demand((Leg(1.0, 5.0),), (wide,), volts, 10.0)
    verdict = passes(WIRE, demand, replace(rule_set(), derating="heat"))
    assert verdict.ampacity.derated_a == pytest.approx(amps)


def test_duty_against_a_stepping_simulation():
    """First-order heating by I^2, stepped for many cycles, settles at the peak of the closed form."""
    for on, off, tau in ((30, 90, 120), (600, 600, 300), (5, 500, 60)):
        steps, rise, dt, peak = 200, 0.0, (on + off) / 20000, 0.0
        for cycle in range(steps):
            share_on, share_off = math.exp(-on / tau), math.exp(-off / tau)
            rise = rise * share_on + 100 * (1 - share_on)
            peak = rise if cycle == steps - 1 else peak
            rise *= share_off
        assert dt > 0
        assert duty_amps(10, on, off, tau) ** 2 == pytest.approx(peak, rel=1e-9)
    assert duty_amps(10, 60, 0, 100) == 10
    assert duty_amps(10, 1, 3, 1e6) == pytest.approx(10 * math.sqrt(1 / 4), rel=1e-3)  # short cycles: root mean square


def test_time_constant():
    """2 x 2.5 mm2 copper (17.3 J/K m), 20 mm2 plastic (26 J/K m), 3 K m/W: 130 s by hand."""
    assert time_constant_s(5, 20, 3) == pytest.approx((5 * 3.45 + 26) * 3)


def test_bad_sections_are_refused():
    for bad in ({"diameter_m": 0.0}, {"cores": 0}, {"insulation_ratio": 0.9}, {"others_w_per_m_20c": -1.0}):
        with pytest.raises(BadNumberError):
            Section(**{"diameter_m": 0.01, **bad})
    with pytest.raises(BadNumberError, match="emissivity"):
        given_off_w_per_m(0.01, 50, 30, 1.5)


def test_a_load_that_is_on_once_warms_by_the_first_rise():
    """1 - exp(-t/tau) of the steady rise, and heat goes with the square of the current (first order, closed form)."""
    assert duty_amps(200, 30, None, 78) == pytest.approx(200 * math.sqrt(1 - math.exp(-30 / 78)))
    # 35 mm2: 3.45 MJ/(m3 K) x 35 mm2 x ln 2/(2 pi 0.17) = 78.4 s; by stepping the same law: never more than counted.
    tau = slow_s(35, "copper")
    assert tau == pytest.approx(3.45 * 35 * math.log(2) / (2 * math.pi * 0.17))
    rise, hottest = 0.0, 0.0
    for second in range(100_000):
        on = second % 6300 < 300  # tenths of a second: 30 s of 630 s
        rise += ((1.0 if on else 0.0) - rise) * (1 - math.exp(-0.1 / tau))
        hottest = max(hottest, rise)
    assert heating_amps(200, Duty(30, 600), 35, "copper") == pytest.approx(200 * math.sqrt(hottest), rel=1e-6)
    assert heating_amps(200, Duty(3600, 600), 35, "copper") == pytest.approx(200, rel=1e-6)
