"""The whole reckoning in words: every limit with what is left, the factors in order, shorts and volts."""

from __future__ import annotations

import copy
import io
import math
import re
from fractions import Fraction
from pathlib import Path

import pytest
from rich.console import Console

from ribway.explanation import NO_RATES, explanation_parts
from ribway.models.plan.electric import PlanBudget, PlanSizeBy
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.rates.rates import Rates, Reel
from ribway.models.reading import check_data
from ribway.router.planner import plan_project
from ribway.volts_lost import way_there
from samples.small_lab import SMALL


@pytest.fixture(scope="module")
def plan() -> Plan:
    data = copy.deepcopy(SMALL)
    data["devices"][0]["short_circuit_a"] = "900 A"
    data["devices"][2]["cut_out_volts"] = "10.4 V"
    return plan_project(check_data(data).base, Path("."))


def shown(plan: Plan, name: str, rates: Rates = NO_RATES) -> str:
    text = io.StringIO()
    console = Console(file=text, width=200)
    for part in explanation_parts(plan, name, rates):
        console.print(part)
    return " ".join(text.getvalue().split())


def test_every_limit_of_a_run_is_shown_with_what_is_left(plan: Plan) -> None:
    (run,) = [one for one in plan.runs if one.id == "C1"]
    text = shown(plan, "C1")
    assert {"mechanical minimum", "ampacity", "fuse window", "drop", "start drop"} == {one.name for one in run.limits}
    for limit in run.limits:
        assert f"{limit.margin:.2f} {limit.unit}" in text
        assert limit.says in text
    assert "Ohm's law" in text
    assert "IEC 60028" in text


def test_lengths_in_formulas_stand_in_feet_beside_the_metres() -> None:
    """The formula stays in metres; beside it the length rounded up to 1/16 inch of 25.4 mm."""
    data = copy.deepcopy(SMALL)
    data["shop"] = {**data["shop"], "units": "feet and inches"}
    data["devices"][2]["maker"] = {"areas": [{"up_to": "20 m", "area": "1.5 mm2"}]}
    made = plan_project(check_data(data).base, Path("."))
    (one,) = [each for each in made.runs if each.id == "C1"]
    text = shown(made, "C1")
    said = re.search(rf"2 x {one.cut_m:.2f} m \((\d+)' ([0-9 /]+)\"\) x", text)
    assert said is not None, text
    whole, _, part = said[2].partition(" ")
    inches = 12 * int(said[1]) + int(whole) + (float(Fraction(part)) if part else 0.0)
    assert one.cut_m <= inches * 0.0254 + 1e-9 < one.cut_m + 0.0254 / 2
    assert f"for {one.cut_m:.2f} m ({said[1]}' {said[2]}\") one way" in text


def test_a_load_that_is_on_for_a_while_says_what_that_changes() -> None:
    """1 - exp(-t/tau) of its heat, tau = 3.45 MJ/(m3 K) x 2.5 mm2 x ln 2/(2 pi 0.17) = 5.6 s."""
    data = copy.deepcopy(SMALL)
    data["circuits"][1].update({"duty": {"on": "3 s", "off": "10 min"}, "cable": "2x2.5"})
    text = shown(plan_project(check_data(data).base, Path(".")), "C1")
    share = 1.0 - math.exp(-3.0 / (3.45 * 2.5 * math.log(2.0) / (2.0 * math.pi * 0.17)))
    assert "on at a time 3 s at most, then 600 s off at least" in text
    assert f"5 A x sqrt({share:.3f}), metal that warms in 6 s" in text
    assert "held by all of its current" in text


def test_the_volts_are_followed_from_the_battery_cable_by_cable(plan: Plan) -> None:
    """Main and C1: 2 x metres x ohm/m x amps each (IEC 60228 class 5, hot by 0.00393 per kelvin), summed to the drop."""
    table = shown(plan, "C1").split("Where the volts go")[1].split("Ohm's law")[0]
    runs = {one.id: one for one in plan.runs}
    ohm_per_km = {1.5: 13.3, 2.5: 7.98, 4.0: 4.95}
    so_far = 0.0
    for name in ("main", "C1"):
        one = runs[name]
        hot = ohm_per_km[one.conductor_area_mm2] / 1000.0 * (1.0 + 0.00393 * ((one.copper_c or 0.0) - 20.0))
        so_far += 2.0 * one.cut_m * hot * one.design_a
        assert f"2 x {one.cut_m:.2f} m x {1000 * hot:.3f} mΩ/m x {one.design_a:g} A" in table
        assert f"{so_far:.3f} V" in table
    assert so_far == pytest.approx(runs["C1"].drop_v, abs=1e-3)


def test_the_fuse_and_its_shorts_are_shown_as_quotients(plan: Plan) -> None:
    text, main = shown(plan, "C1"), next(one for one in plan.circuits if one.id == "C1")
    assert "(it carries the start of 8 A too)" in text
    assert "(1.25 x 1 A: common practice" in shown(plan, "C3")
    assert f"14.4 V / ({14.4 / 0.9:.2f} mΩ of the battery + " in text
    assert main.short_far_a is not None
    assert f"12 V / {12000.0 / main.short_far_a:.1f} mΩ hot" in text
    assert "it opens" in text


def test_a_feeder_shows_what_it_carries_in_each_state(plan: Plan) -> None:
    text = shown(plan, "main").split("by state of the van")[1]
    assert all(f"{state} 6.5 A 0 A" in text for state in ("parked", "driving", "shore", "inverter full"))


def test_a_price_comes_from_the_rates_alone(plan: Plan) -> None:
    (run,) = [one for one in plan.runs if one.id == "C1"]
    reels = tuple(
        Reel.model_validate({"cable": run.cable, "length": f"{m} m", "price": p}) for m, p in ((10, 9.0), (25, 20.0))
    )
    assert "price" not in shown(plan, "C1")
    text = shown(plan, "C1", Rates(currency="EUR", reels=reels))
    assert f"{0.8 * run.cut_m * run.pieces:.2f} EUR, by the metre of its cheapest reel of 25 m" in text


def test_what_a_bundle_did_to_a_size_is_shown(plan: Plan) -> None:
    (run,) = [one for one in plan.runs if one.id == "C1"]
    by = ("factor alone", "heat balance alone", "neither")
    sizes = (run.size_name, "1 mm2", "0.75 mm2")
    found = tuple(PlanSizeBy(by=way, size=size, carries_a=8.0) for way, size in zip(by, sizes, strict=True))
    text = shown(_with_run(plan, run.model_copy(update={"size_by": found})), "C1")
    assert "heat balance alone 1 mm2 8 A" in text
    assert "below 50 V no law" in text
    same = tuple(one.model_copy(update={"size": run.size_name}) for one in found)
    assert "did not change its size" in shown(_with_run(plan, run.model_copy(update={"size_by": same})), "C1")


def _with_run(plan: Plan, run: PlanRun) -> Plan:
    return plan.model_copy(update={"runs": tuple(run if one.id == run.id else one for one in plan.runs)})


def test_a_budget_is_shown_with_what_is_left(plan: Plan) -> None:
    said = PlanBudget(
        kind="length",
        circuit="C1",
        runs=("C1",),
        of="LIN",
        value=4.0,
        bound=40.0,
        sense="at most",
        unit="m",
        says="cut",
    )
    assert "length LIN 4.00 m at most 40 m 36.00 m cut" in shown(plan.model_copy(update={"budgets": (said,)}), "C1")


def test_the_factors_stand_in_the_order_they_were_applied(plan: Plan) -> None:
    (run,) = [one for one in plan.runs if one.id == "C1"]
    text = shown(plan, "C1")
    assert run.table_says in text
    places = [text.index(one.because) for one in run.factors]
    assert len(places) >= 2
    assert places == sorted(places)
    assert "rule set careful" in text


def test_a_circuit_shows_its_shorts_and_its_volts(plan: Plan) -> None:
    (main,) = [one for one in plan.circuits if one.id == "main"]
    assert main.fuse_kind in shown(plan, "main")
    assert "A, as usual for its kind" in shown(plan, "main")
    text = shown(plan, "C1")
    (fridge,) = [one for one in plan.devices if one.id == "fridge"]
    assert fridge.lowest_v is not None
    assert f"{fridge.lowest_v:.2f} V while Fridge starts" in text
    assert f"{fridge.lowest_v - 10.4:.2f} V" in text


def test_a_way_back_is_followed_by_itself_and_a_rest_is_named(plan: Plan) -> None:
    run = next(one for one in plan.runs if one.id == "C1")
    back = tuple(
        one.model_copy(update={"pattern": "shared negative"}) if one.id == "C1" else one for one in plan.circuits
    )
    assert [one.id for one in way_there(plan, run)] == ["main", "C1"]
    assert [one.id for one in way_there(plan.model_copy(update={"circuits": back}), run)] == ["C1"]
    by_body = tuple(one.model_copy(update={"negative": "bond"}) if one.id == "C1" else one for one in plan.circuits)
    more = _with_run(plan.model_copy(update={"circuits": by_body}), run.model_copy(update={"drop_v": run.drop_v + 0.1}))
    assert "back by bond, contacts, body, what shares the way back 0.100 V" in shown(more, "C1")
