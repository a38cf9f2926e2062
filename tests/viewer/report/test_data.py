"""What the report page is given to draw, and the numbers in its tables, against the plan and against closed forms."""

from __future__ import annotations

import base64
import itertools
import json

import numpy as np
import pytest

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.viewer.report import words
from ribway.viewer.report.alternatives import differences_table, figures_table
from ribway.viewer.report.run_tables import cutting_order, loop_ohms, runs_table
from ribway.viewer.report.scene_data import packed_faces, packed_points, scenes_data
from ribway.viewer.report.table import Column, Row, Table
from ribway.viewer.report.tables import findings_table, openings_table, tables_of
from ribway.viewer.scene import scene_of


def column(table: Table, heading: str) -> list[str]:
    index = [one.heading for one in table.columns].index(heading)
    return [row.cells[index].text for row in table.rows]


def points_of(text: str) -> np.ndarray:
    return np.frombuffer(base64.b64decode(text), dtype="<f4").reshape(-1, 3)


def test_the_scene_is_the_one_that_pictures_show(sample_plan: Plan) -> None:
    data = scenes_data([sample_plan])
    (scene,) = data["scenes"]
    drawn = scene_of(sample_plan)
    assert [run["id"] for run in scene["runs"]] == [tube.run for tube in drawn.tubes]
    for run, tube in zip(scene["runs"], drawn.tubes, strict=True):
        assert np.allclose(points_of(run["points"]), tube.points, atol=1e-5)
        assert run["radius"] == pytest.approx(tube.radius_m)
        assert run["colour"] == tube.colour
    assert [(part["name"], part["wall"]) for part in scene["parts"]] == [(p.name, p.wall) for p in drawn.parts]
    assert np.allclose(scene["low"], drawn.low, atol=1e-3)
    assert np.allclose(scene["high"], drawn.high, atol=1e-3)
    assert [ring["colour"] for ring in scene["rings"]] == [ring.colour for ring in drawn.rings]
    assert [view["name"] for view in data["views"]][:4] == ["overview", "other side", "above", "left"]


def test_cables_lie_side_by_side_inside_their_opening(sample_plan: Plan) -> None:
    (scene,) = scenes_data([sample_plan])["scenes"]
    opening = next(one for one in sample_plan.openings if len(one.runs) > 1)
    centre, axis = np.array(opening.centre), np.array(opening.axis)
    spots = []
    for run in scene["runs"]:
        if opening.id in run["openings"]:
            points = points_of(run["points"]).astype(float)
            along = (points - centre) @ axis
            near = points[np.argmin(np.abs(along))] - centre
            off = near - (near @ axis) * axis
            spots.append((off, run["radius"]))
            assert np.linalg.norm(off) + run["radius"] <= opening.clear_bore_mm / 2000.0 + 1e-4
    (first, a), (second, b) = spots[:2]
    assert np.linalg.norm(first - second) >= a + b - 1e-4


def test_metal_shared_by_alternatives_is_kept_once(sample_plan: Plan) -> None:
    other = sample_plan.model_copy(update={"alternative": "other"})
    alone, both = scenes_data([sample_plan]), scenes_data([sample_plan, other])
    assert both["meshes"] == alone["meshes"]
    assert [part["mesh"] for part in both["scenes"][1]["parts"]] == [
        part["mesh"] for part in both["scenes"][0]["parts"]
    ]


def test_an_empty_plan_can_still_be_laid_out(sample_plan: Plan) -> None:
    nothing = dict.fromkeys(("runs", "looms", "devices", "openings", "keep_outs", "parts", "ways", "bays"), ())
    data = scenes_data([sample_plan.model_copy(update=nothing)])
    assert data["scenes"][0]["runs"] == []
    json.dumps(data, allow_nan=False)


@pytest.mark.parametrize(("vertices", "bits"), [(65536, 16), (65537, 32)])
def test_triangles_are_packed_in_the_shortest_integers_that_reach(vertices: int, bits: int) -> None:
    packed = packed_faces([[0, 1, vertices - 1]], vertices)
    found = np.frombuffer(base64.b64decode(packed["faces"]), dtype=f"<u{bits // 8}")
    assert packed["bits"] == bits
    assert found.tolist() == [0, 1, vertices - 1]


def test_points_are_little_endian_float32() -> None:
    # IEEE 754: 1.0 is 3f800000, so little-endian 00 00 80 3f.
    assert base64.b64decode(packed_points([[1.0, 0.0, 0.0]])) == bytes.fromhex("0000803f0000000000000000")


def test_every_run_has_its_row_with_lengths_rounded_up(sample_plan: Plan) -> None:
    table = runs_table(sample_plan)
    assert column(table, "Run") == [run.id for run in sample_plan.runs]
    for text, run in zip(column(table, "Cut length"), sample_plan.runs, strict=True):
        assert run.cut_m - 1e-9 <= float(text.removesuffix(" m")) < run.cut_m + 0.01
    assert all(row.runs == (row.id,) for row in table.rows)


def test_ohms_there_and_back_are_those_of_two_conductors(sample_plan: Plan) -> None:
    # R = 2 L r (both conductors in series), r from the stock; data and single-conductor runs have none.
    cables = {cable.id: cable for cable in sample_plan.cables}
    ohms = {run.id: loop_ohms(run, cables) for run in sample_plan.runs}
    for run in sample_plan.runs:
        if run.kind == "data":
            assert ohms[run.id] is None
        else:
            assert ohms[run.id] == pytest.approx(run.cut_m * cables[run.cable].ohm_per_m_20c * 2)
    assert any(value is not None for value in ohms.values())
    lone = sample_plan.runs[0].model_copy(update={"cores": 1})
    assert loop_ohms(lone, cables) is None


def test_thick_copper_is_cut_first_and_of_each_cable_the_longest_piece(sample_plan: Plan) -> None:
    order = cutting_order(sample_plan)
    assert sorted(run.id for run in order) == sorted(run.id for run in sample_plan.runs)
    areas = [run.conductor_area_mm2 for run in order]
    assert areas == sorted(areas, reverse=True)
    for before, after in itertools.pairwise(order):
        assert before.cable != after.cable or before.cut_m >= after.cut_m
    lost = sample_plan.runs[0].model_copy(update={"centreline": (), "legs": ()})
    rest = cutting_order(sample_plan.model_copy(update={"runs": (lost, *sample_plan.runs[1:])}))
    assert lost.id not in {run.id for run in rest}


def test_openings_say_what_is_assumed_and_what_goes_through(sample_plan: Plan) -> None:
    table = openings_table(sample_plan)
    assert column(table, "Opening") == ["L1a", "R1a"]
    assert column(table, "State") == ["measured", "ASSUMED"]
    assert column(table, "Where")[0] == "left wall, 1.00 m back, 0.50 m up"
    for row, opening in zip(table.rows, sample_plan.openings, strict=True):
        assert row.runs == opening.runs


def test_findings_come_serious_first_and_point_at_what_they_are_about(sample_plan: Plan) -> None:
    run, loom = sample_plan.runs[0], sample_plan.looms[0]
    findings = (
        Finding(level="note", code="a", about="nothing known", message="m", remedy="r"),
        Finding(level="error", code="b", about=f"L1a, {run.id}", message="2.5 mm2", remedy="r"),
        Finding(level="warning", code="c", about=loom.id, message="m", remedy="r"),
    )
    rows = findings_table(sample_plan.model_copy(update={"findings": findings})).rows
    assert [row.level for row in rows] == ["error", "warning", "note"]
    assert (rows[0].runs, rows[0].openings) == ((run.id,), ("L1a",))
    assert set(rows[1].runs) == set(loom.runs)
    assert rows[2].runs == rows[2].openings == ()
    assert rows[0].cells[2].text == "2.5 mm²"


def test_names_of_rows_are_unique_so_that_notes_keep_apart(sample_plan: Plan) -> None:
    twice = sample_plan.model_copy(update={"findings": sample_plan.findings * 2})
    for table in tables_of(twice):
        names = [row.id for row in table.rows]
        assert len(names) == len(set(names)), table.title


def test_a_row_must_fit_its_columns() -> None:
    with pytest.raises(ValueError, match="'x' has 0 cells in 1 columns"):
        Table("t", "T", (Column("Run"),), (Row("x", ()),))


def test_alternatives_stand_side_by_side_with_their_differences(sample_plan: Plan) -> None:
    run = sample_plan.runs[0]
    longer = run.model_copy(update={"cut_m": run.cut_m + 0.5})
    totals = sample_plan.totals.model_copy(update={"copper_kg": sample_plan.totals.copper_kg + 1.0})
    other = sample_plan.model_copy(
        update={"alternative": "other", "runs": (longer, *sample_plan.runs[1:]), "totals": totals}
    )
    figures = figures_table([sample_plan, other])
    assert [one.heading for one in figures.columns] == ["Figure", "base", "other"]
    copper = next(row for row in figures.rows if row.id == "Copper")
    assert "(least)" in copper.cells[1].text
    assert copper.cells[2].text.endswith("\n+1.00 kg")
    assert [row.id for row in differences_table([sample_plan, other]).rows] == [run.id]
    assert differences_table([sample_plan, sample_plan]).rows == ()


def test_sizes_are_rounded_to_their_safe_side() -> None:
    assert (words.bore(20.09, "metric"), words.bore(20.09, "feet and inches")) == ("20 mm", '25/32"')  # 0.7909
    assert (words.thickness(18.21, "metric"), words.thickness(18.21, "feet and inches")) == (
        "18.3 mm",
        '23/32"',
    )  # 0.7169
    assert words.mass_apart(1.0, "feet and inches") == "2.20 lb"  # 2.20462 lb: NIST SP 811, B.8
    assert words.place(-0.3048, "feet and inches") == "-1' 0\""
