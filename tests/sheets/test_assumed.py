"""What nobody confirmed: on the first page, on its own sheets, with a mark wherever it prints, and in the CSV files."""

from __future__ import annotations

import csv
import io
import itertools
import re

import pypdf
import pytest

from ribway.models.plan.assumptions import PlanAssumption, RunError
from ribway.models.plan.plan import Plan
from ribway.models.plan.safe_lengths import PlanExtra, PlanSafeLengths
from ribway.models.plan.unconfirmed import LEGEND, MARK, strong_devices, unconfirmed
from ribway.sheets.assumed_list import assumed_list, unplanned_list
from ribway.sheets.catalogue import book_files, book_pdf
from ribway.sheets.circuits_list import circuits_list
from ribway.sheets.cut_list import cut_list
from ribway.sheets.holes_to_check import holes_to_check_list, in_walking_order
from ribway.sheets.measure_next import may_be_short_list, measure_next_list
from ribway.sheets.openings_list import openings_list
from ribway.sheets.paper.record import grid_csv
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.sticker_grid import Grid, parse_grid
from ribway.sheets.stickers import stickers, stickers_grid, stickers_pdf
from ribway.sheets.totals_list import totals
from ribway.sheets.wire_list import wire_list
from ribway.sheets.words import GLUE


def doubted(plan: Plan, about: str, key: str) -> Plan:
    """The plan with one value of a device doubted, and its device with it."""
    said = PlanAssumption.model_validate(
        {
            "whose": "device", "about": about, "name": about, "key": key, "what": "its value", "value": "14 A",
            "source": "catalogue (common practice, no source)", "confirmed": False,
        }
    )  # fmt: skip
    devices = tuple(
        one.model_copy(update={"confirmed": False, "amps": 14.0, "start_amps": 14.0}) if one.id == about else one
        for one in plan.devices
    )
    kept = tuple(one for one in plan.assumptions if (one.about, one.key) != (about, key))
    return plan.model_copy(update={"assumptions": (*kept, said), "devices": devices})


def risky(plan: Plan) -> Plan:
    """The fridge's run may be short, because of the fridge's place."""
    runs = tuple(
        one.model_copy(
            update={
                "short_chance": 0.204,
                "errors": (RunError(measurement="device fridge", mean_m=0.0, metres=1.5),),
            }
        )
        if one.id == "fridge-1"
        else one
        for one in plan.runs
    )
    measurements = tuple(
        one.model_copy(update={"gain": 0.19, "error_m": 0.9}) if one.id == "device fridge" else one
        for one in plan.measurements
    )
    totals = plan.totals.model_copy(update={"short_chance": 0.204, "short_runs": 0.204})
    return plan.model_copy(update={"runs": runs, "measurements": measurements, "totals": totals})


def first_page(plan: Plan) -> str:
    text = pypdf.PdfReader(io.BytesIO(book_pdf(plan, Wishes()))).pages[0].extract_text()
    return re.sub(r"\s+", " ", text)


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def test_the_sheet_of_assumptions_holds_all_that_is_open_and_nothing_else(sample_plan: Plan) -> None:
    """Open in the sample: hole R1a and the four cables of the stock list."""
    table = assumed_list(sample_plan)
    names = [name for name in table.column("Of what") if name != "Right wall"]
    assert sorted(names) == sorted(one.name for one in sample_plan.cables)
    assert "R1a" in table.column("Assumed")
    assert sum(column.align == "box" for column in table.columns) == 1
    confirmed = sum(1 for one in sample_plan.assumptions if one.confirmed)
    assert f"{confirmed} values. Still open: 5." in table.notes[1]


def test_leads_left_out_are_listed(sample_plan: Plan) -> None:
    assert unplanned_list(sample_plan).rows[0][:2] == ("Fridge", "door switch")


def test_holes_stand_in_the_order_of_a_walk(big_plan: Plan) -> None:
    """Left from the front, right from the back, then roof and floor; each hole once, measured and drilled ones not."""
    walked = in_walking_order(big_plan)
    assert {one.id for one in walked} == {one.id for one in big_plan.openings if one.runs and one.state == "assumed"}
    order = ("left", "rear", "right", "bulkhead", "roof", "floor", "elsewhere")
    walls = [order.index(one.wall) for one in walked]
    assert walls == sorted(walls)
    for before, after in itertools.pairwise(walked):
        if before.wall == after.wall:
            assert before.back_m >= after.back_m if before.wall == "right" else before.back_m <= after.back_m


def test_a_hole_to_check_says_what_a_fitter_needs(sample_plan: Plan) -> None:
    """R1a: 20 mm through rib R1 of the right wall, 1 m back, 0.5 m up, for outlet-1 with its 8.2 mm."""
    table = holes_to_check_list(sample_plan)
    assert [group.heading for group in table.groups] == ["Right wall, from the back to the front"]
    row = dict(zip((column.heading for column in table.columns), table.rows[0], strict=True))
    assert (row["Hole"], row["Member"], row["Back"], row["Up"]) == ("R1a", "R1", "1.00", "0.50")
    assert (row["Bore wanted"], row["Cables that need it"], row["Bundle"]) == ("20", "outlet-1", "8.2")
    assert set(row["Bore measured"]) == {"_"}


def test_a_slot_is_wanted_with_its_length(sample_plan: Plan) -> None:
    """Clear 16 by 41 inside a grommet that takes 2 mm all round: 20 by 45 in the metal."""
    slot = {"shape": "slot", "raw_bore_mm": 20.0, "clear_bore_mm": 16.0, "slot_length_mm": 41.0}
    openings = tuple(one.model_copy(update=slot) if one.id == "R1a" else one for one in sample_plan.openings)
    table = holes_to_check_list(sample_plan.model_copy(update={"openings": openings}))
    assert table.column("Bore wanted")[0].replace(GLUE, " ") == "20 × 45"


def test_holes_and_strong_currents_nobody_confirmed_are_on_the_first_page(sample_plan: Plan, big_plan: Plan) -> None:
    plan = doubted(sample_plan, "fridge", "amps")
    assert [one.id for one in strong_devices(plan)] == ["fridge"]
    page = first_page(plan)
    assert "Assumed, above 10 A: Fridge 14 A" in page
    assert "never measured: R1a." in page
    assert "above 10 A" not in first_page(sample_plan)
    many = first_page(big_plan)
    for one in big_plan.openings:
        if one.runs and one.state == "assumed":
            assert one.id in many.replace(" ", "")


def test_ten_amps_are_not_above_ten(sample_plan: Plan) -> None:
    weak = tuple(
        one.model_copy(update={"amps": 10.0, "start_amps": 10.0}) if one.id == "fridge" else one
        for one in doubted(sample_plan, "fridge", "amps").devices
    )
    assert strong_devices(doubted(sample_plan, "fridge", "amps").model_copy(update={"devices": weak})) == ()


def test_what_is_assumed_is_marked_wherever_it_prints(sample_plan: Plan) -> None:
    plan = doubted(doubted(sample_plan, "fridge", "amps"), "display", "place")
    wires = {row[0]: row for row in wire_list(plan).rows}
    assert wires["outlet-1"][8] == f"R1a{MARK}"
    assert wires["fridge-1"][8] == "L1a"
    assert wires["report-1"][2].split("\n")[1].endswith(MARK)
    assert not wires["fridge-1"][2].endswith(MARK)
    assert wires["fridge-1"][4].startswith(f"2x2.5{MARK}")
    assert openings_list(plan).column("Opening") == ("L1a", f"R1a{MARK}")
    # The main feeds the board that feeds the fridge: its current rests on the fridge's too.
    design = dict(zip(circuits_list(plan).column("Circuit"), circuits_list(plan).column("Design"), strict=True))
    assert {name for name, text in design.items() if text.endswith(MARK)} == {"fridge", "main"}
    assert all(f"{MARK}" in group.heading for group in cut_list(plan).groups)
    for table in (wire_list(plan), openings_list(plan), circuits_list(plan), cut_list(plan)):
        assert any(LEGEND in note for note in table.notes), table.title


def test_nothing_is_marked_where_all_is_confirmed(sample_plan: Plan) -> None:
    plan = sample_plan.model_copy(
        update={
            "assumptions": tuple(one.model_copy(update={"confirmed": True}) for one in sample_plan.assumptions),
            "openings": tuple(one.model_copy(update={"state": "measured"}) for one in sample_plan.openings),
            "cables": tuple(one.model_copy(update={"assumed": False}) for one in sample_plan.cables),
        }
    )
    assert assumed_list(plan).rows == ()
    assert holes_to_check_list(plan).rows == ()
    assert unconfirmed(plan).circuit_amps == frozenset()
    cells = [
        cell for table in (wire_list(plan), openings_list(plan), circuits_list(plan)) for r in table.rows for cell in r
    ]
    assert not [cell for cell in cells if MARK in cell]


def test_measure_next_says_what_it_gains(sample_plan: Plan) -> None:
    """0.19 of a run, rounded down to a tenth; a chance of 20.4 % rounded up."""
    plan = risky(sample_plan)
    assert [row[1:6] for row in measure_next_list(plan).rows] == [
        ("Fridge: its place", "0.90 m", "0.01 m", "0.1", "fridge-1")
    ]
    assert [(row[0], row[4]) for row in may_be_short_list(plan).rows] == [("fridge-1", "21 %")]
    assert measure_next_list(sample_plan).rows == ()
    assert "Most is gained by: Fridge: its place" in first_page(plan)
    short = dict(zip(cut_list(plan).column("Piece"), cut_list(plan).column("Chance of being short"), strict=True))
    assert "Chance of being short" not in [column.heading for column in cut_list(sample_plan).columns], "none is"
    assert {name.split("\N{NO-BREAK SPACE}")[0]: chance for name, chance in short.items()} == {
        "fridge-1": "21 %", "main-1": "–", "outlet-1": "–", "report-1": "–",
    }  # fmt: skip


def test_tails_that_make_the_van_safe_are_printed(sample_plan: Plan) -> None:
    extra = (PlanExtra(run="fridge-1", metres=0.15),)
    said = PlanSafeLengths(chance=0.05, common_m=0.3, extra=extra, extra_m=0.15, chance_then=0.04)
    plan = risky(sample_plan).model_copy(update={"safe_lengths": said})
    table = may_be_short_list(plan)
    assert dict(zip(table.column("Run"), table.column("To be sure, cut longer by"), strict=True)) == {
        "fridge-1": "0.15"
    }
    assert table.notes[-1].startswith(
        "To be 95 % sure that no run of the whole van is too short, cut longer: fridge-1 0.15 m."
    )
    assert table.notes[-1].endswith("Or give every run 0.15 m more at each end.")
    sums = dict(totals(plan).rows)
    assert sums["To be 95 % sure: each end of every run"] == "0.15 m more"
    assert sums["Or instead: 1 run longer, see May be short"] == "0.15 m in all"
    safe = said.model_copy(update={"common_m": -0.2, "extra": (), "extra_m": 0.0})
    assert dict(totals(plan.model_copy(update={"safe_lengths": safe})).rows)[
        "To be 95 % sure: each end of every run"
    ] == ("long enough, by 0.10 m")
    assert not any(what.startswith("To be") for what, _ in totals(sample_plan).rows)


def test_csv_files_equal_the_plan(sample_plan: Plan) -> None:
    plan = risky(sample_plan)
    files = {name: read(data.decode()) for name, data in book_files(plan, Wishes()) if name.endswith(".csv")}
    assert [(row["about"], row["confirmed"]) for row in files["assumptions.csv"]] == [
        (one.about, "yes" if one.confirmed else "no") for one in plan.assumptions
    ]
    assert [(row["hole"], row["bore_wanted_mm"], row["runs"]) for row in files["holes-to-check.csv"]] == [
        ("R1a", "20", "outlet-1")
    ]
    fridge = next(row for row in files["measure-next.csv"] if row["about"] == "fridge")
    assert (fridge["runs_short_fewer_by"], fridge["runs"]) == ("0.19", "fridge-1")
    assert [row["lead"] for row in files["not-planned.csv"]] == ["door switch"]


@pytest.mark.parametrize("grid", [Grid(), Grid(2, 4), Grid(1, 1), Grid(12, 12)], ids=str)
def test_every_hole_has_its_sticker(big_plan: Plan, grid: Grid) -> None:
    pages = pypdf.PdfReader(io.BytesIO(stickers_pdf(big_plan, grid))).pages
    used = [one.id for one in big_plan.openings if one.runs]
    assert len(pages) == -(-len(used) // grid.count)
    words = set(" ".join(page.extract_text() for page in pages).split())
    assert {one.hole for one in stickers(big_plan)} <= words
    assert {one.hole.rstrip(MARK) for one in stickers(big_plan)} == set(used)
    assert stickers_pdf(big_plan, grid) == stickers_pdf(big_plan, grid)


def test_a_sticker_says_wall_member_and_row(sample_plan: Plan) -> None:
    one = next(one for one in stickers(sample_plan) if one.hole.startswith("R1a"))
    assert (one.hole, one.where) == (f"R1a{MARK}", "right wall, rib 1, hole a")
    assert (one.spot, one.bore, one.runs) == ("1.00 m back, 0.50 m up", "20 mm", "outlet-1")
    assert [row["hole"] for row in read(grid_csv(sample_plan, stickers_grid(sample_plan)))] == ["L1a", "R1a"]


def test_stickers_for_all_holes_leave_out_blocked_ones(sample_plan: Plan) -> None:
    idle = sample_plan.openings[0].model_copy(update={"id": "L9c", "member": "L9", "runs": ()})
    blocked = idle.model_copy(update={"id": "L9d", "state": "blocked"})
    plan = sample_plan.model_copy(update={"openings": (*sample_plan.openings, idle, blocked)})
    assert [one.hole for one in stickers(plan)] == ["L1a", f"R1a{MARK}"]
    assert [one.hole for one in stickers(plan, every=True)] == ["L1a", f"R1a{MARK}", "L9c"]


def test_grids_are_read_or_refused_with_what_is_accepted() -> None:
    assert parse_grid("2 x 7") == Grid(2, 7)
    for wrong in ("3", "0x8", "3x99", "3x-1", "axb"):
        with pytest.raises(ValueError, match="like 3x8"):
            parse_grid(wrong)


def test_all_papers_are_written(sample_plan: Plan) -> None:
    names = {name for name, _ in book_files(sample_plan, Wishes(stickers=Grid(2, 4), every_hole=True))}
    assert {"hole-stickers.pdf", "hole-stickers.csv", "assumptions.csv", "holes-to-check.csv", "papers.pdf"} <= names
