"""The hand-made sample plan keeps the invariants that every plan must keep."""

from __future__ import annotations

import base64
import math
import struct

import pytest

from ribway.models.plan.plan import Plan


def test_lengths_are_in_order(sample_plan: Plan) -> None:
    for run in sample_plan.runs:
        assert run.straight_m <= run.taut_m <= run.sharp_m
        assert run.rounded_m < run.sharp_m
        assert run.cut_m + 1e-9 >= run.sharp_m + run.slack_m + run.loom_side_m + run.tail_a_m + run.tail_b_m
        assert run.cut_m == pytest.approx(sum(line.metres for line in run.reckoning), abs=2e-4)
        assert run.one_way_m == pytest.approx(run.sharp_m + run.slack_m + run.loom_side_m, abs=1e-4)


def test_worked_lengths(sample_plan: Plan) -> None:
    """By hand: stub 0.075 + bay 0.495 + hole 0.010 + bay 0.595 + 0.2 + stub 0.075 = 1.45 m; 5 % slack 0.0725;
    tails 0.6 + 0.3; 2.4225 rounds up to 2.45 m. The main: 0.075 + 0.3 + 0.075 = 0.45; 0.0225; 1.1; 1.5725 -> 1.6 m."""
    runs = {run.id: run for run in sample_plan.runs}
    assert runs["fridge-1"].sharp_m == pytest.approx(1.45)
    assert runs["fridge-1"].cut_m == pytest.approx(2.45)
    assert runs["fridge-1"].bends == 3
    assert runs["fridge-1"].bend_angle_deg == pytest.approx(270.0)
    assert runs["main-1"].cut_m == pytest.approx(1.6)
    # 2 conductors x 16 mm2 x 1.6 m x 8960 kg/m3
    assert runs["main-1"].copper_kg == pytest.approx(2 * 16e-6 * 1.6 * 8960)
    # 5 A x 2 x 1.6 m x 1.21 mohm/m x (1 + 0.00393 x 40), IEC 60228 class 5
    assert runs["main-1"].drop_v == pytest.approx(5 * 2 * 1.6 * 1.21e-3 * 1.1572, abs=1e-4)


def test_centreline_has_the_rounded_length(sample_plan: Plan) -> None:
    for run in sample_plan.runs:
        drawn = sum(math.dist(a, b) for a, b in zip(run.centreline, run.centreline[1:], strict=False))
        assert drawn == pytest.approx(run.rounded_m, abs=5e-4)


def test_rib_is_whole_around_an_open_hole(sample_plan: Plan) -> None:
    """The web's triangles have the area of the web (0.05 x 1.6 m) less the hole's sixteen-sided outline."""
    part = next(part for part in sample_plan.parts if part.name == "L1")
    raw = base64.b64decode(part.vertices_f32)
    points = [struct.unpack_from("<3f", raw, 12 * i) for i in range(len(raw) // 12)]
    raw_faces = base64.b64decode(part.faces_u32)
    area = 0.0
    for i in range(len(raw_faces) // 12):
        a, b, c = (points[k] for k in struct.unpack_from("<3I", raw_faces, 12 * i))
        area += abs((b[1] - a[1]) * (c[2] - a[2]) - (c[1] - a[1]) * (b[2] - a[2])) / 2
    hole = 16 * 0.010**2 * math.tan(math.pi / 16)
    assert area == pytest.approx(0.05 * 1.6 - hole, rel=1e-4)


def test_totals_add_up(sample_plan: Plan) -> None:
    totals = sample_plan.totals
    assert totals.copper_kg == pytest.approx(
        totals.copper_mains_kg + totals.copper_circuits_kg + totals.copper_spares_kg
    )
    assert totals.cable_m == pytest.approx(sum(run.cut_m for run in sample_plan.runs))
    assert {run for opening in sample_plan.openings for run in opening.runs} == {"fridge-1", "report-1", "outlet-1"}
    for opening in sample_plan.openings:
        assert 0 < opening.fill_percent < opening.fill_limit_percent
