"""Rule sets, heat, makers' demands, terminals and cut-out voltages decide sizes, and are said to."""

from __future__ import annotations

import pytest
from electric_vans import circuit, codes, planned, run

from ribway.models.plan.plan import Plan
from ribway.router.faults import RouterFaults

IEC_60228_CLASS5 = {0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91}
"""Greatest ohm/km at 20 deg C, plain (IEC 60228:2004 table 3)."""


@pytest.fixture(scope="module")
def plain() -> Plan:
    return planned()


def test_the_makers_table_asks_for_more_copper_than_the_drop(plain: Plan) -> None:
    """Up to 2 m the maker asks for 2.5 mm2, up to 20 m for 6 mm2; the cable is longer than 2 m."""
    assert run(plain, "C1").conductor_area_mm2 < 6.0
    assert run(plain, "C1").cut_m > 2.0
    maker = {"areas": [{"up_to": "2 m", "area": "2.5 mm2"}, {"up_to": "20 m", "area": "6 mm2"}]}
    asked = run(planned({"fridge": {"maker": maker}}), "C1")
    assert (asked.conductor_area_mm2, asked.deciding) == (6.0, "maker's area")
    (limit,) = [one for one in asked.limits if one.name == "maker's area"]
    assert (limit.bound, limit.margin) == (6.0, 0.0)


def test_a_makers_greatest_loss_is_grown_for_and_kept(plain: Plan) -> None:
    before = run(plain, "C1").drop_v
    asked = run(planned({"fridge": {"maker": {"drop": f"{before * 0.7:.3f} V"}}}), "C1")
    assert asked.drop_v <= before * 0.7 + 5e-4
    assert asked.deciding == "maker's drop" or run(plain, "C1").conductor_area_mm2 == asked.conductor_area_mm2


def test_a_makers_fuse_below_the_load_is_a_fault_no_size_mends() -> None:
    with pytest.raises(RouterFaults, match=r"no size of cable mends this.*maker allows 3 A"):
        planned({"fridge": {"maker": {"fuse": "3 A"}}})


def test_a_terminal_that_takes_too_little_is_a_fault_no_size_mends() -> None:
    with pytest.raises(RouterFaults, match=r"takes at most 1\.5 mm2"):
        planned({"fridge": {"terminal": "1.5 mm2"}}, {"C1": {"least": "2x2.5"}})


def test_a_plug_that_carries_too_little_is_a_fault() -> None:
    with pytest.raises(RouterFaults, match="may carry 4 A"):
        planned({"fridge": {"terminal_amps": "4 A"}})


def test_where_a_terminal_is_full_what_feeds_it_grows_instead() -> None:
    """The fridge's own cable may not pass its terminal's size: the main cable takes more copper."""
    tight = {"C1": {"drop": "3 %"}}
    free, held = planned({}, tight), planned({"fridge": {"terminal": "4 mm2"}}, tight)
    assert [run(free, name).conductor_area_mm2 for name in ("C1", "main")] == [6.0, 4.0]
    assert run(held, "C1").conductor_area_mm2 == 4.0
    assert run(held, "main").conductor_area_mm2 > 4.0
    assert run(held, "C1").drop_percent <= 3.0


def test_a_cut_out_voltage_is_kept_while_the_motor_starts(plain: Plan) -> None:
    """The fridge starts at 8 A; held to what it really sees, by Ohm's law over both cables."""
    lost = circuit(plain, "C1").start_drop_percent * 0.12
    asked = planned({"fridge": {"cut_out_volts": f"{12.0 - lost + 0.05:.3f} V"}})
    cut_out_percent = 100.0 * (lost - 0.05) / 12.0
    assert circuit(asked, "C1").start_drop_percent <= cut_out_percent + 0.01
    assert circuit(plain, "C1").start_drop_percent > cut_out_percent


def test_constant_power_draws_most_at_the_lowest_voltage_its_limit_allows() -> None:
    """60 W at 5 % below 12 V: 60 / 11.4 A."""
    plan = planned({"lamp": {"amps": None, "watts": "60 W", "load": "constant power"}})
    assert run(plan, "C2").design_a == pytest.approx(60.0 / 11.4, abs=1e-3)


@pytest.mark.parametrize(("cut_out", "amps"), [("10.5 V", 60.0 / 10.5), ("11.8 V", 60.0 / 11.4)])
def test_constant_power_goes_on_down_to_its_cut_out_voltage(cut_out: str, amps: float) -> None:
    """60 W from a battery nearly empty: 60 / 10.5 A; never less than at the drop limit."""
    lamp = {"amps": None, "watts": "60 W", "load": "constant power", "cut_out_volts": cut_out}
    assert run(planned({"lamp": lamp}), "C2").design_a == pytest.approx(amps, abs=1e-3)


@pytest.mark.parametrize(
    ("rules", "base", "column"),
    # 2.5 mm2 single at 30 deg C, 70 deg C column of ISO 10133 table A.1; 14 AWG, 60 deg C column of 33 CFR 183.425.
    [("ISO13297", "ISO10133", "c"), ("33CFR183", "33CFR183", "c"), ("NEC", "33CFR183", "c")],
)
def test_a_rule_set_is_named_in_the_plan_and_its_table_is_used(rules: str, base: str, column: str) -> None:
    plan = planned({}, {"C1": {"least": "2x2.5"}}, rules=rules, derating="factor")
    assert (plan.rules.rule_set, plan.rules.base) == (rules, base)
    says = run(plan, "C1").table_says
    assert ("ISO 10133" in says) == (base == "ISO10133")
    assert plan.rules.fuse_rule == ("33 CFR 183 limit" if rules == "33CFR183" else "careful")
    assert plan.rules.bundle_rule == ("NEC" if rules == "NEC" else "33 CFR 183")


def test_heat_takes_away_and_the_factors_say_how_much() -> None:
    by_factor, stricter = planned(derating="factor"), planned(derating="stricter")
    assert all(one.heat_factor == 1.0 for one in by_factor.runs)
    assert any(one.heat_factor < 1.0 for one in stricter.runs)
    for one in stricter.runs:
        if one.factors:
            assert one.factors[0].before_a == one.table_a
            assert one.factors[-1].after_a == pytest.approx(one.derated_a, abs=0.011)
            for step in one.factors:
                assert step.after_a == pytest.approx(step.before_a * step.value, rel=2e-3, abs=0.02)


def test_what_is_lost_in_a_day_is_i_squared_r_by_hours() -> None:
    plan = planned({"lamp": {"hours_per_day": "5 h"}})
    one = run(plan, "C2")
    hot = 1.0 + 0.00393 * (one.copper_c - 20.0)  # IEC 60028
    ohm = 2.0 * one.cut_m * IEC_60228_CLASS5[one.conductor_area_mm2] / 1000.0 * hot
    assert one.loss_wh_per_day == pytest.approx(0.5**2 * ohm * 5.0, abs=0.01)
    assert run(plan, "C3").loss_wh_per_day is None


def test_circuits_never_loaded_together_do_not_warm_each_other() -> None:
    """Two heavy circuits along the same way: counted as four conductors, or as two where only one is loaded at a time."""
    heavy = {
        "oven": {"at": {"wall": "left", "back": "1.48 m", "up": "1.1 m"}, "amps": "9 A"},
        "kettle": {"at": {"wall": "left", "back": "1.50 m", "up": "1.0 m"}, "amps": "9 A"},
    }

    def made(**sets: str) -> Plan:
        both = {
            "C8": {"from": "board", "to": ["oven"], **sets},
            "C9": {"from": "board", "to": ["kettle"], **sets},
        }
        return planned(heavy, both, derating="factor")

    together, apart = made(), made(never_with="hot water")
    assert run(together, "C8").bundle_factor < 1.0
    assert run(apart, "C8").bundle_factor == 1.0
    total = circuit(together, "main").design_a
    assert circuit(apart, "main").design_a == pytest.approx(total - 9.0, abs=1e-3)
    assert "current" not in codes(apart)


def test_circuits_never_loaded_together_count_once_on_whatever_boards_they_hang() -> None:
    """Oven 9 A on the main board, kettle 7 A and pump 2 A on a second one: 9 + 2 A in the main feed, 7 + 2 A in the other.

    An inner pair on the second board that is itself part of the set counts by its worst: 9 A against 4 A.
    """

    def place(back: str) -> dict[str, str]:
        return {"wall": "left", "back": back, "up": "1.0 m"}

    more = {
        "oven": {"at": place("1.48 m"), "amps": "9 A", "start_amps": "12 A"},
        "second": {"at": place("1.60 m"), "kind": "board"},
        "kettle": {"at": place("1.50 m"), "amps": "7 A"},
        "pump": {"at": place("1.52 m"), "amps": "2 A"},
    }
    circuits = {
        "C8": {"from": "board", "to": ["oven"], "never_with": "hot water"},
        "M2": {"from": "board", "to": ["second"]},
        "C9": {"from": "second", "to": ["kettle"], "never_with": "hot water"},
        "C10": {"from": "second", "to": ["pump"]},
    }
    rest = circuit(planned(), "main").design_a
    plan = planned(more, circuits)
    assert circuit(plan, "main").design_a == pytest.approx(rest + 9.0 + 2.0, abs=1e-3)
    assert circuit(plan, "M2").design_a == pytest.approx(7.0 + 2.0, abs=1e-3)
    apart = {**circuits, "M2": {**circuits["M2"], "never_with": "hot water"}}
    assert circuit(planned(more, apart), "main").design_a == pytest.approx(rest + 9.0, abs=1e-3)
    assert not {"current", "feeder-states"} & codes(plan)


def test_what_a_bundle_did_to_a_size_is_told_and_never_silent() -> None:
    """15 A beside 15 A along one wall: the factor of 33 CFR 183.425 for four conductors is 0.6, alone it is 1."""
    heavy = {
        "oven": {"at": {"wall": "left", "back": "1.48 m", "up": "1.1 m"}, "amps": "15 A"},
        "kettle": {"at": {"wall": "left", "back": "1.50 m", "up": "1.0 m"}, "amps": "15 A"},
    }
    both = {name: {"from": "board", "to": [load], "drop": "10 %"} for name, load in (("C8", "oven"), ("C9", "kettle"))}
    plan = planned(heavy, both, stock="awg")
    one = run(plan, "C8")
    by = {way.by: way for way in one.size_by}
    assert (one.size_name, by["factor alone"].size, by["neither"].size) == ("12 AWG", "12 AWG", "14 AWG")
    assert by["heat balance alone"].size == "14 AWG"
    # 33 CFR 183.425, 105 C: 14 AWG 35 A, 12 AWG 45 A; NEC ambient factor in 40 C air sqrt(65/75).
    assert by["neither"].carries_a == pytest.approx(35.0 * (65.0 / 75.0) ** 0.5, abs=0.01)
    assert by["factor alone"].carries_a == pytest.approx(45.0 * 0.6 * (65.0 / 75.0) ** 0.5, abs=0.01)
    (told,) = [each for each in plan.findings if each.code == "bundle-decides" and "C8" in each.about.split(", ")]
    assert f"{one.size_name} where {by['neither'].size} would do alone" in told.message
    # Built as that way has it, the plan takes that size.
    bare = planned(heavy, both, stock="awg", derating="factor", bundle_rule="none")
    assert run(bare, "C8").size_name == by["neither"].size
    assert "bundle-decides" not in codes(bare)
