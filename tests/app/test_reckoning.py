"""The whole reckoning in words: every limit with what is left, the factors in order, shorts and volts."""

from __future__ import annotations

import copy
import io
from pathlib import Path

import pytest
from rich.console import Console

from ribway.explanation import explanation_parts
from ribway.models.plan.plan import Plan
from ribway.models.reading import check_data
from ribway.router.planner import plan_project
from samples.small_lab import SMALL


@pytest.fixture(scope="module")
def plan() -> Plan:
    data = copy.deepcopy(SMALL)
    data["devices"][0]["short_circuit_a"] = "900 A"
    data["devices"][2]["cut_out_volts"] = "10.4 V"
    return plan_project(check_data(data).base, Path("."))


def shown(plan: Plan, name: str) -> str:
    text = io.StringIO()
    console = Console(file=text, width=200)
    for part in explanation_parts(plan, name):
        console.print(part)
    return " ".join(text.getvalue().split())


def test_every_limit_of_a_run_is_shown_with_what_is_left(plan: Plan) -> None:
    (run,) = [one for one in plan.runs if one.id == "C1"]
    text = shown(plan, "C1")
    assert {"mechanical minimum", "ampacity", "fuse window", "drop", "start drop"} == {one.name for one in run.limits}
    for limit in run.limits:
        assert f"{limit.margin:.2f} {limit.unit}" in text
        assert limit.says in text
    assert "Ohm" in text
    assert "IEC 60028" in text
    assert f"{run.design_a:g} A =" in text


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
