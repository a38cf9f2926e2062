"""Shorts, fuses, boards and volts of a planned van, against Ohm's law written out here."""

from __future__ import annotations

import math

import pytest
from electric_vans import circuit, codes, device, planned, run

from ribway.models.plan.plan import Plan

CLASS5_OHM_PER_KM = {0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21}
"""Greatest ohm/km at 20 deg C, plain (IEC 60228:2004 table 3)."""


def loop_ohm(plan: Plan, name: str, *, hot: bool) -> float:
    """There and back of a run; hot by 0.00393 per kelvin (IEC 60028) to the temperature its drop was reckoned at."""
    one = run(plan, name)
    rise = 0.00393 * ((one.copper_c or 20.0) - 20.0) if hot else 0.0
    return 2.0 * one.cut_m * CLASS5_OHM_PER_KM[one.conductor_area_mm2] / 1000.0 * (1.0 + rise)


@pytest.fixture(scope="module")
def strong() -> Plan:
    """A battery that drives 2500 A, a board of six ways for 20 A."""
    return planned(
        {
            "battery": {"short_circuit_a": "2500 A"},
            "board": {"ways": 6, "amps_per_way": "20 A", "amps_total": "60 A"},
            "fridge": {"cut_out_volts": "9 V"},
        }
    )


def least_ohm(plan: Plan, name: str) -> float:
    """There and back of a run as short as it can lie, of pure copper: 1.7241 microohm cm (IEC 60028)."""
    one = run(plan, name)
    return 2.0 * one.taut_m * 0.017241 / one.conductor_area_mm2


def test_a_short_at_a_board_is_less_by_the_least_wire_before_it(strong: Plan) -> None:
    assert circuit(strong, "main").short_near_a == pytest.approx(2500.0, abs=0.1)
    expected = 14.4 / (14.4 / 2500.0 + least_ohm(strong, "main"))
    assert circuit(strong, "C1").short_near_a == pytest.approx(expected, rel=2e-3)


def weak(plan: Plan) -> dict[str, str]:
    """Places whose fuses do not break a short, with the message."""
    return {one.about: one.message for one in plan.findings if one.code == "breaking-capacity" and one.level == "error"}


BACKED = {"fuse_kind": "ANL", "fuse": "60 A", "up_to": "3 kA"}
MAIN = {"fuse": "35 A", "fuse_kind": "ANL", "least": "2x10"}


def test_one_error_tells_of_a_board_whose_fuses_break_too_little(strong: Plan) -> None:
    """Blade fuses break 1000 A (tables/fuse_kinds.csv): all three circuits in one finding, and nothing may be built."""
    assert set(weak(strong)) == {"battery", "board"}
    assert all(name in weak(strong)["board"] for name in ("C1", "C2", "C3"))
    assert not strong.complete


def test_a_main_fuse_that_backs_the_board_makes_it_ready() -> None:
    battery, board = {"short_circuit_a": "2500 A"}, {"backed_by": BACKED}
    ready = planned({"battery": battery, "board": board}, {"main": MAIN})
    assert ready.complete
    assert weak(ready) == {}
    assert (circuit(ready, "C1").fuse_backed_by, circuit(ready, "C1").fuse_backed_to_a) == ("main", 3000.0)
    assert set(weak(planned({"battery": battery}, {"main": MAIN}))) == {"board"}
    strip = planned({"battery": battery, "board": board}, {"main": {**MAIN, "fuse_kind": "M5 strip"}})
    assert set(weak(strip)) == {"battery", "board"}  # another kind, and it does not break 2500 A itself


def test_wire_enough_before_the_board_makes_it_ready() -> None:
    """1100 A at the battery: the main cable's 2 x taut m of 2.5 mm2 leave less than 1000 A at the board."""
    plan = planned({"battery": {"short_circuit_a": "1100 A"}}, {"main": {"fuse_breaks": "2 kA"}})
    assert 14.4 / (14.4 / 1100.0 + least_ohm(plan, "main")) < 1000.0
    assert plan.complete


def test_an_unknown_battery_is_a_finding(strong: Plan) -> None:
    unknown = planned()
    assert "short-circuit-unknown" in codes(unknown)
    assert circuit(unknown, "main").short_near_a is None
    assert "short-circuit-unknown" not in codes(strong)


def test_a_fuse_that_breaks_too_little_is_told_with_a_cure() -> None:
    plan = planned({"battery": {"short_circuit_a": "2500 A"}}, {"main": {"fuse": "40 A", "fuse_kind": "blade"}})
    (told,) = [one for one in plan.findings if one.code == "breaking-capacity" and one.about == "battery"]
    assert "main 40 A breaks 1000 A" in told.message
    assert "ANL" in told.remedy
    own = planned(
        {"battery": {"short_circuit_a": "2500 A"}},
        {"main": {"fuse": "40 A", "fuse_kind": "blade", "fuse_breaks": "3 kA"}},
    )
    assert "battery" not in weak(own)


def test_a_short_at_the_far_end_draws_what_all_resistance_lets_through(strong: Plan) -> None:
    """Battery, fuse, feeder, run: 12 V over their sum. A 15 A blade fuse drops 110 mV at its rating (trade figure)."""
    one = circuit(strong, "C1")
    fuse = {7.5: 0.120, 10.0: 0.110, 15.0: 0.110}[one.fuse_a or 0.0] / (one.fuse_a or 1.0)
    total = 14.4 / 2500.0 + fuse + loop_ohm(strong, "main", hot=True) + loop_ohm(strong, "C1", hot=True)
    assert one.short_far_a == pytest.approx(12.0 / total, rel=2e-3)
    assert one.short_sure_to_m == pytest.approx(run(strong, "C1").cut_m, abs=1e-3)


def test_the_heat_of_a_short_is_what_the_fuse_lets_through_against_k_squared_s_squared(strong: Plan) -> None:
    """Past six times its rating a blade fuse opens within 0.1 s: 3.6 I2 (ISO 8820-3, memory); k by IEC 60364-5-54."""
    one = circuit(strong, "C1")
    assert one.fuse_a is not None
    assert one.short_far_a is not None
    assert one.short_far_a > 6.0 * one.fuse_a
    assert one.short_through_a2s == pytest.approx(3.6 * one.fuse_a**2, rel=1e-3)
    cable = next(each for each in strong.cables if each.id == run(strong, "C1").cable)
    k = 226.0 * math.log((234.5 + 160.0) / (234.5 + cable.insulation_c)) ** 0.5
    assert one.short_stands_a2s == pytest.approx((k * cable.area_mm2) ** 2, rel=1e-3)
    assert one.short_heat_run == "C1"


def test_a_short_that_does_not_open_the_fuse_is_told_with_the_stretch() -> None:
    """0.42 ohm inside: 12 V / 0.42 ohm = 28.6 A at most, less than twice 15 A."""
    plan = planned({"battery": {"internal_ohms": "0.42 ohm"}}, {"C1": {"fuse": "15 A", "least": "2x2.5"}})
    (told,) = [one for one in plan.findings if one.code == "far-end-short" and "C1" in one.about.split(", ")]
    assert "from 0.0 to" in told.message
    assert (told.level, plan.complete) == ("warning", True)  # 1.35 times 15 A is 20.25 A: late, but it opens
    never = planned({"battery": {"internal_ohms": "0.7 ohm"}}, {"C1": {"fuse": "15 A", "least": "2x2.5"}})
    (told,) = [one for one in never.findings if one.code == "far-end-short" and "C1" in one.about.split(", ")]
    assert (told.level, never.complete) == ("error", False)
    assert "at which it need never open" in told.message
    assert circuit(plan, "C1").short_sure_to_m == 0.0


def test_a_fuse_too_far_from_the_battery_is_told() -> None:
    """7 in, 178 mm, of bare wire; 40 in, 1016 mm, in a sheath (33 CFR 183.455)."""
    far = planned({}, {"main": {"fuse_at": "1.2 m"}})
    assert "position" in codes(far, "main")
    assert not far.complete
    assert "position" not in codes(planned({}, {"main": {"fuse_at": "0.1 m"}}))
    assert "main" in next(one.about for one in planned().findings if one.code == "fuse-place")


def test_a_far_fuse_too_big_for_the_cable_is_told() -> None:
    charger = {"kind": "charger", "at": {"wall": "left", "back": "0.72 m", "up": "0.5 m"}, "amps": "10 A"}
    out = {"from": "battery", "to": ["charger"], "load_can_feed": True}
    big = planned({"charger": charger}, {"out": {**out, "far_fuse": "200 A", "far_fuse_at": "0.1 m"}})
    assert any(one.code == "step-down" and "from its far end" in one.about for one in big.findings)
    assert all(
        one.code != "step-down" for one in planned({"charger": charger}, {"out": {**out, "far_fuse": "15 A"}}).findings
    )


def test_every_circuit_of_a_board_has_a_way_of_its_own(strong: Plan) -> None:
    (board,) = strong.boards
    assert (board.ways, board.used, board.spare) == (6, 3, 3)
    assert {one.circuit for one in board.circuits} == {"C1", "C2", "C3"}
    assert len({one.way for one in board.circuits}) == 3
    assert board.amps == pytest.approx(6.5)


def test_a_board_with_too_few_ways_or_amps_is_told() -> None:
    few = planned({"board": {"ways": 2, "amps_per_way": "20 A", "amps_total": "5 A"}})
    assert {"board-ways", "board-amps"} <= codes(few, "board")
    assert not few.complete
    assert (few.boards[0].used, few.boards[0].spare) == (2, 0)


def test_a_kind_that_does_not_come_in_the_rating_is_told() -> None:
    """Class T from 110 to 400 A (tables/fuse_kinds.csv)."""
    plan = planned({}, {"main": {"fuse": "40 A", "fuse_kind": "class T", "least": "2x10"}})
    (told,) = [one for one in plan.findings if one.code == "fuse-kind"]
    assert (told.level, told.about) == ("warning", "main")
    assert "from 110 to 400 A, and 40 A is asked for" in told.message
    assert "fuse-kind" not in codes(planned())


def test_a_bar_behind_a_stated_fuse_that_lets_more_through_is_told() -> None:
    """40 A stated before a bar of 20 A, 35 A before one of 35 A; with ways stated or without."""
    bar = {"ways": 6, "amps_per_way": "20 A", "amps_total": "20 A"}
    big = {"fuse": "40 A", "least": "2x10"}
    for said in (bar, {"amps_total": "20 A"}):
        plan = planned({"board": said}, {"main": big})
        (told,) = [one for one in plan.findings if one.code == "board-amps"]
        assert (told.level, told.about, plan.complete) == ("error", "board", False)
        assert told.message == "the 40 A fuse does not protect a bar of 20 A"
    assert "board-amps" not in codes(planned({"board": {"amps_total": "40 A"}}, {"main": big}))


def test_volts_are_ohms_law_down_to_the_device(strong: Plan) -> None:
    """All three loads run: 6.5 A in the main cable; the fridge starts with 8 A, 3 A more. Ohms stated count as such."""
    sagging = planned({"battery": {"internal_ohms": "20 mohm"}})
    for plan, inside in ((strong, 0.0), (sagging, 0.020)):
        main, own = loop_ohm(plan, "main", hot=True), loop_ohm(plan, "C1", hot=True)
        fridge = device(plan, "fridge")
        assert fridge.running_v == pytest.approx(12.0 - (inside + main) * 6.5 - own * 5.0, abs=2e-3)
        assert fridge.lowest_v == pytest.approx(12.0 - (inside + main) * 9.5 - own * 8.0, abs=2e-3)
        assert fridge.lowest_when == "fridge"


def test_constant_power_settles_where_volts_times_amps_is_its_power() -> None:
    """u (12 - u) / R = 48 W, the upper root; alone on its battery."""
    plan = planned(
        {"lamp": {"amps": None, "watts": "48 W", "load": "constant power"}, "fridge": {"amps": "0 A", "start_amps": "0 A"},
         "radio": {"amps": "0 A"}}
    )  # fmt: skip
    ohm = loop_ohm(plan, "main", hot=True) + loop_ohm(plan, "C2", hot=True)
    root = 6.0 + (36.0 - 48.0 * ohm) ** 0.5
    assert device(plan, "lamp").running_v == pytest.approx(root, abs=2e-3)


def test_power_that_no_voltage_feeds_is_said_in_words() -> None:
    """0.8 ohm inside 12 V gives 12^2 / (4 x 0.8) = 45 W at most; 60 W are asked for."""
    plan = planned(
        {"battery": {"internal_ohms": "0.8 ohm"}, "lamp": {"amps": None, "watts": "60 W", "load": "constant power"},
         "fridge": {"amps": "0 A", "start_amps": "0 A"}}
    )  # fmt: skip
    (told,) = [one for one in plan.findings if one.code == "no-operating-point"]
    assert (told.level, told.about) == ("error", "battery")


def test_a_device_below_its_cut_out_is_told() -> None:
    """The battery's own 0.2 ohm is no wire's drop: 12 V - 9.5 A x 0.2 ohm is below 10.5 V when the fridge starts."""
    plan = planned({"battery": {"internal_ohms": "0.2 ohm"}, "fridge": {"cut_out_volts": "10.5 V"}})
    (told,) = [one for one in plan.findings if one.code == "cut-out"]
    assert told.about == "fridge"
    assert "while Fridge starts" in told.message
