"""What to buy, counted again from the plan by other means."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import LineString

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanLug
from ribway.models.rates.rates import PartPrice, Rates, Reel
from ribway.models.stock_list import load_stock
from ribway.sheets.buying.parts import clips_along, fuse_kind, parts, slot_edge_m
from ribway.sheets.buying.shopping import material_cost, shopping_records
from ribway.sheets.buying.shrink import tube_for
from ribway.sheets.cut_pieces import cut_pieces
from ribway.sheets.finishing.fuse_map import BLADE_COLOURS
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.terminals import ASK, terminal_at
from ribway.sheets.terminals_list import terminals_record
from ribway.sheets.words import left_length


def test_each_used_hole_has_its_grommet_or_its_strip(sample_plan: Plan) -> None:
    used = [one for one in sample_plan.openings if one.runs]
    round_ones = sum(1 for one in used if one.slot_length_mm is None)
    assert sum(one.amount for one in parts(sample_plan) if one.part == "grommet") == round_ones
    assert round_ones > 0


def test_the_edge_of_a_slot_is_the_outline_of_a_line_with_round_ends() -> None:
    """The outline of a segment grown by half the width, as shapely draws it."""
    outline = LineString([(0, 0), (41.0 - 20.0, 0)]).buffer(10.0, quad_segs=256).length / 1000
    assert slot_edge_m(20.0, 41.0) == pytest.approx(outline, rel=1e-4)


@pytest.mark.parametrize(
    ("length", "spacing", "count"), [(0.9, 0.45, 3), (0.91, 0.45, 4), (0.1, 0.45, 2), (1.35, 0.45, 4)]
)
def test_clips_are_never_farther_apart_than_the_spacing(length: float, spacing: float, count: int) -> None:
    assert clips_along(length, spacing) == count
    assert length / (count - 1) <= spacing + 1e-9


def test_terminals_and_fuses(sample_plan: Plan) -> None:
    needs = parts(sample_plan)
    conductors = sum(2 * run.cores for run in sample_plan.runs if run.kind == "dc")
    assert sum(one.amount for one in needs if one.part in ("terminal", "lug")) == conductors
    fused = [circuit.fuse_a for circuit in sample_plan.circuits if circuit.kind == "dc" and circuit.fuse_a]
    assert sum(one.amount for one in needs if one.part == "fuse") == len(fused) + len(set(fused))
    assert (fuse_kind(30.0), fuse_kind(40.0)) == ("blade fuse", "bolt-down fuse")


def test_sums_of_money(sample_plan: Plan) -> None:
    run = next(run for run in sample_plan.runs if run.id == "fridge-1")
    rates = Rates(
        currency="EUR",
        reels=(Reel(cable=run.cable, length="5 m", price=7.0),),
        parts=(PartPrice(part="fuse", price=1.5),),
    )
    fuses = sum(one.amount for one in parts(sample_plan) if one.part == "fuse")
    cost, unpriced = material_cost(sample_plan, rates)
    metres = sum(one.cut_m * one.pieces for one in sample_plan.runs if one.cable == run.cable)
    assert metres <= 5.0
    assert cost == pytest.approx(7.0 + 1.5 * fuses)
    assert unpriced > 0


def test_lists_say_metres_pieces_and_a_reel_too_short(sample_plan: Plan) -> None:
    longest = max(sample_plan.runs, key=lambda run: run.cut_m)
    rates = Rates(
        reels=(Reel(cable=longest.cable, length="1 m", price=1.0), Reel(cable="misspelt", length="9 m", price=1.0))
    )
    cables, _ = shopping_records(sample_plan, Wishes(rates=rates))
    rows = {row[1]: row for row in cables.rows}
    for cable in {run.cable for run in sample_plan.runs}:
        own = [run for run in sample_plan.runs if run.cable == cable]
        assert rows[cable][3] == sum(run.pieces for run in own)
        assert math.isclose(
            float(str(rows[cable][5])), sum(run.cut_m * run.pieces for run in own), abs_tol=0.01 * len(own)
        )
    assert "is longer than the longest reel offered, 1 m" in str(rows[longest.cable][6])
    assert any("misspelt" in note for note in cables.notes)
    assert not any(one.reel for one in cut_pieces(sample_plan, rates) if one.cable.id == longest.cable)


def test_what_is_left_is_never_printed_longer_than_it_is() -> None:
    """0.999 m is 39.33 inches: 3' 3 1/4" at the most."""
    assert left_length(0.999, "metric") == "0.99"
    assert left_length(0.999, "feet and inches").replace("\N{NO-BREAK SPACE}", " ") == "3' 3 1/4\""


def test_heat_shrink_goes_over_every_stocked_conductor_and_its_lug_and_shrinks_onto_it() -> None:
    """Held against the stock list's own outside diameters of single cables, and against the least round hole that holds the
    strands: at most 0.8 of it is copper (closed form), with a wall of 1 mm round it."""
    singles = [
        one
        for one in (*load_stock("metric"), *load_stock("awg"))
        if one.form == "single" and one.kind == "dc" and one.metal == "copper"
    ]
    assert len(singles) > 10
    for one in singles:
        tube = tube_for(one.area_mm2)
        barrel = math.sqrt(4.0 * one.area_mm2 / (math.pi * 0.8)) + 2.0
        assert max(barrel, one.outside_mm) < tube.before_mm, one.id
        assert tube.after_mm < one.outside_mm, one.id


def test_heat_shrink_is_counted_by_lugs_and_lined_where_water_comes(sample_plan: Plan) -> None:
    lug = PlanLug(at="fridge", size="4 mm2", stud="M5", count=2)
    runs = tuple(run.model_copy(update={"lugs": (lug,)} if run.id == "fridge-1" else {}) for run in sample_plan.runs)
    dry = sample_plan.model_copy(update={"runs": runs})
    run = next(run for run in runs if run.id == "fridge-1")
    tube = tube_for(run.conductor_area_mm2)
    (need,) = (one for one in parts(dry) if one.part == "heat shrink" and "fridge-1" in one.where)
    assert (need.what, need.size, need.where) == ("heat shrink", tube.size("metric"), "fridge-1")
    assert need.amount == pytest.approx(2 * tube.piece_mm / 1000)
    outside = tuple(one.model_copy(update={"wall": "under floor"} if one.id == "fridge" else {}) for one in dry.devices)
    (wet,) = (one for one in parts(dry.model_copy(update={"devices": outside})) if one.what.endswith("lined"))
    assert wet.what == "heat shrink, adhesive-lined"
    no_lugs = sample_plan.model_copy(update={"devices": outside})
    (terminals,) = (one for one in parts(no_lugs) if one.what.endswith("lined"))
    assert terminals.amount == pytest.approx(len(run.wire_functions or "ab") * tube.piece_mm / 1000)


def test_what_goes_on_the_wires_is_said_from_what_is_known(sample_plan: Plan) -> None:
    lug = PlanLug(at="fridge", size="4 mm2", stud="M5", count=2)
    run = next(run for run in sample_plan.runs if run.id == "fridge-1")
    assert terminal_at(sample_plan, run.model_copy(update={"lugs": (lug,)}), "fridge") == "ring lug M5"
    unknown = run.model_copy(update={"lugs": (lug.model_copy(update={"stud": ""}),)})
    assert terminal_at(sample_plan, unknown, "fridge") == "ring lug, stud not known"
    assert terminal_at(sample_plan, run, "fridge") == ASK, "nobody said"
    data = run.model_copy(update={"kind": "data", "plug_mm": 0.0})
    assert terminal_at(sample_plan, data, "fridge") == ASK, "bare ends of a data cable go on something too"
    joints = tuple(
        one.model_copy(update={"kind": "joint"} if one.id == "fridge" else {}) for one in sample_plan.devices
    )
    assert terminal_at(sample_plan.model_copy(update={"devices": joints}), run, "fridge") == "contact of the plug"
    assert terminal_at(sample_plan, run.model_copy(update={"kind": "ac"}), "fridge") == "licensed person"
    assert terminal_at(sample_plan, run.model_copy(update={"purpose": "spare"}), "fridge") == "insulate, coil up"
    assert terminal_at(sample_plan, run.model_copy(update={"purpose": "spare", "cores": 0}), "fridge") == ""


def test_a_grommet_is_bought_by_inches_where_the_shop_works_in_them(sample_plan: Plan) -> None:
    """32 mm is 1.2598 in, nearest to 1 8/32; 28 mm clear is 1.1024 in, so 1 3/32 down."""
    holes = tuple(
        one.model_copy(update={"raw_bore_mm": 32.0, "clear_bore_mm": 28.0, "slot_length_mm": None})
        for one in sample_plan.openings
    )
    for units, size_of_it in (("metric", "hole 32 mm, clear 28 mm"), ("feet and inches", 'hole 1 1/4", clear 1 3/32"')):
        rules = sample_plan.rules.model_copy(update={"units": units})
        table = shopping_records(sample_plan.model_copy(update={"openings": holes, "rules": rules}), Wishes())[
            1
        ].table()
        sizes = {
            size for part, size in zip(table.column("Part"), table.column("Size"), strict=True) if part == "grommets"
        }
        assert sizes == {size_of_it}


def test_every_end_that_has_no_lug_is_asked_for_once(sample_plan: Plan) -> None:
    record = terminals_record(sample_plan)
    asked = sum(int(row[3] or 0) for row in record.rows)
    runs = [run for run in sample_plan.runs if run.purpose != "spare" and run.cores and not run.lugs]
    plugged = sum(2 * run.cores for run in runs if run.kind == "data" and run.plug_mm > 0.0)
    assert asked == sum(2 * run.cores for run in runs if run.kind != "ac") - plugged > 0
    bought = sum(one.amount for one in parts(sample_plan) if one.part == "terminal")
    assert bought == asked - sum(2 * run.cores for run in runs if run.kind == "data" and not run.plug_mm)
    lugged = [
        run.model_copy(
            update={
                "lugs": tuple(PlanLug(at=end, size=run.size_name, stud="M5", count=2) for end in (run.from_, run.to))
            }
        )
        for run in sample_plan.runs
    ]
    known = terminals_record(sample_plan.model_copy(update={"runs": tuple(lugged)})).rows
    assert not {word for row in known for word in str(row[2]).replace("\xa0", " ").split(", ")} & {
        f"{run.id}: {run.cores} of {run.size_name}" for run in lugged if run.kind == "dc"
    }


def test_a_blade_fuse_above_the_ratings_that_were_seen_has_no_colour() -> None:
    """ISO 8820-3 was seen up to 30 A: above that the rating alone is printed."""
    assert max(BLADE_COLOURS) == 30.0


def test_single_cores_are_bought_by_colour(sample_plan: Plan) -> None:
    """By hand: two pairs of 2 and 3 m are 5 m of red and 5 m of black."""
    cable = next(one for one in sample_plan.cables if any(run.cable == one.id for run in sample_plan.runs))
    run = next(run for run in sample_plan.runs if run.cable == cable.id)
    pair = {"pieces": 2, "wire_colours": ("red", "black"), "wire_functions": ("positive", "negative")}
    runs = tuple(run.model_copy(update={"id": name, "cut_m": m, **pair}) for name, m in (("S1", 2.0), ("S2", 3.0)))
    cables = tuple(one.model_copy(update={"cores": 1}) if one.id == cable.id else one for one in sample_plan.cables)
    record = shopping_records(sample_plan.model_copy(update={"runs": runs, "cables": cables}), Wishes())[0]
    (said,) = (str(row[2]).replace("\xa0", " ").split("\n")[1] for row in record.rows if row[1] == cable.id)
    assert said == "red 5.00 m, black 5.00 m"
