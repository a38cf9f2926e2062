"""Shorts against tests/data/checks/short_circuit.csv, first principles and the gates of ISO 8820-3."""

import csv
import math
import re
from pathlib import Path

import pytest

from ribway.sizing.conductor import Conductor
from ribway.sizing.copper import ideal_ohm_per_m
from ribway.sizing.errors import BadNumberError, UnknownRuleError
from ribway.sizing.protection.adiabatic import conductor_k, k_value, least_area_mm2, seconds_to_limit, withstands_a2s
from ribway.sizing.protection.kinds import bank_short_amps, breaking_capacity_a, fuse_kinds, kinds_for
from ribway.sizing.protection.opening import lets_through_a2s, opening_gates, opens_within_s
from ribway.sizing.protection.short import far_short, short_amps, short_findings

DATA = Path(__file__).parents[2] / "data" / "checks" / "short_circuit.csv"
ROWS = {int(row["case"]): row for row in csv.DictReader(DATA.open(encoding="utf-8"))}


def numbers(text):
    return [float(one) for one in re.findall(r"\d+(?:\.\d+)?", text.replace("mm2", "").replace("A2s", ""))]


@pytest.mark.parametrize("case", [1, 2, 3])
def test_least_area(case):
    amps, seconds, k = numbers(ROWS[case]["inputs"])
    amps *= 1000 if "kA" in ROWS[case]["inputs"] else 1
    printed = re.match(r"[\d.]+", ROWS[case]["answer"])
    assert printed is not None
    digits = len(printed[0].partition(".")[2])
    assert round(least_area_mm2(amps, seconds, k), digits) == float(printed[0])


def test_k_values():
    """Row 4: 70->160, 30->160, 90->250 C: 115.0, 142.9, 143.1."""
    ours = [k_value(70, 160), k_value(30, 160), k_value(90, 250)]
    assert [round(k, 1) for k in ours] == numbers(ROWS[4]["answer"])


def test_how_long_it_stands():
    """Row 5: 1000 A on 1.5 mm2, k 115: 29756 A2s, 30 ms."""
    energy, milliseconds = numbers(ROWS[5]["answer"])
    assert withstands_a2s(1.5, 115) == pytest.approx(energy, abs=0.5)
    assert 1000 * seconds_to_limit(1000, 1.5, 115) == pytest.approx(milliseconds, abs=0.5)


def test_far_end_short():
    """Row 6: 0.75 mm2, 12 m one way, 12.6 V, 20 C: 0.552 ohm, 22.8 A = 1.52 x a 15 A fuse: flag."""
    ohm, amps, multiple, rating = numbers(ROWS[6]["answer"])
    loop = 2 * ideal_ohm_per_m(0.75)
    far = far_short(12.6, 0.0, loop, 12, "blade", rating)
    assert loop * 12 == pytest.approx(ohm, abs=0.0005)
    assert far.amps == pytest.approx(amps, abs=0.05)
    assert far.multiple == pytest.approx(multiple, abs=0.005)
    assert short_amps(12.6, 0.0, loop * far.sure_to_m) == pytest.approx(2 * rating)  # just there it draws twice
    wire = Conductor("twin", "metric", "0.75", 0.75, 2, 70, True)
    flagged = short_findings("run", wire, rating, "blade", far, 1500, 12)
    assert [one.rule for one in flagged] == ["far-end short"]
    assert "22.8 A, 1.52 times the 15 A fuse, at which it may take 600 s to open" in flagged[0].says
    assert f"from {far.sure_to_m:.1f} to 12.0 m" in flagged[0].says


def test_resistance_before_the_run_counts():
    """12 V, 0.1 ohm before and 0.1 ohm of run: 60 A (Ohm)."""
    far = far_short(12, 0.1, 0.02, 5, "blade", 20)
    assert (far.amps, far.multiple, far.sure_to_m) == (pytest.approx(60), pytest.approx(3), 5)
    assert far_short(12, 0.4, 0.02, 5, "blade", 20).sure_to_m == 0
    assert short_amps(12, 0, 0) == math.inf


def test_gates_of_a_blade_fuse():
    """ISO 8820-3 (memory): 135 % 600 s, 160 % 50 s, 200 % 5 s, 350 % 0.5 s, 600 % 0.1 s at the longest."""
    gates = [(1.34, math.inf), (1.35, 600), (1.59, 600), (1.6, 50), (2, 5), (3.5, 0.5), (6, 0.1), (60, 0.1)]
    assert [opens_within_s("blade", multiple) for multiple, _ in gates] == [seconds for _, seconds in gates]
    for family in ("blade", "bolt-down"):
        seconds = [one for _, one in opening_gates(family)]
        assert seconds == sorted(seconds, reverse=True)
    with pytest.raises(UnknownRuleError, match="accepted: blade, bolt-down"):
        opens_within_s("glass", 2)


def test_what_is_let_through():
    """At a gate I2t of that gate; past the last one no more; over a range the most of any current in it."""
    assert lets_through_a2s("blade", 10, 20, 20) == pytest.approx(400 * 5)
    assert lets_through_a2s("blade", 10, 60, 60) == lets_through_a2s("blade", 10, 2000, 2000) == pytest.approx(360)
    assert lets_through_a2s("blade", 10, 13, 13) == math.inf
    assert lets_through_a2s("bolt-down", 100, 200, 2000) == pytest.approx(350**2 * 5)
    steps = [20 + 0.01 * n for n in range(10000)]
    single = max(lets_through_a2s("blade", 10, amps, amps) for amps in steps)
    assert lets_through_a2s("blade", 10, steps[0], steps[-1]) == pytest.approx(single)


def test_a_thin_wire_behind_a_big_fuse_is_burnt():
    """0.5 mm2 at 70 C stands (115 x 0.5)^2 = 3306 A2s; a 30 A blade fuse lets 4 x 900 x 5 = 18000 through at twice."""
    wire = Conductor("thin", "metric", "0.5", 0.5, 2, 70, True)
    far = far_short(12.6, 0.005, 0.08, 1.0, "blade", 30)
    found = short_findings("run", wire, 30, "blade", far, 2000, 1.0)
    assert [one.rule for one in found] == ["short-circuit heat"]
    assert "3.31e+03 A2s" in found[0].says
    fits = short_findings("run", wire, 5, "blade", far_short(12.6, 0.005, 0.08, 1.0, "blade", 5), 2000, 1.0)
    assert fits == ()


def test_k_of_stock():
    """IEC 60364-4-43: PVC 70->160 115; cross-linked 90->250 would be 143, but 90 C may be thermoplastic: 160 counts."""
    assert conductor_k(Conductor("p", "metric", "1", 1, 1, 70, False)) == pytest.approx(115.0, abs=0.1)
    ninety = conductor_k(Conductor("q", "metric", "1", 1, 1, 90, False))
    assert ninety < 115
    hot = Conductor("r", "metric", "1", 1, 1, 125, False)
    assert conductor_k(hot) == pytest.approx(k_value(125, 250))
    assert k_value(70, 160, "aluminium") == pytest.approx(76, abs=0.5)  # IEC 60364-4-43 table 43A: 76
    with pytest.raises(BadNumberError, match="above the start"):
        k_value(160, 160)


def test_batteries_in_parallel():
    """12.8 V over 2 mohm: 6400 A; over 4 mohm twice the same."""
    assert bank_short_amps(12.8, [0.002]) == pytest.approx(6400)
    assert bank_short_amps(12.8, [0.004, 0.004]) == pytest.approx(6400)
    assert bank_short_amps(12.8, [0.002, None]) is None


def test_kinds_that_come_in_a_rating_and_break_the_short():
    assert kinds_for(200, 14.4, 1900) == ("M5 strip", "M8 strip", "ANL", "terminal block", "class T")
    assert kinds_for(200, 14.4, 6400) == ("terminal block", "class T")
    assert kinds_for(200, 28.8, 5500) == ("ANL", "class T")
    assert kinds_for(15, 14.4, 900) == ("blade", "mini blade")
    assert kinds_for(15, 14.4, 1100) == ()


def test_breaking_capacity_falls_with_voltage():
    capacities = [breaking_capacity_a("terminal block", volts) for volts in (14.4, 28.8, 57.6, 58.5)]
    assert capacities == sorted(capacities, reverse=True)
    assert capacities[-1] == 0
    assert {one.family for one in fuse_kinds()} == {"blade", "bolt-down"}
    with pytest.raises(UnknownRuleError, match="accepted: blade"):
        breaking_capacity_a("nail", 12)
