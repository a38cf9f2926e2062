"""Papers of the last days: ohms, volts, fuses, earths, AC, where not to drill."""

from __future__ import annotations

import io
import itertools
import math
import re

import numpy as np
import pytest
from pypdf import PdfReader
from shapely.geometry import LineString, Point
from shapely.geometry.polygon import Polygon

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.sheets.buying.parts import BOTH_ENDS, kind_of_fuse, parts
from ribway.sheets.catalogue import all_files, papers_named
from ribway.sheets.finishing.ac_routes import ac_record
from ribway.sheets.finishing.drops import drops_record
from ribway.sheets.finishing.earths import earths_record, has_negative
from ribway.sheets.finishing.fuse_map import fuse_map_record
from ribway.sheets.finishing.proving import loop_ohm, proving_record
from ribway.sheets.fonts import face
from ribway.sheets.labels.ends import end_labels
from ribway.sheets.labels.sheet import label_lines
from ribway.sheets.marks import Stroke, Text
from ribway.sheets.page import frame_of
from ribway.sheets.paper.record import Record, Values
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.walls.depth import off_metal_m
from ribway.sheets.walls.no_drill import lines_on, no_drill_pages
from ribway.sheets.wire_list import wire_list
from ribway.sheets.words import GLUE

NAMES = ["test-sheet", "fuse-map", "drop-sheet", "earths", "ac-routes", "no-drill"]


def column(record: Record, key: str) -> dict[str, object]:
    """Values of a column by run, circuit or place."""
    keys = [field.key for field in record.fields]
    return {_name(record, row): row[keys.index(key)] for row in record.rows}


def _name(record: Record, row: Values) -> str:
    keys = [field.key for field in record.fields]
    return str(row[keys.index("run" if "run" in keys else "circuit")])


def test_loop_ohms_by_the_table_of_iec_60228(sample_plan: Plan) -> None:
    """Class 5, plain copper, 20 C: 7.98 ohm/km for 2.5 mm2; 2 x 5.3 m of it is 84.6 milliohm."""
    run = next(one for one in sample_plan.runs if one.id == "fridge-1")
    cables = tuple(
        one.model_copy(update={"ohm_per_m_20c": 7.98e-3}) if one.id == run.cable else one for one in sample_plan.cables
    )
    plan = sample_plan.model_copy(update={"cables": cables})
    assert loop_ohm(plan, run.model_copy(update={"cut_m": 5.3})) == pytest.approx(0.0846, abs=5e-5)


def test_the_test_sheet_has_every_conductor_but_ac(sample_plan: Plan) -> None:
    record = proving_record(sample_plan)
    assert set(column(record, "run")) == {run.id for run in sample_plan.runs if run.cores and run.kind != "ac"}
    volts = {circuit.id: circuit.volts for circuit in sample_plan.circuits}
    for run in (one for one in sample_plan.runs if one.kind == "dc"):
        assert column(record, "volts_expected")[run.id] == pytest.approx(volts[run.circuit] - run.drop_v, abs=1e-3)


def test_nothing_is_shorted_while_a_source_can_reach_it(sample_plan: Plan) -> None:
    """A dead short across a battery or a panel in the sun burns: the sheet says so before it asks for one."""
    first = proving_record(sample_plan).notes[0]
    assert all(
        first.index(word) < first.index("short the far end") for word in ("batteries", "shore lead", "panels", "fuses")
    )
    assert any("Take every short out before power" in note for note in proving_record(sample_plan).notes)


def test_printed_ohms_are_never_less_and_volts_never_more(sample_plan: Plan) -> None:
    table = proving_record(sample_plan).table()
    ohms, volts = table.column("Ohms there and back, at most"), table.column("Volts under load, at least")
    for run, ohm, volt in zip(table.column("Run"), ohms, volts, strict=True):
        one = next(item for item in sample_plan.runs if item.id == run)
        if one.kind == "dc":
            assert float(ohm) >= loop_ohm(sample_plan, one) - 1e-9
            assert float(volt) <= 12.0 - one.drop_v + 1e-9


def test_the_fuse_map_has_every_fuse_where_it_sits(sample_plan: Plan) -> None:
    circuit = next(one for one in sample_plan.circuits if one.kind == "dc")
    record = fuse_map_record(sample_plan)
    names = {one.id: one.name for one in sample_plan.devices}
    assert column(record, "fuse_a") == {one.id: one.fuse_a for one in sample_plan.circuits if one.kind == "dc"}
    for section in record.sections:
        for row in section.rows:
            source = next(one.source for one in sample_plan.circuits if one.id == row[1])
            assert section.heading.startswith(names[source])
    both = Finding(level="warning", code=BOTH_ENDS, about=circuit.id, message="", remedy="")
    twice = fuse_map_record(sample_plan.model_copy(update={"findings": (both,)}))
    assert sum(1 for row in twice.rows if row[1] == circuit.id) == 1 + len(circuit.loads)


def test_labels_and_wire_list_name_the_way_of_the_fuse_map(sample_plan: Plan) -> None:
    """Whoever connects a board reads the same way on the label in hand, on the wire list and on the box's door."""
    board = next(one for one in sample_plan.devices if one.kind == "board")
    mapped = {
        run: row[0]
        for section in fuse_map_record(sample_plan).sections
        if section.heading.startswith(board.name)
        for row in section.rows
        for run in str(row[3]).replace(GLUE, " ").split(", ")
    }
    assert mapped
    listed = {row[0]: row for row in wire_list(sample_plan).rows}
    for run in (one for one in sample_plan.runs if board.id in (one.from_, one.to)):
        way = f"{board.name}, way {mapped[run.id]}" if run.id in mapped else board.name
        ends = [cell.replace(GLUE, " ").split("\n")[0] for cell in listed[run.id][1:3]]
        assert way in ends
        (label,) = (one for one in end_labels(sample_plan) if one.run == run.id and one.here == board.name)
        assert f"to {way}" in [line.replace(GLUE, " ") for line in label_lines(label, True)]
    main = next(one for one in sample_plan.runs if one.purpose == "main")
    assert main.id not in mapped, "what feeds a board is on none of its ways"


def test_an_ac_label_says_its_cable(sample_plan: Plan) -> None:
    label = next(one for one in end_labels(sample_plan) if one.licensed)
    assert any(label.size in line for line in label_lines(label, True)[:4])


def test_a_strip_fuse_is_not_named_like_a_run(sample_plan: Plan) -> None:
    circuit = sample_plan.circuits[0].model_copy(update={"fuse_kind": "M5 strip", "fuse_a": 60.0})
    assert kind_of_fuse(circuit) == "strip fuse, M5 screws"
    bought = {one.what for one in parts(sample_plan.model_copy(update={"circuits": (circuit,)})) if one.part == "fuse"}
    assert bought == {"strip fuses, M5 screws"}


def test_colours_of_blade_fuses(sample_plan: Plan) -> None:
    """ISO 8820-3: 7.5 A brown."""
    record = fuse_map_record(sample_plan)
    assert column(record, "colour")["fridge"] == "brown"


def test_volts_lost_add_up(sample_plan: Plan) -> None:
    record = drops_record(sample_plan)
    for run in (one for one in sample_plan.runs if one.kind == "dc"):
        source, feed, own, left = (
            float(str(column(record, key)[run.id]))
            for key in ("source_v", "lost_in_feed_v", "lost_in_circuit_v", "volts_running")
        )
        assert source - feed - own == pytest.approx(left, abs=1e-3)
        assert left == pytest.approx(source - run.drop_v, abs=1e-3)


def test_returns_bonds_and_protective_conductors(sample_plan: Plan) -> None:
    returns, points, bond, protective = earths_record(sample_plan).sections
    assert points.rows == ()
    boxes = {one.name for one in sample_plan.devices if one.kind in ("source", "board")}
    assert {str(row[0]) for row in returns.rows} <= boxes
    assert len(bond.rows) == 1
    ends = {end for run in sample_plan.runs if run.kind == "ac" for end in (run.from_, run.to)}
    assert {row[0] for row in protective.rows} == {one.name for one in sample_plan.devices if one.id in ends}


def test_one_lone_negative_of_a_source_needs_no_bar(sample_plan: Plan) -> None:
    returns = {str(row[0]): str(row[2]) for row in earths_record(sample_plan).sections[0].rows}
    for device in sample_plan.devices:
        count = sum(1 for run in sample_plan.runs if device.id in (run.from_, run.to) and has_negative(run))
        if device.name in returns:
            assert (returns[device.name] == "its negative terminal") == (count == 1 and device.kind != "board")


def test_the_ac_sheet_holds_the_ac_runs_alone(sample_plan: Plan) -> None:
    record = ac_record(sample_plan)
    assert set(column(record, "run")) == {run.id for run in sample_plan.runs if run.kind == "ac"}
    for run in (one for one in sample_plan.runs if one.kind == "ac"):
        assert all(name in str(column(record, "openings")[run.id]) for name in run.openings)
    assert any("licensed person" in note for note in record.notes)


def test_distances_to_a_triangle_against_shapely() -> None:
    """In the triangle's plane by shapely's distance, out of it by Pythagoras."""
    corners = [(0.0, 0.0), (2.0, 0.0), (0.5, 1.5)]
    triangles = np.array([[(x, y, 0.0) for x, y in corners]])
    chance = np.random.default_rng(5)
    points = [tuple(float(part) for part in row) for row in chance.uniform(-1.5, 3.0, (60, 3))]
    found = off_metal_m([(x, y, z) for x, y, z in points], triangles)
    for (x, y, z), distance in zip(points, found, strict=True):
        assert distance == pytest.approx(math.hypot(Polygon(corners).distance(Point(x, y)), z), abs=1e-12)
    assert not np.isfinite(off_metal_m([(0.0, 0.0, 0.0)], np.empty((0, 3, 3)))).any()


def test_every_leg_on_a_wall_is_in_its_drawing(sample_plan: Plan) -> None:
    walls = {bay.id: bay.wall for bay in sample_plan.bays}
    for run in sample_plan.runs:
        for leg in run.legs:
            if leg.kind == "bay" and len(leg.points) > 1:
                drawn = [line for one, line in lines_on(sample_plan, walls[leg.name]) if one.id == run.id]
                assert any(LineString(line).equals(LineString(leg.points)) for line in drawn)


def test_what_only_a_tape_knows_is_said_on_the_walls(sample_plan: Plan) -> None:
    first, *others = sample_plan.runs
    legs = (*first.legs[:-1], first.legs[-1].model_copy(update={"kind": "outside"}))
    plan = sample_plan.model_copy(update={"runs": (first.model_copy(update={"legs": legs}), *others)})
    data = dict(all_files(plan, Wishes(), papers_named(["no-drill"]), ["pdf"]))["no-drill.pdf"]
    text = " ".join(PdfReader(io.BytesIO(data)).pages[0].extract_text().split())
    assert f"Not drawn where only a tape knows the way: {first.id}." in text


def test_the_papers_say_what_the_plan_says(sample_plan: Plan) -> None:
    files = dict(all_files(sample_plan, Wishes(), papers_named(NAMES), ["pdf"]))
    texts = {
        name: " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())
        for name, data in files.items()
    }
    assert set(texts) == {f"{name}.pdf" for name in NAMES}
    assert all(f"{one.fuse_a:g} A" in texts["fuse-map.pdf"] for one in sample_plan.circuits if one.kind == "dc")
    assert "Do not drill: left wall" in texts["no-drill.pdf"]
    assert "mm off the bare metal" in texts["no-drill.pdf"]
    for run in sample_plan.runs:
        assert (run.id in texts["ac-routes.pdf"]) == (run.kind == "ac")


def test_mains_is_told_on_the_wall_without_colour(sample_plan: Plan) -> None:
    """Each wall with a long AC line has the letters on it, and its lines are the thickest of the cables."""
    pages = no_drill_pages(sample_plan, Wishes(), frame_of(sample_plan), face())
    checked = 0
    for page in pages:
        letters = [one for one in page.marks if isinstance(one, Text) and one.text == "AC"]
        thick = [one for one in page.marks if isinstance(one, Stroke) and one.colour == "#b00000" and one.line > 0]
        thin = [one for one in page.marks if isinstance(one, Stroke) and one.colour == "#404040"]
        assert bool(letters) <= bool(thick)
        checked += len(letters)
        assert all(one.line >= 2.0 * other.line for one in thick for other in thin)
    assert checked


def test_the_fine_grid_is_a_tenth_of_a_metre_on_the_drawing(sample_plan: Plan) -> None:
    """Measured on the page: thin lines one after the other stand 0.1 m at the page's scale apart."""
    (page, *_) = no_drill_pages(sample_plan, Wishes(), frame_of(sample_plan), face())
    words = " ".join(one.text for one in page.marks if isinstance(one, Text))
    ratio = float(re.search(r"1 : ([0-9.]+)", words).group(1).rstrip("."))  # type: ignore[union-attr]
    xs = sorted(one.x for one in page.marks if isinstance(one, Stroke) and one.line == 0.25 and one.steps[0][0] == 0.0)
    assert len(xs) > 3
    for a, b in itertools.pairwise(xs):
        assert (b - a) * ratio * 0.0254 / 72.0 == pytest.approx(0.1, abs=1e-6)
