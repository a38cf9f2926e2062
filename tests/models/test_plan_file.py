"""A saved plan comes back as it was, and what is no plan is refused in plain words."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.plan_file import load_plan, plan_file, save_plan
from ribway.models.project_faults import PlanFaults


def refused(path: Path, text: str) -> str:
    path.write_text(text, encoding="utf-8")
    with pytest.raises(PlanFaults) as caught:
        load_plan(path)
    return str(caught.value)


def test_it_comes_back_as_it_was(sample_plan: Plan, tmp_path: Path) -> None:
    text = save_plan(sample_plan)
    file = tmp_path / "plan.json"
    file.write_text(text, encoding="utf-8")
    again = load_plan(plan_file(tmp_path))
    assert again == sample_plan
    assert save_plan(again) == text


def test_it_is_json_with_a_line_for_each_thing(sample_plan: Plan) -> None:
    text = save_plan(sample_plan)
    assert text.endswith("}\n")
    assert json.loads(text) == sample_plan.model_dump(mode="json", by_alias=True)
    # Keys, and one line for each run, circuit, opening and so on: two plans can be compared line by line.
    assert sum(1 for line in text.splitlines() if line.startswith('{"id": "fridge-1"')) == 1


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1: this is no JSON"),
        ("{", "this is no JSON"),
        ("[1]", "no plan of ribway"),
        ('{"ribway": 1}', "no plan of ribway"),
        ('{"ribway_plan": 7}', "plan format is 7, and this ribway reads 2"),
        ('{"ribway_plan": true}', "plan format is true"),
        ('{"ribway_plan": NaN}', "holds NaN, which is no number"),
        ("[" * 200_000, "nested too deeply"),
        ('{"ribway_plan": 1}', "an older plan does not say what in it was assumed: plan the project again"),
        ('{"ribway_plan": 2}', "name is missing here"),
    ],
)
def test_what_is_no_plan(tmp_path: Path, text: str, words: str) -> None:
    assert words in refused(tmp_path / "plan.json", text)


def test_what_is_wrong_in_a_plan_has_its_place(sample_plan: Plan, tmp_path: Path) -> None:
    data: dict[str, Any] = json.loads(save_plan(sample_plan))
    data["runs"][0]["cut_m"] = "long"
    del data["runs"][1]["from"]
    data["runs"][2]["kind"] = "gas"
    data["colour"] = "red"
    lines = refused(tmp_path / "plan.json", json.dumps(data)).splitlines()
    places = [line.removeprefix(f"{tmp_path}/plan.json: ").split(":")[0] for line in lines]
    assert places == ["runs / fridge-1 / cut_m", "runs / main-1 / from", "runs / outlet-1 / kind", "colour"]
    assert "accepted are dc, ac, data" in lines[2]


def test_a_missing_plan(tmp_path: Path) -> None:
    with pytest.raises(PlanFaults, match="there is no such file"):
        load_plan(tmp_path / "plan.json")
    with pytest.raises(PlanFaults, match="this is a folder"):
        load_plan(tmp_path)
