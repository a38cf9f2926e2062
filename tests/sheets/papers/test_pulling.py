"""How hard a cable pulls, held against the capstan formula; and the order in which cables go in."""

from __future__ import annotations

import csv
import itertools
import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.sheets.buying.parts import clips_of
from ribway.sheets.looms_glance import looms_record
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.pulling.order import pull_order, run_pull
from ribway.sheets.pulling.paper import _pull_words, pull_record
from ribway.sheets.pulling.plugs import TightPlug, passes, remedies, tight_plugs
from ribway.sheets.pulling.steps import TAPE, pull_steps
from ribway.sheets.pulling.tension import Stretch, hardest_go_n, kg_per_m, pull_n, stops, stretches_of, turned_round

CHECKS = Path(__file__).parents[2] / "data" / "checks" / "fill_and_pull.csv"
CAPSTAN = next(row for row in csv.DictReader(CHECKS.open(encoding="utf-8")) if row["case"] == "5")
BEND = Stretch(0.0, 0.0, math.pi / 2)


@pytest.mark.parametrize(("friction", "place"), [(0.4, 0), (0.2, 1)])
def test_three_bends_by_the_row_of_the_capstan_formula(friction: float, place: int) -> None:
    assert CAPSTAN["inputs"] == "three 90 degree bends, friction 0.4 / 0.2, 5 N at the tail"
    wanted = [float(one) for one in re.findall(r"[0-9.]+(?= N)", CAPSTAN["answer"])]
    assert pull_n([BEND] * 3, 0.0, friction, 5.0) == pytest.approx(wanted[place], abs=0.05)


def test_straights_and_bends_by_hand() -> None:
    """1 m level, a right angle, 2 m up, at 0.5 kg/m and friction 0.4: worked step by step."""
    way = [Stretch(1.0, 0.0, math.pi / 2), Stretch(2.0, 2.0, 0.0)]
    level = 5.0 + 0.4 * 0.5 * 9.80665 * 1.0
    assert pull_n(way, 0.5, 0.4) == pytest.approx(level * math.exp(0.4 * math.pi / 2) + 0.5 * 9.80665 * 2.0)


def test_a_bend_near_the_feed_is_easier_than_one_near_the_hand() -> None:
    """The capstan multiplies what is behind it, so the weight of a long straight is better put in after the bend."""
    way = [Stretch(0.2, 0.0, math.pi / 2), Stretch(3.0, 0.0, 0.0)]
    assert pull_n(way, 0.3, 0.4) < pull_n(turned_round(way), 0.3, 0.4)
    assert turned_round(turned_round(way)) == tuple(way)


def test_bends_of_a_run_are_those_of_its_line(sample_plan: Plan) -> None:
    """The angles between the pieces of a run's drawn line, by dot products."""
    for run in sample_plan.runs:
        points = [point for leg in run.legs for point in leg.points]
        line = [points[0], *(b for a, b in itertools.pairwise(points) if math.dist(a, b) > 1e-6)]
        total = 0.0
        for a, b, c in zip(line, line[1:], line[2:], strict=False):
            one, two = [y - x for x, y in zip(a, b, strict=True)], [y - x for x, y in zip(b, c, strict=True)]
            dot = sum(x * y for x, y in zip(one, two, strict=True)) / (math.hypot(*one) * math.hypot(*two))
            total += math.acos(max(-1.0, min(1.0, dot)))
        assert sum(one.angle_rad for one in stretches_of(run)) == pytest.approx(total, abs=1e-5)
        length = sum(math.dist(a, b) for a, b in itertools.pairwise(line))
        assert sum(one.length_m for one in stretches_of(run)) == pytest.approx(length)


def test_no_go_between_stops_passes_the_limit() -> None:
    way = [Stretch(0.5, 0.0, math.pi / 2, f"H{number}") for number in range(8)]
    found = stops(way, 0.2, 0.4, 25.0)
    assert found
    cuts = [0, *(1 + [one.opening for one in way].index(name) for name in found), len(way)]
    for start, end in itertools.pairwise(cuts):
        assert pull_n(way[start:end], 0.2, 0.4) <= 25.0
    for start, end in itertools.pairwise(cuts[:-1]):
        assert pull_n(way[start : end + 1], 0.2, 0.4) > 25.0
    assert stops(way, 0.2, 0.4, 1e9) == ()


def test_weight_of_a_cable_is_at_least_its_copper(sample_plan: Plan) -> None:
    for run in sample_plan.runs:
        assert kg_per_m(run) >= run.cores * run.conductor_area_mm2 * 1e-6 * 8890.0  # IEC 60028: 8.89 g/cm3


def test_every_run_is_pulled_once_between_its_ends(sample_plan: Plan) -> None:
    pulls = [pull for loom in pull_order(sample_plan) for pull in loom.pulls]
    assert sorted(pull.run.id for pull in pulls) == sorted(run.id for run in sample_plan.runs)
    for pull in pulls:
        assert {pull.feed, pull.pull} == {pull.run.from_, pull.run.to}
        forward = pull.pull == pull.run.to
        assert pull.openings == (pull.run.openings if forward else pull.run.openings[::-1])


def test_the_easier_end_is_taken_where_nothing_else_decides(sample_plan: Plan) -> None:
    for run in sample_plan.runs:
        pull = run_pull(run)
        assert pull.dry_n <= pull.other_dry_n / 0.7 + 1e-9
        assert run_pull(run, run.from_).pull == run.from_
        assert run_pull(run, run.to).pull == run.to


def test_stiff_comes_before_thin_and_far_before_near(sample_plan: Plan) -> None:
    first = sample_plan.runs[0]

    def like(name: str, mm2: float, far_m: float, plug_mm: float = 0.0) -> PlanRun:
        return first.model_copy(
            update={
                "id": name,
                "loom": "",
                "conductor_area_mm2": mm2,
                "one_way_m": far_m,
                "plug_mm": plug_mm,
                "cores": 2,
            }
        )

    runs = (like("near", 1.5, 1.0), like("far", 1.5, 4.0), like("stiff", 35.0, 0.5), like("plug", 1.0, 2.0, 60.0))
    plan = sample_plan.model_copy(update={"runs": runs})
    assert [loom.pulls[0].run.id for loom in pull_order(plan)] == ["plug", "stiff", "far", "near"]


def test_plugs_beside_what_is_in_a_hole(sample_plan: Plan) -> None:
    """Two circles of 6 and 20 mm need a bore of 26 mm side by side."""
    run = sample_plan.runs[0].model_copy(update={"plug_mm": 20.0, "outside_mm": 6.0, "pieces": 1})
    hole = sample_plan.openings[0].model_copy(update={"clear_bore_mm": 26.0, "slot_length_mm": None, "taken_mm": 0.0})
    assert passes(hole, run, [run])
    assert not passes(hole.model_copy(update={"clear_bore_mm": 25.9}), run, [run])
    assert passes(hole.model_copy(update={"clear_bore_mm": 20.0}), run, [])
    assert not passes(hole.model_copy(update={"clear_bore_mm": 19.9, "slot_length_mm": 90.0}), run, [])


def test_a_plug_that_does_not_pass_is_said_with_what_to_do(sample_plan: Plan) -> None:
    run = next(
        one
        for one in sample_plan.runs
        if any(name == hole.id for name in one.openings for hole in sample_plan.openings)
    )
    wide = run.model_copy(update={"plug_mm": 500.0})
    plan = sample_plan.model_copy(update={"runs": (wide,)})
    tight = tight_plugs(plan, pull_order(plan))
    assert {one.opening for one in tight} <= set(run.openings)
    assert tight
    assert all(one.alone for one in tight)
    notes = " ".join(str(row) for row in pull_record(plan, Wishes()).rows)
    assert "take it off and fit it again behind the hole" in notes


def test_holes_that_ask_the_same_of_a_plug_share_one_sentence() -> None:
    tight = [
        TightPlug("D4", "L7e", ("spare-6", "D5"), False), TightPlug("D4", "L6d", ("spare-6", "D5"), False),
        TightPlug("D4", "L5d", ("D5",), False), TightPlug("D4", "L4e", (), True), TightPlug("D1", "L7b", (), True),
    ]  # fmt: skip
    several, one, never = remedies("D4", tight)
    assert several.startswith("its plug may not pass L7e, L6d beside spare-6, D5: ")
    assert one.startswith("its plug may not pass L5d beside D5: ")
    assert never.startswith("its plug does not pass L4e at all: ")
    assert remedies("D2", tight) == ()


def test_clips_take_as_long_as_the_looms_list_has_clips(sample_plan: Plan) -> None:
    loom = sample_plan.looms[0]
    cord = sample_plan.runs[0].model_copy(update={"id": "cord", "cores": 0, "purpose": "spare"})
    alone = loom.sections[-1].model_copy(update={"name": "left/9", "branch": 1, "runs": ("cord",)})
    plan = sample_plan.model_copy(
        update={
            "runs": (*sample_plan.runs, cord),
            "looms": (loom.model_copy(update={"sections": (*loom.sections, alone)}), *sample_plan.looms[1:]),
        }
    )
    assert clips_of(plan, plan.looms[0]) == clips_of(sample_plan, loom) == looms_record(plan).rows[0][11]
    (taping,) = (one for one in pull_steps(plan, Wishes().rates) if one.what == TAPE and one.loom == loom.id)
    assert taping.minutes == clips_of(plan, plan.looms[0]) * Wishes().rates.minutes_for("fix a clip").likely


def test_steps_say_bench_before_van_and_count_through(sample_plan: Plan) -> None:
    steps = pull_steps(sample_plan, Wishes().rates)
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    built: set[str] = set()
    for step in steps:
        if step.where == "bench":
            built.add(step.loom)
        elif step.loom in built:
            assert step.first.startswith("step")
    assert all(step.minutes > 0 for step in steps)
    rows = pull_record(sample_plan, Wishes()).rows
    assert [row[0] for row in rows] == [step.number for step in steps]


def test_no_loom_is_taped_before_its_cables_are_through_their_holes(sample_plan: Plan) -> None:
    steps = pull_steps(sample_plan, Wishes().rates)
    checked = 0
    for loom in {step.loom for step in steps if step.where == "bench"}:
        mine = [step for step in steps if step.loom == loom]
        pulls = [step for step in mine if step.pull is not None]
        taping = [step for step in mine if step.pull is None and "tape it" in step.what]
        assert len(taping) == 1
        if any(step.pull.openings for step in pulls if step.pull is not None):
            assert taping[0].number > max(step.number for step in pulls)
            assert taping[0].where == "van"
            assert "no tape yet" in mine[0].what
            shared = [
                one.name for one in next(x for x in sample_plan.looms if x.id == loom).sections if len(one.runs) > 1
            ]
            assert all(name in taping[0].notes[0] for name in shared)
            checked += 1
    assert checked


def test_a_loom_through_no_hole_is_taped_on_the_bench(sample_plan: Plan) -> None:
    plan = sample_plan.model_copy(
        update={"runs": tuple(run.model_copy(update={"openings": ()}) for run in sample_plan.runs)}
    )
    bench = [step for step in pull_steps(plan, Wishes().rates) if step.where == "bench"]
    assert bench
    assert all(step.what.endswith("tape it between breakouts") for step in bench)
    assert not [step for step in pull_steps(plan, Wishes().rates) if step.where == "van" and step.pull is None]


def test_the_hardest_go_is_the_greatest_of_the_parts() -> None:
    """Two bends in each go: 5 N times exp(0.4 pi) by the capstan formula; without stops, all six."""
    way = [Stretch(0.0, 0.0, math.pi / 2, name) for name in "ABCDEF"]
    assert hardest_go_n(way, ("B", "D"), 0.0, 0.4) == pytest.approx(5.0 * math.exp(0.4 * math.pi))
    assert hardest_go_n(way, ("D",), 0.0, 0.4) == pytest.approx(5.0 * math.exp(0.4 * 2 * math.pi))
    assert hardest_go_n(way, (), 0.0, 0.4) == pytest.approx(5.0 * math.exp(0.4 * 3 * math.pi))


def test_no_pull_is_printed_that_would_tear_the_cable(sample_plan: Plan) -> None:
    """A run with far more bends than its copper bears reads too hard, and no figure above what it may be is printed."""
    run = next(run for run in sample_plan.runs if run.cores and run.openings)
    thin = run.model_copy(update={"conductor_area_mm2": 0.05, "cores": 1})
    plan = sample_plan.model_copy(update={"runs": (thin,)})
    (row,) = [row for row in pull_record(plan, Wishes()).rows if run.id in str(row[4])]
    words = next(text for text in (" ".join(re.split(r"[^\w.]+", str(value))) for value in row) if "may be" in text)
    assert "too hard" in words
    limit = float(words.split()[-1])
    figures = [float(one) for one in re.findall(r"(?:dry|wet|turned|stops)\s([0-9.]+)", words)]
    assert all(one <= limit + 1.0 for one in figures)
    assert "by hand from bay to bay" in " ".join(str(value) for value in row)


def test_a_taped_run_is_not_reckoned_but_said(sample_plan: Plan) -> None:
    run = sample_plan.runs[0]
    legs = (run.legs[0].model_copy(update={"kind": "taped"}), *run.legs[1:])
    plan = sample_plan.model_copy(update={"runs": (run.model_copy(update={"legs": legs}),)})
    (row,) = [row for row in pull_record(plan, Wishes()).rows if run.id in str(row[4])]
    assert "known by tape only" in str(row)
    assert not any(isinstance(value, float) and value > 0 for value in row[10:16])


def test_the_other_end_is_named_only_where_it_is_easier_and_not_too_hard(sample_plan: Plan) -> None:
    run = next(one for one in sample_plan.runs if one.id == "fridge-1")
    pull = replace(run_pull(run), dry_n=40.0, wet_n=20.0, goes_n=40.0, limit_n=50.0, stops=())

    def lines(other_n: float, unit_n: float = 1.0) -> list[str]:
        return _pull_words(replace(pull, other_dry_n=other_n), unit_n).replace("\xa0", " ").split("\n")

    assert lines(39.0) == ["dry 40", "wet 20", "may be 50"]
    assert lines(30.0) == ["dry 40", "wet 20", "turned 30", "may be 50"]
    assert lines(300.0) == ["dry 40", "wet 20", "may be 50"]
    # NIST SP 811, B.8: 1 lbf = 4.448222 N, so 40, 20 and 50 N are 8.99, 4.50 and 11.24 lbf
    assert lines(300.0, 4.448222) == ["dry 9", "wet 5", "may be 11"]
