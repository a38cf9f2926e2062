"""Pictures and page say which lines are sketches, which lengths are taped, and what every way is."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from ribway.models.plan.plan import Plan
from ribway.viewer.about import about_run
from ribway.viewer.legend import cautions
from ribway.viewer.report.run_tables import cut_table, runs_table
from ribway.viewer.report.table import Table
from ribway.viewer.report.tables import circuits_table, looms_table, openings_table
from ribway.viewer.report.words import device_spot
from ribway.viewer.scene import scene_of
from samples.spoilt.changes import change, take


def taped(plan: Plan) -> Plan:
    return change(plan, "runs", "fridge-1", measured="taped", openings=())


@pytest.mark.parametrize("table", [runs_table, cut_table, circuits_table, looms_table])
def test_tables_of_the_page(sample_plan: Plan, table: Callable[[Plan], Table]) -> None:
    assert "All lengths are computed." in table(sample_plan).notes
    assert any("no way computed and no opening filled: fridge-1" in note for note in table(taped(sample_plan)).notes)


def test_rows_of_the_page(sample_plan: Plan) -> None:
    row = next(one for one in runs_table(taped(sample_plan)).rows if "fridge-1" in one.runs)
    assert "not computed: taped" in [one.text for one in row.cells]
    named = change(sample_plan, "runs", "fridge-1", measured="by hand")
    row = next(one for one in runs_table(named).rows if "fridge-1" in one.runs)
    assert any(one.text.startswith("by hand: L1a") for one in row.cells)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "over the member L1"),
        ({"kind": "inside"}, "inside L1"),
        ({"kind": "outside", "surroundings": "engine space"}, "outside, engine space, taped"),
        ({"kind": "furniture", "furniture": "galley"}, "in furniture galley"),
        ({"kind": "entry", "furniture": "galley"}, "entry of furniture galley"),
    ],
)
def test_ways_of_the_page(sample_plan: Plan, changes: dict[str, object], words: str) -> None:
    plan = change(sample_plan, "ways", "over-L1", runs=("fridge-1",), **changes)
    row = next(one for one in openings_table(plan).rows if "over-L1" in one.openings)
    assert words in [one.text for one in row.cells]


def test_under_a_picture(sample_plan: Plan) -> None:
    assert "sketch" not in cautions(scene_of(sample_plan).heading)
    assert "Taped, drawn as a sketch: fridge-1." in cautions(scene_of(taped(sample_plan)).heading)
    outside = change(sample_plan, "ways", "over-L1", kind="outside", surroundings="cab", runs=("fridge-1",))
    assert "Taped, drawn as a sketch: over-L1." in cautions(scene_of(outside).heading)


def test_about_a_picked_run(sample_plan: Plan) -> None:
    assert "sketch" not in about_run(sample_plan, "fridge-1")
    assert "taped by hand, no way computed: the line is a sketch" in about_run(taped(sample_plan), "fridge-1")


def test_a_device_outside(sample_plan: Plan) -> None:
    device = take(sample_plan, "devices", "fridge").model_copy(update={"wall": "on roof"})
    assert device_spot(device, "metric") == "outside, on roof"
