"""CSV files read back by the csv module equal the plan."""

from __future__ import annotations

import csv
import io
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ribway.models.plan.plan import Plan
from ribway.sheets.catalogue import PAPERS, all_files
from ribway.sheets.csv_file import csv_text, written
from ribway.sheets.csv_tables import circuits_grid, cut_list_grid, openings_grid, wire_list_grid
from ribway.sheets.paper.record import grid_csv
from ribway.sheets.paper.wishes import Wishes

GRIDS = (circuits_grid, cut_list_grid, openings_grid, wire_list_grid)


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def number(text: str) -> float | None:
    return float(text) if text else None


@pytest.fixture(params=["sample_plan", "big_plan"])
def plan(request: pytest.FixtureRequest) -> Plan:
    found = request.getfixturevalue(request.param)
    assert isinstance(found, Plan)
    return found


def test_wire_list_equals_the_plan(plan: Plan) -> None:
    rows = read(grid_csv(plan, wire_list_grid(plan)))
    assert len(rows) == len(plan.runs)
    names = {device.id: device.name for device in plan.devices}
    for row, run in zip(rows, plan.runs, strict=True):
        assert (row["run"], row["circuit"], row["from"], row["to"]) == (run.id, run.circuit, run.from_, run.to)
        assert (row["from_name"], row["to_name"]) == (names[run.from_], names[run.to])
        assert tuple(filter(None, row["openings"].split("; "))) == run.openings
        assert (row["kind"], row["purpose"], row["loom"]) == (run.kind, run.purpose, run.loom)
        assert (number(row["one_way_m"]), number(row["cut_m"])) == (run.one_way_m, run.cut_m)
        assert number(row["there_and_back_m"]) == (None if run.kind == "data" else run.there_and_back_m)
        assert (number(row["tail_from_m"]), number(row["tail_to_m"])) == (run.tail_a_m, run.tail_b_m)
        assert (number(row["conductor_mm2"]), int(row["pieces"])) == (run.conductor_area_mm2, run.pieces)
        assert row["cut_to_template"] == ("yes" if run.cut_to_template else "no")
        assert row["cut"].endswith(" m" if plan.rules.units == "metric" else '"')


def test_cut_list_equals_the_plan(plan: Plan) -> None:
    rows = read(grid_csv(plan, cut_list_grid(plan)))
    runs = {run.id: run for run in plan.runs}
    assert Counter(row["run"].split(" ")[0] for row in rows) == {run.id: run.pieces for run in plan.runs}
    plan_cores = {cable.id: cable.cores for cable in plan.cables}
    used: dict[str, float] = {}
    for order, row in enumerate(rows, start=1):
        run = runs[row["run"].split(" ")[0]]
        go = f"{run.cable} {row['colours'] if plan_cores[run.cable] == 1 else ''}"
        used[go] = used.get(go, 0.0) + run.cut_m
        assert int(row["order"]) == order
        assert number(row["cut_m"]) == run.cut_m
        assert number(row["used_so_far_m"]) == pytest.approx(used[go], abs=0.0064 * order)
        assert number(row["used_so_far_m"]) >= used[go] - 1e-9, "as it is printed, rounded up piece by piece"


def test_openings_equal_the_plan(plan: Plan) -> None:
    rows = {row["opening"]: row for row in read(grid_csv(plan, openings_grid(plan)))}
    used = [opening for opening in plan.openings if opening.runs]
    assert sorted(rows) == sorted(opening.id for opening in used)
    for opening in used:
        row = rows[opening.id]
        assert tuple(row["runs"].split("; ")) == opening.runs
        for name in ("raw_bore_mm", "clear_bore_mm", "slot_length_mm", "grommet_mm", "fill_percent", "back_m", "up_m"):
            assert number(row[name]) == getattr(opening, name)


def test_circuits_equal_the_plan(plan: Plan) -> None:
    for row, circuit in zip(read(grid_csv(plan, circuits_grid(plan))), plan.circuits, strict=True):
        assert row["circuit"] == circuit.id
        assert (number(row["fuse_a"]), number(row["design_a"])) == (circuit.fuse_a, circuit.design_a)
        assert number(row["drop_percent"]) == circuit.worst_drop_percent
        assert number(row["fuse_high_a"]) == (circuit.fuse_high_a if circuit.kind == "dc" else None)


def test_every_line_says_which_plan_and_whether_it_is_ready(plan: Plan) -> None:
    for make in GRIDS:
        for row in read(grid_csv(plan, make(plan))):
            assert (row["project"], row["revision"], row["date"]) == (plan.name, plan.revision, plan.date)
            assert row["state"] == ("complete" if plan.complete else "NOT READY")


def test_a_file_without_lines_has_its_whole_header(sample_plan: Plan, bare_plan: Plan) -> None:
    for make in GRIDS:
        assert (
            grid_csv(bare_plan, make(bare_plan)) == grid_csv(sample_plan, make(sample_plan)).split("\r\n")[0] + "\r\n"
        )


@pytest.mark.parametrize(
    "text", ["=1+1", "+49", "-5", "@SUM(A1)", "\tx", "\rx", "  =1+1", "＝1", '=HYPERLINK("a","b")']
)
def test_no_text_starts_a_formula(sample_plan: Plan, text: str) -> None:
    run = sample_plan.runs[0].model_copy(update={"id": text})
    plan = sample_plan.model_copy(update={"runs": (run,)})
    row = read(grid_csv(plan, wire_list_grid(plan)))[0]
    assert row["run"] == f"'{text}"


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_come_back_exactly_without_exponent_or_grouping(value: float) -> None:
    text = written(value)
    assert float(text) == value
    assert set(text) <= set("-.0123456789")


def test_a_row_of_another_length_is_refused() -> None:
    with pytest.raises(ValueError, match="1 values in 2 columns"):
        csv_text(("a", "b"), [("x",)])


def test_no_cell_has_a_space_that_a_search_does_not_find(sample_plan: Plan) -> None:
    """What keeps words together in print is a plain space in a spreadsheet."""
    checked = 0
    for name, data in all_files(sample_plan, Wishes(), PAPERS, ("csv",)):
        text = data.decode("utf-8")
        assert "\N{NO-BREAK SPACE}" not in text, name
        checked += text.count(" ")
    assert checked > 100
