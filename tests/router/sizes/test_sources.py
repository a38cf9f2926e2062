"""Batteries in parallel, chargers and fuses: shorts by Ohm's and Kirchhoff's laws written out here."""

from __future__ import annotations

import pytest
from electric_vans import circuit, codes, planned, run

from ribway.models.plan.plan import Plan

AT = {"wall": "left", "back": "0.75 m", "up": "0.3 m"}
BESIDE = {"wall": "left", "back": "0.45 m", "up": "0.5 m"}
PURE_OHM_MM2_PER_M = 0.017241
"""Annealed copper at 20 deg C (IEC 60028); the plan takes 1/58, the same to 2 in 10,000."""
FULL_V = 14.4
"""1.2 times 12 V."""


def two(second: str = "600 A", circuits: dict[str, dict[str, object]] | None = None, **more: dict[str, object]) -> Plan:
    """A battery of 900 A before the board, another behind it that can feed it too."""
    return planned(
        {
            "battery": {"short_circuit_a": "900 A"},
            "other": {"kind": "source", "at": AT, "short_circuit_a": second},
            **more,
        },
        {"bank": {"from": "board", "to": ["other"], "load_can_feed": True}, **(circuits or {})},
    )


def least_ohm(plan: Plan, name: str) -> float:
    """There and back as short as the run can lie."""
    one = run(plan, name)
    return 2.0 * one.taut_m * PURE_OHM_MM2_PER_M / one.conductor_area_mm2


@pytest.fixture(scope="module")
def bank() -> Plan:
    return two()


def test_batteries_that_meet_at_a_board_add_up(bank: Plan) -> None:
    by_main = FULL_V / (FULL_V / 900.0 + least_ohm(bank, "main"))
    by_bank = FULL_V / (FULL_V / 600.0 + least_ohm(bank, "bank"))
    assert circuit(bank, "C1").short_near_a == pytest.approx(by_main + by_bank, rel=1e-3)
    # The fuse of each battery's own cable passes what the other side drives, and not what stands behind it.
    assert circuit(bank, "bank").short_near_a == pytest.approx(by_main, rel=1e-3)
    assert circuit(bank, "main").short_near_a == pytest.approx(900.0, abs=0.1)


def test_both_drive_a_short_through_the_cable_that_they_share() -> None:
    """The second stands beside the first: 1500 A at their poles, and the main cable takes from both."""
    plan = two(circuits={"bank": {"from": "battery", "to": ["other"], "load_can_feed": True}})
    at_poles = 1.0 / (FULL_V / 900.0) + 1.0 / (FULL_V / 600.0 + least_ohm(plan, "bank"))
    assert circuit(plan, "main").short_near_a == pytest.approx(FULL_V * at_poles, rel=1e-3)
    at_board = FULL_V / (1.0 / at_poles + least_ohm(plan, "main"))
    assert circuit(plan, "C1").short_near_a == pytest.approx(at_board, rel=1e-3)


def test_what_breaks_one_battery_need_not_break_two(bank: Plan) -> None:
    """A blade fuse breaks 1000 A (tables/fuse_kinds.csv): enough for each, not for both."""
    (told,) = [one for one in bank.findings if one.code == "breaking-capacity"]
    assert (told.level, told.about, bank.complete) == ("error", "board", False)
    assert "2 batteries together" in told.message
    alone = planned({"battery": {"short_circuit_a": "900 A"}})
    assert "breaking-capacity" not in codes(alone)


def test_an_unknown_second_battery_makes_the_short_unknown() -> None:
    plan = planned(
        {"battery": {"short_circuit_a": "900 A"}, "other": {"kind": "source", "at": AT}},
        {"bank": {"from": "board", "to": ["other"], "load_can_feed": True}},
    )
    assert circuit(plan, "C1").short_near_a is None
    assert "short-circuit-unknown" in codes(plan)


def test_the_far_short_is_that_of_the_weaker_battery_alone() -> None:
    """40 A from a weak battery: 14.4 V / 40 A = 0.36 ohm, and the other may be off."""
    plan = two("40 A")
    one = circuit(plan, "C1")

    def hot(name: str) -> float:
        wire = run(plan, name)
        cable = next(each for each in plan.cables if each.id == wire.cable)
        return 2.0 * wire.cut_m * cable.ohm_per_m_20c * (1.0 + 0.00393 * ((wire.copper_c or 20.0) - 20.0))

    fuse = {7.5: 0.120, 10.0: 0.110, 15.0: 0.110}[one.fuse_a or 0.0] / (one.fuse_a or 1.0)
    assert one.short_far_a == pytest.approx(12.0 / (FULL_V / 40.0 + fuse + hot("bank") + hot("C1")), rel=2e-3)


def test_a_far_battery_carries_all_that_the_van_takes_or_charges(bank: Plan) -> None:
    """6.5 A of loads; with a charger of 30 A at the first battery, 30 A. What is stated stays."""
    assert circuit(bank, "bank").design_a == pytest.approx(6.5)
    out = {"volts": "14.4 V", "amps": "30 A", "lowest_input": "12 V"}
    charged = two(
        charger={"kind": "charger", "at": BESIDE, "output": out},
        circuits={"in": {"from": "battery", "to": ["charger"], "load_can_feed": True}},
    )
    assert circuit(charged, "bank").design_a == pytest.approx(30.0)
    assert circuit(charged, "main").design_a == pytest.approx(30.0)
    assert circuit(charged, "main").short_near_a == pytest.approx(930.0, abs=0.1)
    assert circuit(two(other={"kind": "source", "at": AT, "amps": "12 A"}), "bank").design_a == pytest.approx(12.0)


def test_a_battery_behind_a_board_must_not_drive_more_into_its_feeder_than_that_bears() -> None:
    plan = two(
        circuits={"bank": {"from": "board", "to": ["other"], "load_can_feed": True, "fuse": "60 A", "least": "2x10"}}
    )
    (told,) = [one for one in plan.findings if one.code == "step-down" and "(from other)" in one.about]
    assert (told.level, plan.complete) == ("error", False)
    assert "behind one of 60 A" in told.message


def test_a_charger_alone_opens_no_fuse_and_is_not_taken_for_a_battery() -> None:
    """It gives 30 A into a short and no more: blade fuses break that, and no short at a far end is promised to open one."""
    out = {"volts": "14.4 V", "amps": "30 A", "lowest_input": "12 V"}
    plan = planned({"battery": {"kind": "charger", "output": out}})
    assert circuit(plan, "main").short_near_a == pytest.approx(30.0)
    assert circuit(plan, "C1").short_far_a is None
    assert plan.complete
