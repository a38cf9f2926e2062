"""Metres of cable and of draw cord, each by itself."""

from __future__ import annotations

import pytest

from ribway.models.plan.metres import cable_cut_m, draw_cord_cut_m, is_draw_cord
from ribway.models.plan.plan import Plan


def test_cords_are_no_cable_and_every_piece_counts(sample_plan: Plan) -> None:
    fridge, main, outlet, report = sample_plan.runs
    pair = main.model_copy(update={"pieces": 2})
    cord = report.model_copy(update={"cores": 0, "cut_m": 4.35})
    assert is_draw_cord(cord)
    assert not is_draw_cord(report)
    assert cable_cut_m((fridge, pair, outlet, cord)) == pytest.approx(fridge.cut_m + 2 * main.cut_m + outlet.cut_m)
    assert draw_cord_cut_m((fridge, pair, outlet, cord)) == 4.35
