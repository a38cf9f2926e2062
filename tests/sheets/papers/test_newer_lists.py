"""Lists of what newer plans say: data budgets, costs, makers' leads, places with boards and joints, fuses and shorts."""

from __future__ import annotations

import pytest

from ribway.models.plan.electric import PlanBoard, PlanBudget, PlanWayOf
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding, PlanLug
from ribway.sheets.boards.drawing import end_names
from ribway.sheets.buying.parts import BOTH_ENDS, parts
from ribway.sheets.buying.reels import cable_needs
from ribway.sheets.buying.shopping import shopping_records
from ribway.sheets.cut_list import cut_list
from ribway.sheets.cutting_order import cuts
from ribway.sheets.finishing.budgets import budgets_record
from ribway.sheets.finishing.costs import costs_record
from ribway.sheets.finishing.devices_volts import device_volts_record, supplies_record
from ribway.sheets.finishing.earths import earths_record
from ribway.sheets.finishing.fuse_map import fuse_map_record
from ribway.sheets.finishing.fuses import fuses_record
from ribway.sheets.labels.ends import end_labels
from ribway.sheets.leads_list import coil_at, leads_record
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.pulling.steps import pull_steps
from ribway.sheets.spares_list import spares_record, tightest
from ribway.sheets.table import Table
from ribway.sheets.walls.marking_out import walls_of
from ribway.sheets.walls.places_list import gets_text
from ribway.sheets.wire_list import wire_list
from ribway.sheets.words import GLUE
from samples.spoilt.changes import change, take


def cell(table: Table, heading: str, row: int = 0) -> str:
    return table.column(heading)[row].replace(GLUE, " ")


def test_broken_budgets_come_first_and_numbers_err_to_their_safe_side(sample_plan: Plan) -> None:
    kept = PlanBudget(
        kind="length",
        circuit="report",
        runs=("report-1",),
        of="USB 2",
        value=3.401,
        bound=5.0,
        sense="at most",
        unit="m",
        says="x",
    )
    lost = PlanBudget(
        kind="volts",
        circuit="bus",
        runs=("a", "b"),
        of="lamp",
        value=10.458,
        bound=10.5,
        sense="at least",
        unit="V",
        says="y",
    )
    table = budgets_record(sample_plan.model_copy(update={"budgets": (kept, lost)})).table()
    assert table.column("Circuit") == ("bus", "report")
    assert table.column("Kept") == ("NO", "yes")
    assert (cell(table, "Is"), cell(table, "May be"), cell(table, "To spare")) == (
        "10.45 V",
        "at least 10.50 V",
        "none",
    )
    assert (cell(table, "Is", 1), cell(table, "To spare", 1)) == ("3.41 m", "1.59 m")
    assert budgets_record(sample_plan).rows == ()


def test_costs_add_up_and_leave_out_what_nobody_knows(sample_plan: Plan) -> None:
    record = costs_record(sample_plan)
    *rows, whole = record.rows
    assert sum(float(str(row[2])) for row in rows) == pytest.approx(float(str(whole[2])), abs=1e-3)
    assert float(str(whole[2])) == pytest.approx(sum(run.cut_m * run.pieces for run in sample_plan.runs), abs=1e-3)
    assert float(str(whole[3])) == pytest.approx(sample_plan.totals.copper_kg, abs=1e-4)
    assert "lost_wh_per_day" not in [field.key for field in record.fields]
    record = costs_record(change(sample_plan, "runs", "fridge-1", loss_wh_per_day=13.38))
    assert record.table().column("Lost in a day")[-1] == "13.4"


def test_a_makers_lead_is_never_cut_and_its_coil_has_a_place(sample_plan: Plan) -> None:
    run = take(sample_plan, "runs", "report-1")
    plan = change(sample_plan, "runs", "report-1", fixed_length_m=run.cut_m + 0.3, tail_a_m=0.6, tail_b_m=0.3)
    record = leads_record(plan)
    assert record.sections[0].heading == "Maker's lead: never cut, never extended"
    (row,) = record.sections[0].rows
    assert row[0] == "report-1"
    assert row[6] == pytest.approx(0.3, abs=1e-4)
    lead = take(plan, "runs", "report-1")
    assert coil_at(plan, lead) == lead.from_, "at the end with the longer tail"
    assert str(row[7]).startswith(take(plan, "devices", lead.from_).name)
    short = change(sample_plan, "runs", "report-1", fixed_length_m=run.cut_m - 0.1)
    assert "DOES NOT REACH" in str(leads_record(short).sections[0].rows[0][7])


def test_a_cable_with_plugs_is_bought_ready_made_or_cut_and_each_paper_says_so(sample_plan: Plan) -> None:
    run = take(sample_plan, "runs", "report-1")
    plan = change(sample_plan, "runs", "report-1", plug_mm=run.outside_mm + 8.0)
    (row,) = leads_record(plan).sections[1].rows
    assert row[0] == "report-1"
    for notes in (cut_list(plan).notes, shopping_records(plan, Wishes())[0].notes):
        assert any(
            note.startswith("report-1: with plugs. Buy them ready-made") and "or cut them" in note for note in notes
        )
    bare = change(sample_plan, "runs", "report-1", plug_mm=0.0)
    assert not any("ready-made" in note for note in cut_list(bare).notes)


def test_a_makers_lead_is_bought_whole_and_stands_apart_on_every_list(sample_plan: Plan) -> None:
    plan = change(sample_plan, "runs", "report-1", fixed_length_m=5.0)
    assert "report-1" not in {step.run.id for step in cuts(plan)}
    assert {step.run.id for step in cuts(plan)} == {run.id for run in plan.runs} - {"report-1"}
    group = cut_list(plan).groups[-1]
    assert group.heading.startswith("Maker's lead: never cut, never extended")
    assert [(row[2], row[3], row[1]) for row in group.rows] == [("report-1", "5.00", "–")], "nothing to cut"
    table = wire_list(plan)
    assert dict(zip(table.column("Run"), table.column("Cut length"), strict=True))["report-1"] == "lead 5.00"
    bought = shopping_records(plan, Wishes())[0].table()
    assert "maker's lead of 5.00 m, with its plugs on" in bought.column("Reels to buy")
    pieces = [piece.run.id for need in cable_needs(plan, Wishes().rates) for piece in need.pieces]
    assert "report-1" not in pieces
    assert [label.run for label in end_labels(plan)][-2:] == ["report-1", "report-1"]
    notes = [
        note
        for step in pull_steps(plan, Wishes().rates)
        if step.pull and step.pull.run.id == "report-1"
        for note in step.notes
    ]
    assert any(note.startswith("maker's lead: never cut it") for note in notes)


def test_spares_say_zone_and_the_room_beside_them(sample_plan: Plan) -> None:
    plan = change(sample_plan, "runs", "fridge-1", purpose="spare")
    (row,) = spares_record(plan).rows
    run = take(plan, "runs", "fridge-1")
    assert row[0] == take(plan, "devices", run.to).zone
    holes = [take(plan, "openings", name) for name in run.openings]
    name, room = tightest(plan, run)
    assert room == pytest.approx(min(one.fill_limit_percent - one.fill_percent for one in holes), abs=1e-3)
    assert name in run.openings


def test_places_say_boards_joints_returns_and_what_moves(sample_plan: Plan) -> None:
    board = PlanBoard(id="board", ways=6, amps_per_way=20, amps_total=60, used=3, spare=3, amps=12, circuits=())
    plan = sample_plan.model_copy(update={"boards": (board,)})
    assert "6 ways, 3 spare" in gets_text(plan, "board")
    plan = change(plan, "devices", "fridge", kind="joint", behind="drawer", moving="rear door", loop_m=0.4)
    assert "joint, behind drawer" in gets_text(plan, "fridge")
    assert "moves with the rear door: leave 0.40 m as a loop" in gets_text(plan, "fridge")
    plan = change(plan, "devices", "outlet", on="board", across_m=0.1, board_up_m=0.25)
    assert "on Fuse board: 0.10 m from its left edge, 0.25 m above its lower edge" in gets_text(plan, "outlet")
    names = end_names(plan)
    assert names["outlet"].endswith(" on Fuse board")
    assert names["fridge"].endswith(", joint behind drawer")
    outside = change(sample_plan, "devices", "fridge", wall="engine space")
    assert "engine space" not in walls_of(outside), "no wall is drawn of what lies outside"


def test_volts_nearest_to_switching_off_come_first(sample_plan: Plan) -> None:
    plan = change(
        sample_plan, "devices", "fridge", running_v=11.529, lowest_v=11.037, lowest_when="fridge", cut_out_v=10.4
    )
    plan = change(plan, "devices", "outlet", running_v=11.9, lowest_v=11.9)
    table = device_volts_record(plan).table()
    assert table.column("Device")[0] == take(plan, "devices", "fridge").name
    assert (cell(table, "With all running"), cell(table, "Lowest"), cell(table, "To spare")) == (
        "11.52",
        "11.03",
        "0.63",
    )
    assert cell(table, "Lowest while").endswith("starts")
    sources = {one.name for one in plan.devices if one.kind in ("source", "charger", "inverter")}
    assert set(supplies_record(plan).table().column("What feeds")) == sources


def test_fuses_say_kind_short_and_ways(sample_plan: Plan) -> None:
    circuit = take(sample_plan, "circuits", "fridge")
    plan = change(sample_plan, "circuits", "fridge", fuse_kind="mini blade", fuse_breaks_a=1000.0, short_near_a=924.0)
    ways = PlanBoard(
        id=circuit.source, ways=5, amps_per_way=20, amps_total=None, used=1, spare=4, amps=5.0,
        circuits=(PlanWayOf(circuit="fridge", way=3),),
    )  # fmt: skip
    plan = plan.model_copy(update={"boards": (ways,)})
    section = next(one for one in fuse_map_record(plan).sections if "5 ways" in one.heading)
    assert section.heading.endswith("5 ways of up to 20 A, 4 spare; draws 5 A")
    assert [row[0] for row in section.rows][-1] >= 5
    table = fuses_record(plan).table()
    row = table.column("Circuit").index("fridge")
    assert (cell(table, "Kind", row), cell(table, "It breaks", row)) == ("mini blade", "1000")
    assert cell(table, "Short at the fuse", row) == "924"
    assert [one.what for one in parts(plan) if one.part == "fuse" and "fridge" in one.where] == ["mini blade fuses"]


def test_the_fuse_at_the_far_end_is_its_own(sample_plan: Plan) -> None:
    both = Finding(level="warning", code=BOTH_ENDS, about="fridge", message="", remedy="")
    plan = change(sample_plan, "circuits", "fridge", far_fuse_a=5.0).model_copy(update={"findings": (both,)})
    fuses = sorted((str(row[2]), row[4]) for row in fuse_map_record(plan).rows if row[1] == "fridge")
    own = take(plan, "circuits", "fridge")
    assert fuses == [(own.name, own.fuse_a), (f"{own.name} (second fuse, this end)", 5.0)]
    assert {one.size for one in parts(plan) if one.part == "fuse" and "fridge" in one.where} == {
        f"{own.fuse_a:g} A",
        "5 A",
    }


def test_lugs_are_counted_and_the_other_ends_get_terminals(sample_plan: Plan) -> None:
    run = take(sample_plan, "runs", "main-1")
    lugs = (PlanLug(at=run.from_, size=run.size_name, stud="M8", count=2),)
    plan = change(sample_plan, "runs", "main-1", lugs=lugs)
    mine = {one.what: one.amount for one in parts(plan) if one.where == "main-1" and one.part in ("lug", "terminal")}
    assert mine == {"crimped ring lugs": 2, "crimped terminals": 2 * run.cores - 2}


def test_returns_through_the_body_are_listed_at_their_earth_point(sample_plan: Plan) -> None:
    plan = change(sample_plan, "devices", "outlet", kind="earth point", allowed_by_maker=True)
    plan = change(plan, "circuits", "fridge", return_="chassis", earth="outlet")
    record = earths_record(plan)
    points = next(section for section in record.sections if section.heading.startswith("Earth points"))
    assert [row[2] for row in points.rows] == ["allowed by the van's maker; back: fridge"]
    assert record.notes[0].startswith("Back through the body come fridge")
