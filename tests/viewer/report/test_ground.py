"""What the page says about what a plan rests on, and about power: marks, chances, boards, volts."""

from __future__ import annotations

import pytest

from ribway.models.plan.assumptions import PlanAssumption, PlanMeasurement, RunError
from ribway.models.plan.electric import PlanBoard, PlanWayOf
from ribway.models.plan.plan import Plan
from ribway.viewer.report.electric_tables import boards_table, volts_table
from ribway.viewer.report.ground_tables import assumed_table, measure_table
from ribway.viewer.report.page import page_text
from ribway.viewer.report.run_tables import cut_table, runs_table
from ribway.viewer.report.table import Table
from ribway.viewer.report.tables import circuits_table, tables_of


def texts(table: Table, heading: str) -> list[str]:
    at = [column.heading for column in table.columns].index(heading)
    return [row.cells[at].text for row in table.rows]


@pytest.fixture(scope="module")
def plan(sample_plan: Plan) -> Plan:
    """The sample with one board, one assumed fuse, cable, place and hole, two volts, and a run that may be short."""
    circuit = next(one for one in sample_plan.circuits if one.kind == "dc" and one.fuse_a is not None)
    run = next(one for one in sample_plan.runs if one.circuit == circuit.id and one.openings)
    open_ones = (
        ("circuit", circuit.id, "fuse"), ("cable", run.cable, "stock"), ("device", run.to, "place"),
        ("opening", run.openings[0], "hole"), ("device", run.to, "amps"),
    )  # fmt: skip
    assumptions = tuple(
        PlanAssumption(whose=whose, about=about, name="", key=key, what=f"{key} of it", value="7", source="a list",
                       confirmed=False)
        for whose, about, key in open_ones
    )  # fmt: skip
    confirmed = assumptions[0].model_copy(update={"about": "x", "confirmed": True})
    measurements = (
        PlanMeasurement(
            id="rib", whose="shell", about="", what="the third rib", error_m=0.03, after_m=0.002, gain=0.31
        ),
        PlanMeasurement(id="no", whose="shell", about="", what="nothing", error_m=0.03, after_m=0.002, gain=0.0),
    )
    short = run.model_copy(
        update={"short_chance": 0.124, "errors": (RunError(measurement="rib", mean_m=0.0, metres=0.03),)}
    )
    board = PlanBoard(
        id=circuit.source, ways=3, amps_per_way=30.0, amps_total=80.0, used=1, spare=2, amps=12.04,
        circuits=(PlanWayOf(circuit=circuit.id, way=2),),
    )  # fmt: skip
    devices = list(sample_plan.devices)
    first, second = devices[0], devices[1]
    devices[0] = first.model_copy(update={"running_v": 12.349, "lowest_v": 11.999, "cut_out_v": 10.5})
    devices[1] = second.model_copy(
        update={"running_v": 11.0, "lowest_v": 10.8, "lowest_when": first.id, "cut_out_v": 10.7}
    )
    return sample_plan.model_copy(
        update={
            "assumptions": (*assumptions, confirmed),
            "measurements": measurements,
            "runs": tuple(short if one.id == run.id else one for one in sample_plan.runs),
            "boards": (board,),
            "devices": tuple(devices),
            "circuits": tuple(
                one.model_copy(update={"fuse_kind": "blade"}) if one.id == circuit.id else one
                for one in sample_plan.circuits
            ),
        }
    )


def test_what_nobody_confirmed_is_marked_where_it_stands(plan: Plan) -> None:
    circuit = next(one for one in plan.circuits if one.fuse_kind == "blade")
    run = next(one for one in plan.runs if one.short_chance > 0.0)
    names = {one.id: one.name or one.id for one in plan.devices}
    runs = runs_table(plan)
    row = next(row for row in runs.rows if row.id == run.id)
    written = [one.text for one in row.cells]
    assert any(text.startswith(f"{names[run.to]}*\n") for text in written)
    assert any(f"{run.openings[0]}*" in text for text in written)
    cables = {one.id for one in plan.runs if one.cable == run.cable}
    for line in runs.rows:
        assert ("*\n" in line.cells[3].text) == (line.id in cables)
    fuses = dict(zip([row.id for row in circuits_table(plan).rows], texts(circuits_table(plan), "Fuse"), strict=True))
    stated = " stated" if circuit.fuse_given else ""
    assert fuses[circuit.id] == f"{circuit.fuse_a:g} A*{stated}\nblade"
    running = dict(zip(fuses, texts(circuits_table(plan), "Running"), strict=True))
    assert running[circuit.id].endswith("A*")


def test_the_cut_list_says_how_likely_each_piece_is_short(plan: Plan) -> None:
    chances = dict(
        zip([row.id for row in cut_table(plan).rows], texts(cut_table(plan), "Chance it is short"), strict=True)
    )
    short = next(one for one in plan.runs if one.short_chance > 0.0)
    assert chances.pop(short.id) == "13 %"  # 12.4 %, rounded up
    assert set(chances.values()) == {"–"}


def test_a_board_lists_every_way_and_says_which_are_spare(plan: Plan) -> None:
    table = boards_table(plan)
    board = plan.boards[0]
    taken = board.circuits[0].circuit
    assert texts(table, "Circuit") == ["spare", taken, "spare"]
    assert table.rows[1].runs == next(one.runs for one in plan.circuits if one.id == taken)
    assert "1 of 3 ways used, 2 spare; draws 12.1 A at once of 80.0 A that it may carry." in table.notes[0]


def test_volts_come_with_the_device_nearest_to_switching_off_first(plan: Plan) -> None:
    table = volts_table(plan)
    first, second = plan.devices[:2]
    assert [row.id for row in table.rows] == [second.id, first.id]
    assert texts(table, "With all running") == ["11.00 V", "12.34 V"]  # rounded down
    assert texts(table, "Lowest") == ["10.80 V", "11.99 V"]
    assert texts(table, "Lowest while") == [f"{first.name or first.id} starts", "all run"]
    assert texts(table, "Switches off below") == ["10.70 V", "10.50 V"]


def test_assumed_values_lead_to_what_they_touch(plan: Plan) -> None:
    table = assumed_table(plan)
    assert len(table.rows) == 5
    assert len({row.id for row in table.rows}) == 5
    by_key = dict(zip(("fuse", "stock", "place", "hole", "amps"), table.rows, strict=True))
    run = next(one for one in plan.runs if one.short_chance > 0.0)
    assert run.id in by_key["fuse"].runs
    assert by_key["stock"].runs == tuple(one.id for one in plan.runs if one.cable == run.cable)
    assert by_key["hole"].openings == (run.openings[0],)
    assert table.notes[0].startswith("1 more value of this kind was confirmed.")


def test_only_readings_that_change_something_are_listed(plan: Plan) -> None:
    table = measure_table(plan)
    assert [row.id for row in table.rows] == ["rib"]
    assert texts(table, "May be off by now") == ["± 0.03 m"]
    assert texts(table, "Runs short, fewer by") == ["0.3"]
    assert table.rows[0].runs == tuple(one.id for one in plan.runs if one.short_chance > 0.0)


def test_ids_of_rows_are_one_of_a_kind_so_that_no_note_stands_for_two(plan: Plan) -> None:
    for table in tables_of(plan):
        ids = [row.id for row in table.rows]
        assert len(set(ids)) == len(ids), table.id
    page = page_text([plan], {})
    for title in ("Boards", "Volts", "Measure next", "Assumed"):
        assert f'<h2 tabindex="-1">{title}</h2>' in page
