"""The tables say what the plan says, each length under its own name."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal

import pytest

from ribway.models.palette import LOOM_COLOURS
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.models.plan.wished import PlanLoomWishes
from ribway.sheets.boards.drawing import draw_board
from ribway.sheets.boards.lists import board_records
from ribway.sheets.boards.unfold import unfold
from ribway.sheets.catalogue import all_tables
from ribway.sheets.circuits_list import circuits_list
from ribway.sheets.colours import colour_name
from ribway.sheets.findings_list import findings_list
from ribway.sheets.looms_glance import loom_sections_grid, looms_record
from ribway.sheets.looms_list import looms_list
from ribway.sheets.openings_list import openings_list, raw_slot_mm, takes_yet_mm
from ribway.sheets.spares_list import spares_record
from ribway.sheets.table import Column, Group, Table
from ribway.sheets.totals_list import cable_totals, totals
from ribway.sheets.wire_list import wire_list
from ribway.sheets.words import GLUE, NOTHING
from ribway.viewer.loom_picture import breakout_words

KNOWN = [
    "Findings", "Holes to check", "Assumed values", "Leads not in this plan", "Openings", "Cut list", "Lugs", "Wire list",
    "Looms, section by section", "Circuits and fuses", "Cable by type", "Totals",
]  # fmt: skip


def up(m: float) -> str:
    """A length on paper, by the decimal module."""
    return str(Decimal(str(m)).quantize(Decimal("0.01"), ROUND_CEILING))


def test_wire_list_keeps_the_three_lengths_apart(sample_plan: Plan) -> None:
    table = wire_list(sample_plan)
    runs = {run.id: run for run in sample_plan.runs}
    ids = table.column("Run")
    assert sorted(ids) == sorted(runs)
    assert table.column("One way") == tuple(up(runs[id].one_way_m) for id in ids)
    assert table.column("Cut length") == tuple(up(runs[id].cut_m) for id in ids)
    assert table.column("There and back") == tuple(
        "–" if runs[id].kind == "data" else up(runs[id].there_and_back_m) for id in ids
    )
    lengths = [column for column in table.columns if column.heading in ("One way", "There and back", "Cut length")]
    assert [column.unit for column in lengths] == ["m", "m", "m"]
    assert not any(
        "length" in column.heading.lower() and "cut" not in column.heading.lower() for column in table.columns
    )


def test_wire_list_says_ends_cable_openings_and_tails(sample_plan: Plan) -> None:
    table = wire_list(sample_plan)
    row = next(row for row in table.rows if row[0] == "fridge-1")
    words = [text.replace(GLUE, " ") for text in row]
    assert words == [
        "fridge-1",
        "Fuse board, way 1\nleft, 0.50 back, 0.50 up\nterminal not known: ask",
        "Fridge\nleft, 1.60 back, 0.30 up\nterminal not known: ask",
        "DC",
        "2x2.5*\n2.5 mm²\nred / black",
        *(row[5:8]),
        "L1a",
        "left",
        "0.60 / 0.30",
        "",
    ]
    assert [group.heading.split(",")[0] for group in table.groups] == ["Mains", "Circuits", "Circuits", "Data"]


def test_ways_that_are_no_openings_are_said_for_what_they_are(sample_plan: Plan) -> None:
    run = sample_plan.runs[0].model_copy(update={"openings": ("over-L1", "L1a")})
    plan = sample_plan.model_copy(update={"runs": (run,)})
    assert wire_list(plan).column("Openings in order") == ("over-L1 (over the member), L1a",)


def test_openings_list_holds_used_ones_only(sample_plan: Plan) -> None:
    idle = sample_plan.openings[0].model_copy(update={"id": "L9z", "runs": ()})
    plan = sample_plan.model_copy(update={"openings": (*sample_plan.openings, idle)})
    table = openings_list(plan)
    assert table.column("Opening") == ("L1a", "R1a*")
    assert table.column("State") == ("measured", "ASSUMED")
    assert table.column("Raw bore or slot") == ("24", "20")
    assert table.column("Clear") == ("20", "20")
    assert table.column("Grommet") == ("20 mm", "to choose")
    assert table.column("What goes through") == ("fridge-1, report-1", "outlet-1")
    assert table.column("Bundle") == ("10.3", "8.2")
    fills = [Decimal(str(one.fill_percent)).quantize(Decimal("0.1"), ROUND_CEILING) for one in sample_plan.openings]
    assert [text.replace(GLUE, " ") for text in table.column("Full / limit")] == [f"{fill} / 40" for fill in fills]
    assert [column.heading for column in table.columns if column.align == "box"] == [
        "Hole there", "Far side seen", "Rust done", "Edge done",
    ]  # fmt: skip


def test_room_left_is_one_cable_more_up_to_the_limit(sample_plan: Plan) -> None:
    """By hand: a round 20 mm hole with 10 of 40 % taken takes 0.3 x 20^2 = d^2 more; a slot 20 x 40 has 20 x 20 + its circle."""
    hole = sample_plan.openings[0].model_copy(
        update={"clear_bore_mm": 20.0, "slot_length_mm": None, "fill_percent": 10.0, "fill_limit_percent": 40.0}
    )
    assert takes_yet_mm(hole) == pytest.approx(20.0 * 0.3**0.5)
    slot = hole.model_copy(update={"slot_length_mm": 40.0, "raw_bore_mm": 24.0})
    assert takes_yet_mm(slot) == pytest.approx((0.3 * (400.0 * 4.0 / 3.141592653589793 + 400.0)) ** 0.5)
    assert takes_yet_mm(hole.model_copy(update={"fill_percent": 40.0})) == 0.0
    assert raw_slot_mm(slot) == 44.0
    plan = sample_plan.model_copy(update={"openings": (slot.model_copy(update={"runs": ("fridge-1",)}),)})
    assert openings_list(plan).column("Raw bore or slot") == ("24\N{NO-BREAK SPACE}×\N{NO-BREAK SPACE}44",)


def test_openings_are_found_by_the_measures_of_their_wall(big_plan: Plan) -> None:
    table = openings_list(big_plan)
    place = {row[0]: row[2].replace(GLUE, " ") for row in table.rows}
    up, left, right = "1' 7 3/4\"", "2' 10 1/2\" left", "2' 10 1/2\" right"  # 0.50 m and 0.875 m
    assert place["L1a5"] == up  # left wall: back and up
    assert place["L1a1"] == left  # roof: back and off the centre
    assert place["R1a2"] == f"{up} up, {right}"  # bulkhead: up and off the centre
    assert [group.heading for group in table.groups] == [
        "Left wall",
        "Roof",
        "Floor",
        "Bulkhead",
        "Elsewhere",
        "Other ways",
    ]


def test_circuits_say_fuse_window_and_drop(sample_plan: Plan) -> None:
    table = circuits_list(sample_plan)
    row = dict(zip((column.label for column in table.columns), table.rows[0], strict=True))
    fridge = sample_plan.circuits[0]
    assert fridge.id == "fridge"
    by_words = {label.replace(GLUE, " "): text.replace(GLUE, " ") for label, text in row.items()}
    assert by_words["Fed from"] == "Fuse board"
    assert by_words["Volts"] == "12"
    assert by_words["Design (A)"] == "5"
    assert by_words["Start (A)"] == "10"
    assert by_words["Fuse (A)"] == "7.5"
    # 33 CFR 183.425: 20 A at 60 °C insulation, in 40 °C air times sqrt(20 / 30) = 16.329...
    assert by_words["Fuse window (A)"] == "6.25 to 16.3"
    assert by_words["Weakest wire (A)"] == "16.3"
    assert by_words["Drop (V)"] == up(fridge.worst_drop_v)
    assert by_words["Limit (%)"] == "3"


@pytest.mark.parametrize(("kind", "text"), [("dc", "NONE FITS"), ("ac", "–"), ("data", "–")])
def test_a_missing_fuse_is_shouted_only_where_one_is_due(sample_plan: Plan, kind: str, text: str) -> None:
    circuit = sample_plan.circuits[0].model_copy(update={"kind": kind, "fuse_a": None})
    plan = sample_plan.model_copy(update={"circuits": (circuit,)})
    assert circuits_list(plan).column("Fuse") == (text,)


def test_a_fuse_from_the_project_is_marked(sample_plan: Plan) -> None:
    table = circuits_list(sample_plan)
    fuses = dict(zip(table.column("Circuit"), table.column("Fuse"), strict=True))
    assert fuses["main"] == f"40{GLUE}stated"


def test_looms_say_sections_and_breakouts_along_them(sample_plan: Plan) -> None:
    table = looms_list(sample_plan)
    left = table.groups[0]
    assert left.heading.startswith("Loom left, left: 3 runs, trunk 1.40 m, widest 17.2 mm")
    assert left.colour == "#4477aa"
    assert [row[0] for row in left.rows] == ["left/1", "left/2"]
    assert [row[1:5] for row in left.rows] == [
        ("the trunk's beginning", "0.30", "0.30", "main-1, report-1"),
        ("goes on", "1.40", "1.10", "fridge-1, report-1"),
    ]
    assert [row[6].split(": ")[-1] for row in left.rows] == ["main-1 leaves", "fridge-1, report-1 leave"]
    assert (left.rows[1][5], left.rows[1][7], left.rows[1][11]) == ("L1a", "10.3", "2")
    assert [row[12] for row in left.rows] == ["", ""]
    assert table.groups[1].heading == "Pulled on their own"
    assert [row[12] for row in table.groups[1].rows] == [NOTHING], "only a bundle is taped"


def test_a_loom_is_listed_trunk_first_and_its_branches_in_their_order(sample_plan: Plan) -> None:
    """A stretch of one run lies where it comes along the trunk; a branch stands after the trunk though it leaves early."""
    left = sample_plan.looms[0]
    one, two = left.sections
    sections = (
        one.model_copy(update={"name": "left/1"}),
        two.model_copy(update={"name": "left/2", "runs": ("fridge-1",)}),
        one.model_copy(update={"name": "left/3", "branch": 1, "begins": "at Data logger", "runs": ("report-1",)}),
        one.model_copy(update={"name": "left/4", "branch": 1, "from_m": 0.3, "to_m": 0.4}),
    )
    both = left.breakouts[0].model_copy(update={"runs": ("fridge-1", "main-1"), "joining": ("fridge-1",)})
    loom = left.model_copy(update={"sections": sections, "breakouts": (both,)})
    rows = looms_list(sample_plan.model_copy(update={"looms": (loom,)})).rows
    assert [row[:3] for row in rows] == [
        ("left/1", "the trunk's beginning", "0.30"), ("left/2", "goes on", "1.40"),
        ("left/3", "at Data logger", NOTHING), ("left/4", "goes on", NOTHING),
    ]  # fmt: skip
    assert rows[0][6].endswith("main-1 leaves; fridge-1 joins")
    assert [row[6] for row in rows[1:]] == ["", "", ""]


def test_a_trunk_counts_from_the_beginning_of_its_bundle_in_every_paper(sample_plan: Plan) -> None:
    """Sections count from the device, a stub before the bundle; on paper, board and picture a breakout is at one distance."""
    left = sample_plan.looms[0]
    sections = tuple(
        one.model_copy(update={"from_m": one.from_m + 0.04, "to_m": one.to_m + 0.04}) for one in left.sections
    )
    breakouts = tuple(one.model_copy(update={"at_m": one.at_m + 0.04}) for one in left.breakouts)
    plan = sample_plan.model_copy(
        update={"looms": (left.model_copy(update={"sections": sections, "breakouts": breakouts}),)}
    )
    (loom,) = plan.looms
    assert [row[2] for row in looms_list(plan).rows] == ["0.30", "1.40"]
    _, parts = board_records(plan, loom)
    assert [row[2] for row in parts.rows] == [0.3, 1.4]
    words = [one for one in draw_board(plan, unfold(loom)).words if one.kind == "breakout"]
    assert [one.lines[0] for one in words] == ["0.30 m", "1.40 m"]
    assert [words.split(": ")[0] for words in breakout_words(loom, "metric")] == ["0.30 m", "1.40 m"]
    assert looms_list(plan).groups[0].heading.startswith("Loom left, left: 3 runs, trunk 1.40 m")


def test_a_finding_about_a_loom_says_that_it_is_one(sample_plan: Plan) -> None:
    """Loom A is not circuit A."""
    stiff = Finding(level="note", code="bundle-bend", about="left, right", message="bend", remedy="sweep")
    table = findings_list(sample_plan.model_copy(update={"findings": (stiff,)}))
    assert table.column("About") == ("loom left, loom right",)


def test_every_loom_colour_has_a_word_of_its_own() -> None:
    assert len({colour_name(colour) for colour in LOOM_COLOURS}) == len(LOOM_COLOURS)
    assert colour_name("#fefefe") == "white"
    with pytest.raises(ValueError, match="#rrggbb"):
        colour_name("blue")


def test_totals_are_the_plans_and_its_parts_add_up(sample_plan: Plan) -> None:
    sums = dict(totals(sample_plan).rows)
    assert sums["Copper in all"] == f"{up(sample_plan.totals.copper_kg)} kg"
    assert sums["Mains"] == f"{up(sample_plan.totals.copper_mains_kg)} kg"
    assert sums["Openings used"] == "2"
    assert sums["Cable, cut lengths of all pieces"] == f"{up(sample_plan.totals.cable_m)} m"
    assert sums["Draw cord, cut lengths"] == NOTHING
    with_cords = sample_plan.totals.model_copy(update={"draw_cord_m": 38.051})
    sums = dict(totals(sample_plan.model_copy(update={"totals": with_cords})).rows)
    assert sums["Draw cord, cut lengths"] == "38.06 m"
    by_type = cable_totals(sample_plan).column("Cut lengths, all pieces")
    assert sum(Decimal(text) for text in by_type) == Decimal(
        up(sum(run.cut_m * run.pieces for run in sample_plan.runs))
    )


def test_spares_are_listed_apart(big_plan: Plan) -> None:
    expected = tuple(run.id for run in big_plan.runs if run.purpose == "spare")
    assert expected
    assert sorted(spares_record(big_plan).table().column("Spare")) == sorted(expected)


def test_findings_come_the_serious_first(sample_plan: Plan) -> None:
    error = sample_plan.findings[0].model_copy(update={"level": "error", "about": "main-1"})
    plan = sample_plan.model_copy(update={"findings": (*sample_plan.findings, error)})
    # A circuit and a device are both called outlet: what is said of either may not be pinned on the other.
    assert findings_list(plan).column("About") == ("main-1", "outlet", "R1a")


def test_a_finding_names_its_devices_as_people_do(sample_plan: Plan) -> None:
    device = next(one for one in sample_plan.devices if one.id == "board")
    finding = sample_plan.findings[0].model_copy(update={"about": "board, R1a"})
    plan = sample_plan.model_copy(update={"findings": (finding,)})
    assert device.name != "board"
    assert findings_list(plan).column("About") == (f"{device.name}, R1a",)


def test_tables_without_a_row_are_left_out(sample_plan: Plan, bare_plan: Plan) -> None:
    titles = [table.title for table in all_tables(sample_plan)]
    assert [title for title in titles if title in KNOWN] == KNOWN
    assert "Measure next" not in titles
    assert "Spares and draw cords" not in titles
    assert all(table.rows for plan in (sample_plan, bare_plan) for table in all_tables(plan))


def test_a_row_has_to_fit_its_columns() -> None:
    with pytest.raises(ValueError, match="2 texts in 1 columns"):
        Table("Wrong", (Column("One"),), (Group("", (("a", "b"),)),))


def test_grouping_by_hand_is_said(sample_plan: Plan) -> None:
    wishes = PlanLoomWishes(together=(("fridge-1", "main-1"),), apart=((("outlet-1",), ("report-1",)),))
    notes = looms_list(sample_plan.model_copy(update={"loom_wishes": wishes})).notes
    assert "Asked for by hand: fridge-1, main-1 together; outlet-1 apart from report-1." in notes
    assert not any("by hand" in note for note in looms_list(sample_plan).notes)
    far = PlanLoomWishes(together=(("fridge-1", "outlet-1"),))
    notes = looms_list(sample_plan.model_copy(update={"loom_wishes": far})).notes
    assert "Asked for by hand: fridge-1, outlet-1 together, as far as they share a stretch." in notes


def test_looms_at_a_glance_are_the_plans(sample_plan: Plan) -> None:
    record = looms_record(sample_plan)
    keys = [field.key for field in record.fields]
    rows = {str(row[0]): dict(zip(keys, row, strict=True)) for row in record.rows}
    many = [loom for loom in sample_plan.looms if len(loom.runs) > 1]
    assert list(rows) == [loom.id for loom in many]
    for loom in many:
        row = rows[loom.id]
        trunk = [one.to_m - one.from_m for one in loom.sections if one.branch == 0]
        assert (row["trunk_m"], row["widest_mm"]) == (pytest.approx(sum(trunk), abs=1e-3), loom.diameter_mm)
        assert row["cables"] + row["draw_cords"] == len(loom.runs)
        assert row["sleeve_mm"] >= loom.diameter_mm
        spans = [one.to_m - one.from_m for one in loom.sections]
        assert row["all_m"] == pytest.approx(sum(spans), abs=1e-3)
        spacing = sample_plan.rules.support_spacing_m
        assert row["clips"] >= sum(span / spacing for span in spans), "no farther apart than the spacing"
    grid = loom_sections_grid(sample_plan)
    assert [row[1] for row in grid.rows] == [one.name for loom in sample_plan.looms for one in loom.sections]
