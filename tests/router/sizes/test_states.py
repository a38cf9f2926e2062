"""Feeders, chargers, inverters and solar runs: what they are made for in the worst state of the van."""

from __future__ import annotations

import pytest
from electric_vans import circuit, device, planned, run

AT_BATTERY = {"wall": "left", "back": "0.72 m", "up": "0.5 m"}


def test_a_feeder_carries_its_worst_state() -> None:
    """5 A of fridge always; the lamp's 9 A only when parked, the radio's 7 A only when driving: 14 A, not 21 A."""
    plan = planned(
        {
            "lamp": {"amps": "9 A", "states": ["parked", "inverter full"]},
            "radio": {"amps": "7 A", "states": ["driving"]},
        }
    )
    assert circuit(plan, "main").design_a == pytest.approx(14.0)
    assert circuit(plan, "main").start_a == pytest.approx(14.0 + 3.0)  # the fridge starts with 8 A
    assert run(plan, "C3").design_a == pytest.approx(7.0)


def test_diversity_counts_in_the_feeder_alone() -> None:
    """Half of the lamp's 8 A beside the fridge's 5 A and the radio's 1 A."""
    plan = planned({"lamp": {"amps": "8 A", "share": "50 %"}})
    assert circuit(plan, "main").design_a == pytest.approx(5.0 + 1.0 + 4.0)
    assert run(plan, "C2").design_a == pytest.approx(8.0)


def test_a_charger_on_a_board_gives_and_is_not_added_to_what_is_taken() -> None:
    """It gives 20 A, the rest takes 6.5 A: either may stop, so the feeder carries the greater of them."""
    plan = planned(
        {"charger": {"kind": "charger", "at": AT_BATTERY, "amps": "20 A"}},
        {"C7": {"from": "board", "to": ["charger"], "load_can_feed": True}},
    )
    assert circuit(plan, "main").design_a == pytest.approx(20.0)


def test_a_charger_draws_more_than_it_gives() -> None:
    """Power in is power out over efficiency: 14.4 V x 20 A / 0.9 at 11 V of the starter battery."""
    output = {"volts": "14.4 V", "amps": "20 A", "efficiency": "90 %", "lowest_input": "11 V"}
    plan = planned(
        {
            "charger": {"kind": "charger", "at": AT_BATTERY, "output": output},
            "starter": {"kind": "source", "at": {"wall": "bulkhead", "left": "0.5 m", "up": "0.4 m"}},
        },
        {
            "in": {"from": "starter", "to": ["charger"]},
            "out": {"from": "battery", "to": ["charger"], "load_can_feed": True},
        },
    )
    assert circuit(plan, "in").design_a == pytest.approx(14.4 * 20.0 / 0.9 / 11.0, abs=1e-3)
    assert circuit(plan, "out").design_a == pytest.approx(20.0)


def test_an_inverter_draws_most_just_before_it_cuts_out() -> None:
    output = {"watts": "600 W", "efficiency": "85 %", "lowest_input": "10.5 V"}
    plan = planned(
        {"inverter": {"kind": "inverter", "at": AT_BATTERY, "output": output}},
        {"M3": {"from": "battery", "to": ["inverter"]}},
    )
    assert circuit(plan, "M3").design_a == pytest.approx(600.0 / 0.85 / 10.5, abs=1e-3)


def test_a_solar_run_carries_what_strong_sun_drives() -> None:
    """1.25 times the short-circuit current of both strings (NEC 690.8(A)); one code says what is live and how high."""
    panels = {
        "open_volts": "22.5 V",
        "short_amps": "9.5 A",
        "best_volts": "18.6 V",
        "best_amps": "9 A",
        "in_series": 3,
        "strings": 2,
        "controller_volts": "60 V",
    }
    plan = planned(
        {
            "gland": {"kind": "source", "at": {"wall": "roof", "back": "0.9 m", "left": "0.3 m"}, "panels": panels},
            "mppt": {"kind": "charger", "at": AT_BATTERY, "amps": "15 A"},
        },
        {"sun": {"from": "gland", "to": ["mppt"], "volts": "50 V"}},
    )
    assert circuit(plan, "sun").design_a == pytest.approx(1.25 * 2 * 9.5, abs=1e-3)
    says = " ".join(one.message for one in plan.findings if one.code == "solar" and one.about == "sun")
    # 3 x 22.5 V x (1 + 0.35 % x 35 K) = 75.8 V at -10 deg C: above the controller's 60 V.
    assert "75.8 V" in says
    assert "60 V" in says
    assert device(plan, "gland").gives_a == pytest.approx(23.75)
    # More than a controller takes destroys it: nothing to build by. No fuse of the table opens 75.8 V either.
    (kills,) = [one for one in plan.findings if one.code == "solar-volts"]
    assert (kills.level, kills.about, plan.complete) == ("error", "sun", False)
    assert "75.8 V in the cold, the controller takes 60 V" in kills.message
    (fuse,) = [one for one in plan.findings if one.code == "solar-fuse"]
    assert "made to open 75.8 V" in fuse.message
    assert "IEC 60269-6" in fuse.remedy


def test_a_string_inside_its_controller_and_its_fuse_is_no_error() -> None:
    """One panel: 22.5 V x (1 + 0.35 % x 35 K) = 25.3 V, below 60 V and below a blade fuse's 32 V."""
    panels = {"open_volts": "22.5 V", "short_amps": "9.5 A", "best_volts": "18.6 V", "best_amps": "9 A",
              "controller_volts": "60 V"}  # fmt: skip
    plan = planned(
        {
            "gland": {"kind": "source", "at": {"wall": "roof", "back": "0.9 m", "left": "0.3 m"}, "panels": panels},
            "mppt": {"kind": "charger", "at": AT_BATTERY, "amps": "15 A"},
        },
        {"sun": {"from": "gland", "to": ["mppt"], "volts": "18 V"}},
    )
    assert plan.complete
    assert {one.code for one in plan.findings if one.code.startswith("solar")} == {"solar"}
