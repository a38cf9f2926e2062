"""What decided each size, feeders by state of the van, reels that are not what they claim, and how lengths came about."""

from __future__ import annotations

import pytest

from ribway.models.plan.electric import PlanSizeBy, PlanState
from ribway.models.plan.plan import Plan
from ribway.sheets.buying.shopping import shopping_records
from ribway.sheets.cut_list import cut_list
from ribway.sheets.finishing.fuses import fuses_record
from ribway.sheets.finishing.lengths import lengths_record
from ribway.sheets.finishing.why_sizes import sizes_record, states_record
from ribway.sheets.paper.record import Record
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.wire_list import wire_list


def rows_of(record: Record) -> dict[str, dict[str, object]]:
    keys = [field.key for field in record.fields]
    return {str(row[0]): {key: value for key, value in zip(keys, row, strict=True) if key} for row in record.rows}


def test_a_reel_that_is_not_what_it_claims_is_told_on_every_list_it_is_cut_from(sample_plan: Plan) -> None:
    first = sample_plan.runs[0].cable
    held = "of copper-clad aluminium, 1.9 mm2 a core"
    cables = tuple(
        one.model_copy(update={"metal": "copper-clad aluminium", "held": held}) if one.id == first else one
        for one in sample_plan.cables
    )
    plan = sample_plan.model_copy(update={"cables": cables})
    told = {run.id for run in plan.runs if run.cable == first}
    for row in wire_list(plan).rows:
        assert any(held in cell for cell in row) == (row[0] in told)
    groups = [group for group in cut_list(plan).groups if held in group.heading]
    assert {row[2].split("\N{NO-BREAK SPACE}")[0] for group in groups for row in group.rows} == told
    assert all("terminals made for it" in group.heading for group in groups)
    (shop, *_) = shopping_records(plan, Wishes())
    assert [row[1] for row in shop.rows if held in str(row[0])] == [first]
    assert not any("REEL IS" in cell for row in wire_list(sample_plan).rows for cell in row)


def test_what_a_run_carries_is_its_table_times_its_factors(sample_plan: Plan) -> None:
    """By hand: amperes of the table, times air, bundle and heat, are what the list says it carries, of runs with factors."""
    rows = rows_of(sizes_record(sample_plan))
    asked = {run.id for run in sample_plan.runs if run.design_a > 0.0 and run.kind != "data"}
    assert set(rows) == asked
    for run in sample_plan.runs:
        if run.id in rows:
            assert rows[run.id]["decided_by"] == run.deciding
            assert rows[run.id]["carries_a"] == run.derated_a


def test_the_sizes_of_each_way_of_reckoning_stand_in_order(sample_plan: Plan) -> None:
    by = (
        PlanSizeBy(by="factor alone", size="6 mm2", carries_a=33.07),
        PlanSizeBy(by="heat balance alone", size="", carries_a=40.0),
        PlanSizeBy(by="neither", size="2.5 mm2", carries_a=26.0),
    )
    run = next(one for one in sample_plan.runs if one.design_a > 0.0)
    plan = sample_plan.model_copy(update={"runs": (run.model_copy(update={"size_by": by}),)})
    words = str(rows_of(sizes_record(plan))[run.id]["size_by"])
    assert words.index("6") < words.index("none") < words.index("2.5")
    assert words.count("/") == 2


def test_a_feeder_is_told_by_its_worst_state(sample_plan: Plan) -> None:
    states = (
        PlanState(state="parked", takes_a=21.0, gives_a=0.0),
        PlanState(state="driving", takes_a=12.0, gives_a=40.0),
        PlanState(state="shore", takes_a=30.0, gives_a=0.0),
    )
    circuit = sample_plan.circuits[0].model_copy(update={"states": states})
    plan = sample_plan.model_copy(update={"circuits": (circuit,)})
    row = rows_of(states_record(plan))[circuit.id]
    assert (row["worst_state"], row["takes_a"], row["gives_a"]) == ("driving", 12.0, 40.0)
    assert "parked 21 / 0" in str(row["others"])
    alike = circuit.model_copy(
        update={"states": tuple(one.model_copy(update={"takes_a": 5.0, "gives_a": 0.0}) for one in states)}
    )
    assert (
        rows_of(states_record(plan.model_copy(update={"circuits": (alike,)})))[circuit.id]["worst_state"]
        == "every state"
    )


def test_the_parts_of_a_cut_length_add_up(sample_plan: Plan) -> None:
    """Along the metal, slack, outside of bends, loops and tails are at most the cut length, and less than a step below it."""
    rows = rows_of(lengths_record(sample_plan))
    assert set(rows) == {run.id for run in sample_plan.runs}
    for row in rows.values():
        parts = ("sharp_m", "slack_m", "loom_side_m", "loop_m", "tails_m")
        total = sum(float(str(row[key])) for key in parts if row[key] is not None)
        cut = float(str(row["cut_m"]))
        assert total <= cut + 1e-6
        assert cut < total + sample_plan.rules.cut_step_m + 1e-3


@pytest.mark.parametrize(
    ("through", "stands", "words"), [(500.0, 1000.0, "50 %"), (501.0, 1000.0, "51 %"), (5.0, None, "–")]
)
def test_what_a_fuse_lets_through_is_rounded_up(
    sample_plan: Plan, through: float, stands: float | None, words: str
) -> None:
    circuit = next(one for one in sample_plan.circuits if one.kind == "dc" and one.fuse_a is not None)
    told = circuit.model_copy(update={"short_through_a2s": through, "short_stands_a2s": stands})
    (row,) = fuses_record(sample_plan.model_copy(update={"circuits": (told,)})).rows
    assert row[-1] == words


def test_a_column_that_nothing_is_in_is_not_printed_and_stays_in_the_spreadsheet(sample_plan: Plan) -> None:
    heading = "Size by bundle's factor alone / heat alone / neither"
    bare = sizes_record(
        sample_plan.model_copy(
            update={"runs": tuple(run.model_copy(update={"size_by": ()}) for run in sample_plan.runs)}
        )
    )
    assert heading not in [column.heading for column in bare.table().columns]
    assert all(len(row) == len(bare.table().columns) for row in bare.table().rows)
    assert "size_by" in bare.grid().columns
    said = sizes_record(
        sample_plan.model_copy(
            update={
                "runs": tuple(
                    run.model_copy(update={"size_by": (PlanSizeBy(by="neither", size="2.5 mm2", carries_a=26.0),)})
                    for run in sample_plan.runs
                )
            }
        )
    )
    assert heading in [column.heading for column in said.table().columns]
    assert not any("last column" in note for note in bare.notes)
    assert any("last column" in note for note in said.notes)
