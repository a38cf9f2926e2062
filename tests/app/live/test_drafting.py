"""A project that is not complete yet: what can be drawn of it, what is wrong, and what an edit made worse."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ribway.live.drafting import draft_of, fresh_faults
from ribway.live.planning import NOTHING_YET, Replanner, Said, spoken
from ribway.models.yaml_text import parse_yaml
from samples.live import SMALL


def raw(**changed: Any) -> dict[str, Any]:
    data = parse_yaml(SMALL, "").raw | changed
    return {key: value for key, value in data.items() if value is not None}


def test_a_project_just_begun_can_be_drawn_and_is_told_what_comes_next() -> None:
    draft = draft_of(raw(devices=None, circuits=None), Path())
    assert draft.project is not None
    assert draft.project.circuits == ()
    assert spoken(draft) == [NOTHING_YET]
    assert spoken(draft_of(raw(), Path())) == []


def test_what_can_be_read_is_drawn_and_the_rest_is_said() -> None:
    devices = [*raw()["devices"], {"id": "odd", "name": "Odd", "at": {"wall": "left", "back": "2", "up": "1 m"}}]
    draft = draft_of(raw(devices=devices), Path())
    assert draft.project is not None
    assert [device.id for device in draft.project.devices] == ["battery", "board", "fridge"]
    assert any("odd" in fault and "no unit" in fault for fault in spoken(draft))
    assert draft_of(raw(vehicle={"preset": 3}), Path()).project is None


def test_only_faults_that_an_edit_brought_count_against_it() -> None:
    before = draft_of(raw(circuits=None), Path())
    assert fresh_faults(before, draft_of(raw(circuits=None, name="other"), Path())) == ()
    worse = draft_of(raw(circuits=None, revision=7), Path())
    assert [fault.place for fault in fresh_faults(before, worse)] == ["revision"]


def test_an_alternative_is_laid_over_it() -> None:
    draft = draft_of(raw(), Path(), "fridge on the left")
    assert draft.project is not None
    assert next(one for one in draft.project.devices if one.id == "fridge").at.wall == "left"
    assert "no alternative elsewhere" in spoken(draft_of(raw(), Path(), "elsewhere"))[0]


def told(replanner: Replanner, data: dict[str, Any]) -> list[Said]:
    return list(replanner.plan(data))


@pytest.mark.parametrize("back", ["2.30 m"])
def test_planning_again_sends_metal_once_and_the_bound_at_last(back: str) -> None:
    replanner = Replanner(Path())
    first = told(replanner, raw())
    assert [one.kind for one in first] == ["faults", "metal", "plan", "plan"]
    assert [bool(one.value["bound"]) for one in first[2:]] == [False, True]
    assert first[-1].value["bound"].startswith("Copper before lengths are rounded up")
    moved = raw()
    moved["devices"][2]["at"]["back"] = back
    again = told(replanner, moved)
    plans = [one.value for one in again if one.kind == "plan"]
    assert "metal" not in [one.kind for one in again]
    assert [bool(plan["bound"]) for plan in plans] == [False, True]
    assert plans[0]["metal"] == plans[1]["metal"] == first[-1].value["metal"]
    assert "fridge" in plans[0]["changed"]
    assert plans[0]["scene"]["runs"] == plans[1]["scene"]["runs"]
    # a place that is not on the shell: said, and the plan in hand stays good for the next one
    moved["devices"][2]["at"]["back"] = "90 m"
    off = told(replanner, moved)
    assert [one.kind for one in off] == ["faults", "faults", "plan"]
    assert off[-1].value["scene"] == plans[-1]["scene"]
    assert next(one["at"]["back"] for one in off[-1].value["devices"] if one["id"] == "fridge") == "90 m"
    assert replanner.latest is None
    assert "fridge" in [one for one in off if one.kind == "faults"][-1].value[0]
    assert told(replanner, raw())[-1].value["totals"] == first[-1].value["totals"]


def test_runs_keep_their_numbers_from_what_was_saved(tmp_path: Path) -> None:
    """A run that was numbered when the project was saved, then taken out: one that comes for it has another number."""
    file = tmp_path / "project.yaml"
    register = tmp_path / "project.numbers.yaml"
    replanner = Replanner(tmp_path, "", file)
    told(replanner, raw())
    assert not register.exists(), "a plan gives no numbers before it is saved"
    assert replanner.keep_numbers() == ""
    first = register.read_text(encoding="utf-8")
    assert "{run: fridge, circuit: fridge, role: feed, from: board, to: fridge}" in first
    other = raw()
    other["devices"][2]["id"] = "freezer"
    other["circuits"][-1]["to"] = ["freezer"]
    other["alternatives"] = []
    told(replanner, other)
    assert replanner.latest is not None
    assert next(run.id for run in replanner.latest.runs if run.to == "freezer" and run.circuit) == "fridge-2"
    register.write_text(first.replace("run: fridge,", "run: main,"), encoding="utf-8")
    said = [one for one in told(replanner, other) if one.kind == "faults"][-1]
    assert "main stands in line" in said.value[-1]


def test_a_project_that_cannot_be_planned_from_the_start_is_shown_with_its_things(tmp_path: Path) -> None:
    """Who opens it puts it right in the lists and forms, which come with a plan: here of the van alone."""
    replanner = Replanner(tmp_path)
    off = raw()
    off["devices"][2]["at"]["back"] = "90 m"
    said = told(replanner, off)
    assert [one.kind for one in said] == ["faults", "faults", "metal", "plan"]
    assert "fridge" in said[1].value[0]
    shown = said[-1].value
    assert [(one["id"], one["at"]) for one in shown["devices"]] == [(one["id"], one["at"]) for one in off["devices"]]
    assert [one["id"] for one in shown["circuits"]] == [one["id"] for one in off["circuits"]]
    assert (shown["scene"]["runs"], replanner.latest) == ([], None)
    assert [one.kind for one in told(replanner, raw())][-1] == "plan"
    assert replanner.latest is not None
