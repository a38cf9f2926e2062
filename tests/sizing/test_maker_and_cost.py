"""Makers' demands, terminals, costs and system voltages, by hand."""

import csv
import re
from pathlib import Path

import pytest

from ribway.sizing.choice import Choice, NoConductor, choose_conductor
from ribway.sizing.conductor import Conductor
from ribway.sizing.cost import metal_kg, run_cost, voltages_compared
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.errors import BadNumberError
from ribway.sizing.maker import MakerArea, MakerLimits, Terminal
from ribway.sizing.rules import rule_set

AREAS = (0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0)
STOCK = tuple(Conductor(f"{area:g}", "metric", f"{area:g}", area, 2, 105.0, True) for area in AREAS)
COOL = (Stretch("wall", 30, 2),)
CAREFUL = rule_set()
FRIDGE = MakerLimits("fridge", (MakerArea(2.5, 2.5), MakerArea(4.0, 4.0), MakerArea(6.0, 6.0)), fuse_a=15)


def chosen(cut_m, amps, limit=10.0, **more):
    return choose_conductor(STOCK, Demand((Leg(cut_m, amps),), COOL, 12.0, limit, **more), CAREFUL)


@pytest.mark.parametrize(("cut_m", "area"), [(2.0, "2.5"), (2.5, "2.5"), (2.51, "4"), (4.5, "6")])
def test_the_makers_table_decides_where_it_is_stricter(cut_m, area):
    answer = chosen(cut_m, 5, maker=FRIDGE)
    assert isinstance(answer, Choice)
    assert (answer.verdict.conductor.id, answer.reason) == (area, "maker's area")
    limit = answer.verdict.limit("maker's area")
    assert limit is not None
    assert "fridge, its maker's table" in limit.says


def test_the_rules_decide_where_they_are_stricter():
    """5 A, 4 m, 1 %: 0.12 V; class 5 at 105 C x 1.334: 10 mm2 loses 0.102 V, 6 mm2 0.176 V (IEC 60228)."""
    answer = chosen(4.0, 5, 1.0, maker=FRIDGE)
    assert isinstance(answer, Choice)
    assert (answer.verdict.conductor.id, answer.reason) == ("10", "drop")


def test_a_table_that_counts_there_and_back():
    loop = MakerLimits("fridge", FRIDGE.areas, "there and back")
    assert (loop.least_area_mm2(1.25), loop.least_area_mm2(1.26), MakerLimits("x").least_area_mm2(9)) == (
        2.5,
        4.0,
        None,
    )


def test_longer_than_the_makers_table():
    answer = chosen(6.5, 5, maker=FRIDGE)
    assert isinstance(answer, NoConductor)
    assert answer.needed.area_mm2 is None
    assert "6.50 m one way is longer than the table of fridge's maker goes" in answer.needed.says


def test_the_makers_fuse():
    """13 A wants 16.25 -> 20 A; the maker allows 15 A."""
    answer = chosen(1.0, 13, maker=FRIDGE)
    assert isinstance(answer, NoConductor)
    assert answer.needed.says.startswith("fridge's maker allows a fuse of 15 A, the circuit needs 20 A")
    assert isinstance(chosen(1.0, 12, maker=FRIDGE), Choice)


def test_the_makers_loss():
    """5 A, 4 m: 0.2 V; class 5 at 105 C: 4 mm2 loses 0.264 V, 6 mm2 0.176 V."""
    answer = chosen(4.0, 5, maker=MakerLimits("heater", drop_v=0.2))
    assert isinstance(answer, Choice)
    assert (answer.verdict.conductor.id, answer.reason) == ("6", "maker's drop")


def test_terminals_and_plugs():
    clamp = Terminal("clamp of the pump", most_mm2=2.5)
    assert isinstance(chosen(3.0, 5, terminals=(clamp,)), Choice)
    answer = chosen(9.0, 5, 3.0, terminals=(clamp,))
    assert isinstance(answer, NoConductor)
    assert "clamp of the pump takes at most 2.5 mm2: end in a thinner tail" in answer.needed.says
    fat = chosen(1.0, 2, terminals=(Terminal("big lug", least_mm2=6.0),))
    assert isinstance(fat, Choice)
    assert (fat.verdict.conductor.id, fat.reason) == ("6", "terminal")
    plug = chosen(1.0, 12, terminals=(Terminal("12 V socket", most_a=10),))
    assert isinstance(plug, NoConductor)
    assert plug.needed.says == "12 V socket may carry 10 A, 12 A flow: take another plug"


def test_bad_tables_are_refused():
    with pytest.raises(BadNumberError, match="lengths must rise"):
        MakerLimits("x", (MakerArea(4, 2.5), MakerArea(3, 4)))
    with pytest.raises(BadNumberError, match="swap the two"):
        Terminal("x", most_mm2=1.0, least_mm2=2.0)
    with pytest.raises(BadNumberError, match="greatest loss"):
        MakerLimits("x", drop_v=0.0)


def test_copper_mass_money_and_loss():
    """10 m of 2 x 2.5 mm2: 0.448 kg at 8.96 g/cm3; 8 A at 20 C: 64 x 7.98e-3 x 10 x 2 = 10.2 W (IEC 60228)."""
    cost = run_cost(STOCK[3], 10, 8, 6, 20, cable_g_per_m=70, price_per_m=1.4)
    assert cost.metal_kg == pytest.approx(0.448)
    assert (cost.cable_kg, cost.price) == (pytest.approx(0.7), pytest.approx(14))
    assert cost.loss_w == pytest.approx(64 * 7.98e-3 * 20)
    assert cost.loss_wh_per_day == pytest.approx(6 * cost.loss_w)
    unknown = run_cost(STOCK[3], 10, 8, 6, 20)
    assert (unknown.cable_kg, unknown.price) == (None, None)
    with pytest.raises(BadNumberError, match="0 to 24"):
        run_cost(STOCK[3], 10, 8, 25, 20)


def test_three_system_voltages():
    """voltage_drop.csv row 23: 500 W, 6 m, 3 %: 23.9, 5.99, 1.50 mm2 of ideal copper; stock is never thinner than that."""
    data = Path(__file__).parents[1] / "data" / "checks" / "voltage_drop.csv"
    row = next(row for row in csv.DictReader(data.open(encoding="utf-8")) if row["case"] == "23")
    ideal = [float(one) for one in re.findall(r"\d+\.\d+", row["answer"])[:3]]
    grams = [429, 107, 26.8]
    compared = voltages_compared(STOCK, 500, 6, 3.0, COOL, CAREFUL)
    for at, area, gram in zip(compared, ideal, grams, strict=True):
        assert at.conductor is not None
        assert at.metal_kg is not None
        assert at.loss_w is not None
        assert at.conductor.area_mm2 >= area
        assert at.metal_kg * 1000 / 6 >= gram * 0.99
        assert at.loss_w <= 0.03 * at.nominal_v * at.amps * (1 + 1e-9)
        assert at.metal_kg == metal_kg(at.conductor, 6)
    kilos = [at.metal_kg for at in compared]
    assert kilos == sorted(kilos, reverse=True)
    none = voltages_compared(STOCK[:2], 500, 6, 3.0, COOL, CAREFUL, [12.0])[0]
    assert none.conductor is None
    assert "mm2 or more would be needed" in none.reason
