"""Alternatives in one picture: cells apart, figures set against the base's."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from shapely import box

from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.errors import NothingToShow
from ribway.viewer.parts import WALLS
from ribway.viewer.side_by_side import cells_of, draw_side_by_side, figures


def with_copper(plan: Plan, name: str, kg: float, complete: bool = True) -> Plan:
    totals = plan.totals.model_copy(update={"copper_kg": kg})
    return plan.model_copy(update={"alternative": name, "totals": totals, "complete": complete})


@pytest.mark.parametrize("count", range(2, 7))
def test_cells_lie_apart_inside_the_picture_and_are_alike(count: int) -> None:
    size = (1800, 1200)
    cells = [box(*cell) for cell in cells_of(count, size)]
    assert len(cells) == count
    assert all(a.intersection(b).area == 0.0 for a, b in combinations(cells, 2))
    assert all(box(0, 0, *size).contains(cell) for cell in cells)
    assert max(cell.area for cell in cells) < 1.02 * min(cell.area for cell in cells)


def test_figures_are_set_against_the_base_and_the_least_complete_plan_is_named(sample_plan: Plan) -> None:
    plans = [
        with_copper(sample_plan, "", 1.0),
        with_copper(sample_plan, "near", 0.9),
        with_copper(sample_plan, "torn", 0.5, complete=False),
    ]
    rows = dict(figures(plans))
    assert rows["copper"] == ("1.00 kg", "0.90 kg (−0.10 kg), least", "0.50 kg (−0.50 kg)")
    assert len(set(rows["cable cut"])) == 1


def test_a_picture_of_alternatives_on_disk(sample_plan: Plan, tmp_path: Path) -> None:
    plans = [with_copper(sample_plan, "", 1.0), with_copper(sample_plan, "near", 0.9)]
    draw_side_by_side(plans, tmp_path / "side.png", size=(1000, 700))
    with Image.open(tmp_path / "side.png") as image:
        pixels = np.asarray(image.convert("RGB"))
    assert pixels.shape == (700, 1000, 3)
    for half in (pixels[:, :500], pixels[:, 500:]):
        for loom in sample_plan.looms:
            assert np.count_nonzero((half == palette.rgb_of(loom.colour)).all(axis=2)) > 40
    draw_side_by_side(plans, tmp_path / "above.png", around="above", cut=WALLS, size=(1000, 700))
    with Image.open(tmp_path / "above.png") as image:
        bare = np.asarray(image.convert("RGB"))
    ground = palette.rgb_of(palette.GROUND)
    assert np.count_nonzero((bare == ground).all(axis=2)) > np.count_nonzero((pixels == ground).all(axis=2))
    for half in (bare[:, :500], bare[:, 500:]):
        for loom in sample_plan.looms:
            assert np.count_nonzero((half == palette.rgb_of(loom.colour)).all(axis=2)) > 20
    with pytest.raises(NothingToShow, match="no wall 'attic'"):
        draw_side_by_side(plans, tmp_path / "x.png", cut=["attic"])
    with pytest.raises(NothingToShow, match="2 to 6 alternatives side by side, not 1"):
        draw_side_by_side(plans[:1], tmp_path / "x.png")
    with pytest.raises(NothingToShow, match="not 7"):
        draw_side_by_side(plans[:1] * 7, tmp_path / "x.png")
