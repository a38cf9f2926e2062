"""The order of cutting, and totals that add up as they are printed."""

from __future__ import annotations

import math
from collections import Counter
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from ribway.models.plan.plan import Plan
from ribway.models.rates.rates import Rates
from ribway.sheets.cut_list import cut_list
from ribway.sheets.cut_pieces import cut_pieces
from ribway.sheets.labels.ends import end_labels
from ribway.sheets.words import GLUE


def inches(text: str) -> Fraction:
    """Feet and inches on paper, in inches."""
    feet, _, rest = text.replace(GLUE, " ").rpartition("'")
    parts = rest.strip().removesuffix('"').split()
    return Fraction(feet or 0) * 12 + sum((Fraction(part) for part in parts), Fraction(0))


def _run(name: str) -> str:
    """The run of a piece: ``M1`` of ``M1 +``."""
    return name.replace(GLUE, " ").split(" ")[0]


def test_each_cable_in_one_go_thickest_first_longest_piece_first(big_plan: Plan) -> None:
    pieces = cut_pieces(big_plan, Rates())
    assert [one.order for one in pieces] == list(range(1, sum(run.pieces for run in big_plan.runs) + 1))
    assert Counter(one.run.id for one in pieces) == {run.id: run.pieces for run in big_plan.runs}
    cables = [key for key, _ in groupby(one.cable.id for one in pieces)]
    assert len(cables) == len(set(cables))
    areas = [one.cable.area_mm2 for one in pieces]
    assert areas == sorted(areas, reverse=True)
    for _, group in groupby(pieces, key=lambda one: one.group):
        lengths = [one.run.cut_m for one in group]
        assert lengths == sorted(lengths, reverse=True)


def test_single_cores_go_colour_by_colour_where_no_reel_is_priced(sample_plan: Plan) -> None:
    cable = next(one for one in sample_plan.cables if any(run.cable == one.id for run in sample_plan.runs))
    run = next(run for run in sample_plan.runs if run.cable == cable.id)
    pair = {"pieces": 2, "wire_colours": ("red", "black"), "wire_functions": ("positive", "negative")}
    runs = tuple(
        run.model_copy(update={"id": name, "cut_m": cut_m, **pair}) for name, cut_m in (("S1", 2.0), ("S2", 3.0))
    )
    cables = tuple(one.model_copy(update={"cores": 1}) if one.id == cable.id else one for one in sample_plan.cables)
    plan = sample_plan.model_copy(update={"runs": runs, "cables": cables})
    table = cut_list(plan)
    assert [name.replace(GLUE, " ") for name in table.column("Piece")] == ["S2 +", "S1 +", "S2 -", "S1 -"]
    assert table.column("Colour") == ("red", "red", "black", "black")
    assert ["red" in table.groups[0].heading, "black" in table.groups[1].heading] == [True, True]
    priced = Rates.model_validate({"reels": [{"cable": cable.id, "length": "6 m", "price": 1.0}]})
    by_reel = [(one.reel.number if one.reel else 0, one.cut_m) for one in cut_pieces(plan, priced)]
    assert by_reel == [(1, 3.0), (1, 3.0), (2, 2.0), (2, 2.0)], (
        "by hand: 3 + 3 fill a reel of 6 m, 2 + 2 lie on another"
    )


def test_reels_run_down_piece_by_piece(sample_plan: Plan) -> None:
    reels = [
        {"cable": one, "length": "10 m", "price": 5.0} for one in dict.fromkeys(run.cable for run in sample_plan.runs)
    ]
    table = cut_list(sample_plan, Rates.model_validate({"reels": reels}))
    assert len(table.rows) == sum(run.pieces for run in sample_plan.runs)
    for group in table.groups:
        assert "reel 1 of 10.00 m" in group.heading
        used = Decimal(0)
        for row in group.rows:
            used += Decimal(row[3])
            assert (Decimal(row[5]), Decimal(row[6])) == (used, 10 - used)
        assert f"{10 - used:.2f} m left over" in group.heading
    assert "Left on reel" not in [column.heading for column in cut_list(sample_plan).columns]


def test_each_piece_goes_to_the_heap_of_its_loom(sample_plan: Plan) -> None:
    bundles = {loom.id for loom in sample_plan.looms if len(loom.runs) > 1}
    assert bundles
    table = cut_list(sample_plan)
    for name, heap in zip(table.column("Piece"), table.column("Heap"), strict=True):
        run = next(run for run in sample_plan.runs if run.id == _run(name))
        assert heap.replace(GLUE, " ") == (f"loom {run.loom}" if run.loom in bundles else "on its own")


def test_labels_are_in_the_order_of_cutting(big_plan: Plan) -> None:
    """Two for each piece, one after the other, by cable and by reel alike."""
    reels = [
        {"cable": one, "length": "30 m", "price": 5.0} for one in dict.fromkeys(run.cable for run in big_plan.runs)
    ]
    for rates in (Rates(), Rates.model_validate({"reels": reels})):
        cut = [one.name for one in cut_pieces(big_plan, rates)]
        assert [one.run for one in end_labels(big_plan, rates)] == [name for name in cut for _ in range(2)]


def test_running_totals_add_up_in_metres(sample_plan: Plan) -> None:
    long = sample_plan.runs[0].model_copy(update={"id": "fridge-2", "cut_m": 2.3337, "pieces": 2})
    table = cut_list(sample_plan.model_copy(update={"runs": (*sample_plan.runs, long)}))
    group = next(group for group in table.groups if group.heading.startswith("2x2.5"))
    fridge = next(run for run in sample_plan.runs if run.id == "fridge-1")
    first = Decimal(str(math.ceil(round(fridge.cut_m * 100, 6)))) / 100
    order = [_run(row[2]) for row in group.rows]
    pair = ["fridge-2", "fridge-2"]
    assert order == (["fridge-1", *pair] if fridge.cut_m > 2.3337 else [*pair, "fridge-1"])
    running = Decimal(0)
    for row in group.rows:
        running += Decimal(row[3])
        assert Decimal(row[5]) == running
    assert running == 2 * Decimal("2.34") + first
    assert f"3 pieces, {running:.2f} m in all" in group.heading


def test_running_totals_add_up_in_feet_and_inches(big_plan: Plan) -> None:
    for group in cut_list(big_plan).groups:
        running = Fraction(0)
        for row in group.rows:
            running += inches(row[3])
            assert inches(row[5]) == running
        true_m = sum(run.cut_m for row in group.rows for run in big_plan.runs if run.id == _run(row[2]))
        assert float(running) * 0.0254 >= true_m - 1e-9


def test_cables_from_16_mm2_are_cut_to_template(sample_plan: Plan) -> None:
    table = cut_list(sample_plan)
    marked = dict(zip(map(_run, table.column("Piece")), table.column("Cut to template"), strict=True))
    assert marked == {run.id: "on the van" if run.conductor_area_mm2 >= 16 else "" for run in sample_plan.runs}
    assert "on the van" in marked.values()
    assert any("template" in note for note in table.notes)
    thin = tuple(run for run in sample_plan.runs if not run.cut_to_template)
    assert not any("emplate" in note for note in cut_list(sample_plan.model_copy(update={"runs": thin})).notes)


def test_arms_are_never_fewer_than_the_length_needs(big_plan: Plan) -> None:
    runs = {run.id: run for run in big_plan.runs}
    for row in cut_list(big_plan).rows:
        spare = Fraction(row[4]) * Fraction(str(big_plan.rules.arm_m)) - Fraction(str(runs[_run(row[2])].cut_m))
        assert 0 <= spare < Fraction(1, 4) * Fraction(str(big_plan.rules.arm_m))


def test_what_is_ticked(sample_plan: Plan) -> None:
    boxes = [column.heading for column in cut_list(sample_plan).columns if column.align == "box"]
    assert boxes == ["Cut", "Both ends marked", "On it"]
    assert cut_list(sample_plan).type_pt >= 10
