"""How stiff cables are: by the sum of their strands, and which go in first."""

from __future__ import annotations

import math

import pytest

from ribway.models.plan.plan import Plan
from ribway.sheets.pulling.order import pull_order
from ribway.sheets.pulling.stiffness import COPPER_PA, STRAND_MM, is_stiff, stiffness_nm2, strand_mm


def test_strands_of_class_5_by_the_table() -> None:
    """IEC 60228:2004 table 3: 2.5 mm2 has strands of 0.26 mm at most, 35 mm2 of 0.41 mm, 70 mm2 of 0.51 mm."""
    assert [strand_mm(area) for area in (2.5, 35.0, 70.0)] == [0.26, 0.41, 0.51]
    assert strand_mm(2.08) == 0.26, "between sizes, that of the next larger"
    assert strand_mm(500.0) == STRAND_MM[-1][1]


@pytest.mark.parametrize(("area", "strand"), [(1.5, 0.26), (16.0, 0.41), (35.0, 0.41)])
def test_copper_is_the_sum_of_its_strands(sample_plan: Plan, area: float, strand: float) -> None:
    """A / (pi d^2 / 4) strands, each E pi d^4 / 64: counted strand by strand; the sheath adds some, and never more than as
    much again."""
    thick = math.sqrt(area) * 1.9
    run = sample_plan.runs[0].model_copy(
        update={"conductor_area_mm2": area, "cores": 1, "pieces": 1, "outside_mm": thick, "thickness_mm": thick}
    )
    strands = area / (math.pi * strand**2 / 4.0)
    copper = strands * COPPER_PA * math.pi * (strand / 1000.0) ** 4 / 64.0
    assert copper <= stiffness_nm2(run) <= 2.0 * copper


def test_thicker_is_stiffer_and_two_pieces_twice_as_stiff(sample_plan: Plan) -> None:
    run = sample_plan.runs[0].model_copy(update={"cores": 1, "pieces": 1, "conductor_area_mm2": 16.0})
    pair = run.model_copy(update={"cores": 2, "pieces": 2})
    assert stiffness_nm2(pair) == pytest.approx(2.0 * stiffness_nm2(run))
    areas = [area for area, _ in STRAND_MM]
    by_area = [
        stiffness_nm2(
            run.model_copy(
                update={"conductor_area_mm2": area, "outside_mm": 2.0 * area**0.5, "thickness_mm": 2.0 * area**0.5}
            )
        )
        for area in areas
    ]
    assert by_area == sorted(by_area)


def test_the_stiffest_goes_in_first(sample_plan: Plan) -> None:
    first = sample_plan.runs[0].model_copy(update={"loom": "", "plug_mm": 0.0, "cores": 2, "pieces": 2})
    runs = tuple(
        first.model_copy(update={"id": name, "conductor_area_mm2": area, "one_way_m": far})
        for name, area, far in (("thin", 1.5, 9.0), ("thick", 35.0, 1.0), ("middle", 16.0, 3.0))
    )
    order = [loom.pulls[0].run.id for loom in pull_order(sample_plan.model_copy(update={"runs": runs}))]
    assert order == ["thick", "middle", "thin"]
    assert [is_stiff(run) for run in runs] == [False, True, True]
