"""Every row of tests/data/checks/voltage_drop.csv; its source stands in the row."""

import csv
import re
from pathlib import Path

import pytest

from ribway.sizing.constant_power import constant_power
from ribway.sizing.copper import copper_kg, ideal_ohm_per_m, resistance_at
from ribway.sizing.drop import area_needed_mm2, chain_drops, drop_percent, drop_v, loop_ohm
from ribway.sizing.gauge import MM2_PER_CMIL, awg_area_mm2, sae_area_mm2
from ribway.sizing.resistance import ohm_per_m_20c

DATA = Path(__file__).parents[1] / "data" / "checks" / "voltage_drop.csv"
ROWS = {int(row["case"]): row for row in csv.DictReader(DATA.open(encoding="utf-8"))}
FT = 0.3048
COPPER = 0.017241


def single(amps, cut_m, ohm_per_m, nominal_v=12.0):
    volts = drop_v(amps, loop_ohm(ohm_per_m, cut_m))
    return volts, drop_percent(volts, nominal_v)


def by_k(awg):
    """K = 12.9 ohm cmil/ft, 20 A, 100 ft one way, 120 V."""
    return single(20, 100 * FT, ideal_ohm_per_m(awg_area_mm2(awg), 12.9 * MM2_PER_CMIL / FT), 120.0)


def per_ft(amps, feet, ohm):
    """A handbook chart gives the whole conductor length, so only the way there counts."""
    return (drop_v(amps, loop_ohm(ohm / FT, feet * FT, 0.0)),)


def needs_cmil(limit):
    """CM = 10.75 I L / E, L there and back in feet."""
    area = area_needed_mm2(10, 21 * FT, limit * 12.0, 10.75 * MM2_PER_CMIL / FT)
    return (area / MM2_PER_CMIL,)


def feeder_and_branch():
    feeder = drop_v(60, loop_ohm(ideal_ohm_per_m(16), 2))
    branch = drop_v(8, loop_ohm(ideal_ohm_per_m(2.5), 5))
    joints = 0.030 + 2 * 0.020
    (all_of_it,) = chain_drops([loop_ohm(ideal_ohm_per_m(2.5), 5)], [8], upstream_v=feeder + joints)
    return feeder, branch, joints, all_of_it, drop_percent(all_of_it, 12)


def lamps():
    metre = ideal_ohm_per_m(0.75)
    return chain_drops([loop_ohm(metre, 3.0)] + [loop_ohm(metre, 1.2)] * 7, [0.3] * 8)


def switch_leg():
    there, back = 4 + 1.4 + 1.4 + 0.8, 4 + 0.8
    return there + back, drop_v(2, loop_ohm(ideal_ohm_per_m(1.0), there, negative_m=back))


def three_voltages():
    areas = [area_needed_mm2(500 / volts, 12, 0.03 * volts, COPPER) for volts in (12, 24, 48)]
    return (*areas, *(1000 * copper_kg(area, 2) for area in areas))


def operating_point():
    point = constant_power(12.0, 0.10345, 72)
    return point.load_v, point.amps, point.lost_v


def hot(ohm_per_m, celsius):
    return single(6, 7.5, resistance_at(ohm_per_m, celsius))


CLASS5_2_5 = ohm_per_m_20c("metric", 2.5, "2.5")

# case: (computed, which numbers of the row's answer they are)
CASES = {
    1: (by_k("12"), (0, 1)),
    2: (by_k("8"), (0, 1)),
    3: (by_k("10"), (0, 1)),
    4: (single(4, 100 * FT, resistance_at(ohm_per_m_20c("awg", awg_area_mm2("16"), "16"), 75), 24)[:1], (0,)),
    5: (per_ft(20, 107, 0.00044), (0,)),
    6: (per_ft(20, 90, 0.00028), (0,)),
    7: (per_ft(20, 100, 0.00306), (0,)),
    8: ((drop_v(16, loop_ohm(0.018, 18, 0.0)),), (0,)),
    9: (single(1, 20, ideal_ohm_per_m(1.3, 0.01785)), (0, 1)),
    10: ((drop_v(21.75, loop_ohm(0.0075, 5, 0.0)),), (0,)),
    11: ((area_needed_mm2(25 / 12, 36, 0.05 * 12, 1 / 56),), (0,)),
    12: (needs_cmil(0.03), (0,)),
    13: (needs_cmil(0.10), (0,)),
    14: (hot(ideal_ohm_per_m(2.5), 20), (0, 1)),
    15: (hot(ideal_ohm_per_m(2.5), 60), (0, 1)),
    16: ((hot(CLASS5_2_5, 20)[0], hot(CLASS5_2_5, 60)[0]), (0, 1)),
    17: (
        (
            area_needed_mm2(6, 15, 0.36, COPPER),
            single(6, 7.5, ideal_ohm_per_m(4))[1],
            single(6, 7.5, ideal_ohm_per_m(6))[1],
        ),
        (0, 2, 4),
    ),
    18: (operating_point(), (0, 1, 2)),
    19: (feeder_and_branch(), (0, 1, 2, 3, 4)),
    20: (
        (
            drop_v(10, loop_ohm(ideal_ohm_per_m(6), 5, ideal_ohm_per_m(1.5))),
            drop_v(10, loop_ohm(ideal_ohm_per_m(6), 5)),
        ),
        (0, 2),
    ),
    21: (lamps(), tuple(range(8))),
    22: (switch_leg(), (0, 1)),
    23: (three_voltages(), tuple(range(6))),
    24: (single(20, 30 * FT, ideal_ohm_per_m(awg_area_mm2("10")), 13.8), (0, 1)),
}


def test_every_row_is_used():
    assert set(CASES) == set(ROWS)


@pytest.mark.parametrize("case", sorted(ROWS))
def test_row(case):
    computed, places = CASES[case]
    printed = re.findall(r"\d+(?:\.\d+)?", ROWS[case]["answer"].replace("mm2", ""))
    tolerance = float(ROWS[case]["tolerance"].split()[0])
    relative = ROWS[case]["tolerance"].endswith("%")
    for value, place in zip(computed, places, strict=True):
        expected = float(printed[place])
        # The printed number is itself rounded to its last digit.
        last_digit = 0.5 * 10 ** -len(printed[place].partition(".")[2])
        assert abs(value - expected) <= (tolerance / 100 * expected if relative else tolerance) + last_digit, (
            value,
            expected,
        )


def test_case_12_picks_the_gauge_the_chart_prints():
    """10 AWG with the smallest areas accepted (SAE); 12 AWG only for the full 6530 cmil (row 12)."""
    needed = needs_cmil(0.03)[0] * MM2_PER_CMIL
    thin_to_thick = ["18", "16", "14", "12", "10", "8"]
    assert next(name for name in thin_to_thick if sae_area_mm2(name) >= needed) == "10"
    assert next(name for name in thin_to_thick if awg_area_mm2(name) >= needed) == "12"
    needed = needs_cmil(0.10)[0] * MM2_PER_CMIL
    assert next(name for name in thin_to_thick if sae_area_mm2(name) >= needed) == "16"


def test_lumping_a_chain_is_58_percent_too_much():
    """Row 21: all the current at the end gives 1.258 V."""
    whole = drop_v(8 * 0.3, loop_ohm(ideal_ohm_per_m(0.75), 3 + 7 * 1.2))
    assert whole == pytest.approx(1.258, rel=0.005)
    assert whole / lamps()[-1] == pytest.approx(1.58, rel=0.005)
