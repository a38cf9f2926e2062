"""The order of cutting, and totals that add up as they are printed."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from ribway.models.plan.plan import Plan
from ribway.sheets.cut_list import cut_list, cuts
from ribway.sheets.words import GLUE


def inches(text: str) -> Fraction:
    """Feet and inches on paper, in inches."""
    feet, _, rest = text.replace(GLUE, " ").rpartition("'")
    parts = rest.strip().removesuffix('"').split()
    return Fraction(feet or 0) * 12 + sum((Fraction(part) for part in parts), Fraction(0))


def test_each_cable_in_one_go_thickest_first_longest_piece_first(big_plan: Plan) -> None:
    steps = cuts(big_plan)
    assert [step.order for step in steps] == list(range(1, len(big_plan.runs) + 1))
    assert sorted(step.run.id for step in steps) == sorted(run.id for run in big_plan.runs)
    cables = [key for key, _ in groupby(step.cable.id for step in steps)]
    assert len(cables) == len(set(cables))
    areas = [step.cable.area_mm2 for step in steps]
    assert areas == sorted(areas, reverse=True)
    for _, group in groupby(steps, key=lambda step: step.cable.id):
        lengths = [step.run.cut_m for step in group]
        assert lengths == sorted(lengths, reverse=True)


def test_running_totals_add_up_in_metres(sample_plan: Plan) -> None:
    long = sample_plan.runs[0].model_copy(update={"id": "fridge-2", "cut_m": 2.3337, "pieces": 2})
    table = cut_list(sample_plan.model_copy(update={"runs": (*sample_plan.runs, long)}))
    group = next(group for group in table.groups if group.heading.startswith("2x2.5"))
    fridge = next(run for run in sample_plan.runs if run.id == "fridge-1")
    first = Decimal(str(math.ceil(round(fridge.cut_m * 100, 6)))) / 100
    order = [row[1] for row in group.rows]
    assert order == (["fridge-1", "fridge-2"] if fridge.cut_m > 2.3337 else ["fridge-2", "fridge-1"])
    running = Decimal(0)
    for row in group.rows:
        running += int(row[3]) * Decimal(row[4])
        assert Decimal(row[6]) == running
    assert running == 2 * Decimal("2.34") + first
    assert f"3 pieces, {running:.2f} m in all" in group.heading


def test_running_totals_add_up_in_feet_and_inches(big_plan: Plan) -> None:
    for group in cut_list(big_plan).groups:
        running = Fraction(0)
        for row in group.rows:
            running += int(row[3]) * inches(row[4])
            assert inches(row[6]) == running
        true_m = sum(run.cut_m * run.pieces for run in big_plan.runs if run.id in {row[1] for row in group.rows})
        assert float(running) * 0.0254 >= true_m - 1e-9


def test_a_pair_of_singles_is_two_pieces_and_uses_twice_the_cable(big_plan: Plan) -> None:
    first = cuts(big_plan)[0]
    assert first.run.pieces == 2
    assert first.running_m == round(2 * first.run.cut_m, 4)


def test_cables_from_16_mm2_are_cut_to_template(sample_plan: Plan) -> None:
    table = cut_list(sample_plan)
    marked = dict(zip(table.column("Run"), table.column("Cut to template"), strict=True))
    assert marked == {run.id: "on the van" if run.conductor_area_mm2 >= 16 else "" for run in sample_plan.runs}
    assert "on the van" in marked.values()
    assert any("template" in note for note in table.notes)
    thin = tuple(run for run in sample_plan.runs if not run.cut_to_template)
    assert not any("emplate" in note for note in cut_list(sample_plan.model_copy(update={"runs": thin})).notes)


def test_arms_are_never_fewer_than_the_length_needs(big_plan: Plan) -> None:
    runs = {run.id: run for run in big_plan.runs}
    for row in cut_list(big_plan).rows:
        spare = Fraction(row[5]) * Fraction(str(big_plan.rules.arm_m)) - Fraction(str(runs[row[1]].cut_m))
        assert 0 <= spare < Fraction(1, 4) * Fraction(str(big_plan.rules.arm_m))


def test_what_is_ticked(sample_plan: Plan) -> None:
    boxes = [column.heading for column in cut_list(sample_plan).columns if column.align == "box"]
    assert boxes == ["Cut", "Both ends marked"]
    assert cut_list(sample_plan).type_pt >= 10
