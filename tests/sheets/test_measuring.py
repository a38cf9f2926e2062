"""How papers say which lengths are computed and which are taped, and what each way is."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from ribway.models.plan.measuring import measured_note, way_words
from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanWay
from ribway.sheets.cautions import cautions
from ribway.sheets.circuits_list import circuits_list
from ribway.sheets.csv_tables import cut_list_grid, wire_list_grid
from ribway.sheets.cut_list import cut_list
from ribway.sheets.looms_list import looms_list
from ribway.sheets.paper.record import grid_csv
from ribway.sheets.places import device_place, through_text
from ribway.sheets.table import Table
from ribway.sheets.wire_list import wire_list
from samples.spoilt.changes import change, take


def taped(plan: Plan) -> Plan:
    """The sample with its fridge's run taped, and the main's way named by hand."""
    named = change(plan, "runs", "main-1", measured="by hand")
    return change(named, "runs", "fridge-1", measured="taped", openings=())


@pytest.mark.parametrize("paper", [wire_list, cut_list, circuits_list, looms_list])
def test_every_paper_with_lengths_says_it(sample_plan: Plan, paper: Callable[[Plan], Table]) -> None:
    assert "All lengths are computed." in paper(sample_plan).notes
    note = next(one for one in paper(taped(sample_plan)).notes if "taped" in one and "fridge-1" in one)
    assert "no way computed and no opening filled: fridge-1" in note
    assert "ways named by hand: main-1" in note
    assert note.endswith("all others are computed.")


def test_rows_say_it(sample_plan: Plan) -> None:
    plan = taped(sample_plan)
    assert through_text(plan, take(plan, "runs", "fridge-1")) == "not computed: taped"
    assert through_text(plan, take(plan, "runs", "main-1")).startswith("by hand: ")
    cells = [str(cell) for group in cut_list(plan).groups for row in group.rows for cell in row]
    assert sum(cell.endswith(" (taped)") for cell in cells) == 1
    assert sum(cell.endswith(" (way by hand)") for cell in cells) == 1
    for text in (grid_csv(plan, wire_list_grid(plan)), grid_csv(plan, cut_list_grid(plan))):
        head, *rows = [line.split(",") for line in text.splitlines()]
        assert "measured" in head
        assert sum("taped" in row for row in rows) == 1
    assert measured_note(sample_plan) == "All lengths are computed."


def _way(plan: Plan, **changes: object) -> PlanWay:
    way: PlanWay = take(plan, "ways", "over-L1").model_copy(update=changes)
    return way


def test_ways_in_words(sample_plan: Plan) -> None:
    for changes, words in (
        ({}, "over the member"),
        ({"lined": True}, "over the member, behind the lining"),
        ({"kind": "duct"}, "duct"),
        ({"kind": "inside"}, "inside L1"),
        ({"kind": "outside", "surroundings": "on roof"}, "outside, on roof, taped"),
        ({"kind": "entry", "furniture": "galley"}, "entry of furniture galley"),
        ({"kind": "furniture", "furniture": "galley"}, "in furniture galley"),
    ):
        assert way_words(_way(sample_plan, **changes)) == words


def test_a_device_outside(sample_plan: Plan) -> None:
    device = take(sample_plan, "devices", "fridge").model_copy(update={"wall": "engine space"})
    assert device_place(device, "metric") == "outside, engine space"


def test_cautions_only_where_there_is_cause(sample_plan: Plan) -> None:
    heads = {one.head for one in cautions(sample_plan)}
    more = {one.head for one in cautions(taped(sample_plan))} - heads
    assert more == {"Taped runs are outside this plan."}
    for changes, head in (
        ({"kind": "outside", "surroundings": "engine space"}, "Outside the model: heat, weather and moving parts."),
        ({"kind": "furniture", "furniture": "galley"}, "Cover cables in furniture."),
        ({}, "The lining must not press on a cable."),
    ):
        plan = change(sample_plan, "ways", "over-L1", runs=("fridge-1",), **changes)
        assert head in {one.head for one in cautions(plan)}
        assert head not in heads
