"""What the terminal shows: the plan's own figures, in the shop's units, in 80 columns and without colour."""

from __future__ import annotations

import io
from collections.abc import Iterable
from typing import Any

import pytest
from rich.console import RenderableType

from ribway.comparison import comparison_csv, differences, lines_of
from ribway.comparison_tables import comparison_parts
from ribway.console import make_console
from ribway.explanation import UnknownNameError, explanation_parts
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.models.printed import Units, length, mass
from ribway.summary import findings_lines, summary_parts
from ribway.units import amps, carried_amps, percent, signed_length, signed_mass, volts


def shown(parts: Iterable[RenderableType], width: int = 80) -> str:
    text = io.StringIO()
    console = make_console(text, width)
    for part in parts:
        console.print(part)
    return text.getvalue()


def words(text: str) -> list[list[str]]:
    return [line.split() for line in text.splitlines()]


def other(plan: Plan, **changes: Any) -> Plan:
    return plan.model_copy(update=changes)


def test_units_are_rounded_to_the_safe_side() -> None:
    assert length(2.441, "metric") == "2.45 m"
    # 2.45 m = 96.4567 in, up to the next quarter: 96.5 in = 8' 1/2"
    assert length(2.45, "feet and inches") == "8' 0 1/2\""
    assert signed_length(-0.301, "metric") == "-0.31 m"
    assert mass(0.45359237, "feet and inches") == "1.00 lb"
    assert percent(2.41) == "2.5 %"
    assert percent(2.4) == "2.4 %"
    assert amps(5.001) == "5.01 A"
    assert carried_amps(16.329) == "16.3 A"
    assert carried_amps(103.9) == "103 A"
    assert volts(0.251) == "0.26 V"
    assert (amps(None), amps(0.0)) == ("-", "0 A")


def test_the_summary_shows_the_plans_figures(sample_plan: Plan) -> None:
    text = shown(summary_parts(sample_plan))
    lines = words(text)
    # Worked by hand in tests/models/test_sample_plan.py: 2.45 m cut, 1.5225 m one way, 3 bends.
    assert [
        "fridge-1",
        "Fuse",
        "board",
        "->",
        "Fridge",
        "2x2.5*",
        "1.53",
        "m",
        "2.45",
        "m",
        "3",
        "2.1",
        "%",
        "-",
    ] in lines
    assert any(line[:3] == ["Copper", "0.72", "kg"] for line in lines)
    assert any(line[0:1] == ["fridge"] and "7.5" in line for line in lines)
    assert "Take care (1)" in text
    assert "NOT READY" not in text


def test_draw_cords_are_counted_apart_from_cable(sample_plan: Plan) -> None:
    apart = other(sample_plan, totals=sample_plan.totals.model_copy(update={"cable_m": 9.3, "draw_cord_m": 2.441}))
    sums = [line for line in words(shown(summary_parts(apart))) if {"cut", "lengths"} <= set(line)]
    assert [line[-5:] for line in sums] == [
        ["Cable,", "cut", "lengths", "9.30", "m"],
        ["Draw", "cord,", "cut", "lengths", "2.45", "m"][-5:],
    ]
    (row,) = [line for line in words(shown(comparison_parts((apart,)))) if line[:2] == ["base", "9.30"]]
    assert row[1:5] == ["9.30", "m", "2.45", "m"]


def test_it_fits_80_columns_and_says_the_same_wider(sample_plan: Plan) -> None:
    narrow, wide = shown(summary_parts(sample_plan)), shown(summary_parts(sample_plan), 160)
    assert max(len(line) for line in narrow.splitlines()) <= 80
    assert "…" not in narrow
    assert "\x1b" not in narrow
    assert sorted(narrow.replace("─", "").split()) == sorted(wide.replace("─", "").split())


def test_feet_and_inches_where_the_shop_wants_them(sample_plan: Plan) -> None:
    rules = sample_plan.rules.model_copy(update={"units": "feet and inches"})
    text = shown(summary_parts(other(sample_plan, rules=rules)), 120)
    assert "8' 0 1/2\"" in text
    assert " kg" not in text
    # 0.00896 kg/m/mm2 x (2.45 x 5 + 1.6 x 32 + 2.45 x 4.5 + 2.8 x 2) m mm2 = 0.7175 kg
    assert "1.59 lb" in text


def test_a_plan_that_is_not_complete_says_so_first(sample_plan: Plan) -> None:
    assert "NOT READY" in shown(summary_parts(other(sample_plan, complete=False))).splitlines()[1]


def test_names_are_text_not_markup_and_steer_no_terminal(sample_plan: Plan) -> None:
    text = shown(summary_parts(other(sample_plan, name="van [red]7[/red] :smile: \x1b[2Jx")))
    assert text.startswith("van [red]7[/red] :smile:  [2Jx, revision A")


def finding(level: Any, code: str, about: str) -> Finding:
    return Finding(level=level, code=code, about=about, message="it is so", remedy="do this")


def test_findings_are_grouped_errors_first_and_errors_never_shortened() -> None:
    notes = [finding("note", "n", f"N{i}") for i in range(9)]
    errors = [finding("error", "e", f"E{i}") for i in range(9)]
    text = shown(findings_lines((*notes, *errors)))
    assert text.index("Not safe (9)") < text.index("To know (9)")
    assert [f"E{i}: it is so: do this" in text for i in range(9)] == [True] * 9
    assert "N2: it is so: do this" in text
    assert "and 6 more of this kind: N3, N4, N5, N6, N7, N8" in text


def test_a_length_is_explained_line_by_line(sample_plan: Plan) -> None:
    lines = words(shown(explanation_parts(sample_plan, "fridge-1")))
    reckoning = lines[lines.index(["Cut", "length"]) :]
    values = {
        " ".join(line[:-2]): float(line[-2]) for line in reckoning if line[-1:] == ["m"] and line[0] != "straight"
    }
    assert values.pop("cut") == 2.45
    parts = ["stub board", "bay left-1", "opening L1a", "bay left-2", "stub fridge", "slack 5 %", "tail at board",
             "tail at fridge", "rounded up to 0.05 m"]  # fmt: skip
    assert [values[part] for part in parts] == [0.075, 0.495, 0.01, 0.795, 0.075, 0.073, 0.6, 0.3, 0.028]
    assert sum(values[part] for part in parts) == pytest.approx(2.45, abs=0.002)


def test_a_size_is_explained_with_its_margins(sample_plan: Plan) -> None:
    text = shown(explanation_parts(sample_plan, "fridge-1"))
    run = next(run for run in sample_plan.runs if run.id == "fridge-1")
    assert run.drop_limit_percent is not None
    assert ["left", f"{run.drop_limit_percent - run.drop_percent:.2f}", "%"] in words(text)
    assert ["left", "8.83", "A"] in words(text)  # 20 A x 0.8165 (NEC 310.15(B)) less the 7.5 A fuse
    assert ["decided", "by", "drop"] in words(text)


def test_a_margin_that_is_none_is_said(sample_plan: Plan) -> None:
    runs = [run.model_copy(update={"drop_percent": 3.5}) if run.id == "fridge-1" else run for run in sample_plan.runs]
    assert "none: 0.50 % beyond the limit" in shown(explanation_parts(other(sample_plan, runs=tuple(runs)), "fridge-1"))


def test_a_circuit_is_explained(sample_plan: Plan) -> None:
    lines = words(shown(explanation_parts(sample_plan, "fridge")))
    assert ["fuse", "7.5", "A,", "chosen"] in lines
    assert ["at", "least", "6.25", "A"] in [line[:4] for line in lines]
    assert ["at", "most", "16.3", "A"] in [line[:4] for line in lines]


def test_a_run_without_a_route_is_explained_by_its_findings(sample_plan: Plan) -> None:
    left = tuple(run for run in sample_plan.runs if run.id != "fridge-1")
    plan = other(sample_plan, runs=left, findings=(finding("error", "no-route", "fridge-1"),), complete=False)
    text = shown(explanation_parts(plan, "fridge-1"))
    assert "Run fridge-1 has no route." in text
    assert "fridge-1: it is so: do this" in text
    assert "without a route: fridge-1" in shown(explanation_parts(plan, "fridge"))


def test_an_unknown_name_is_refused_with_the_nearest(sample_plan: Plan) -> None:
    with pytest.raises(UnknownNameError, match=r"did you mean fridge-1\?"):
        list(explanation_parts(sample_plan, "frige-1"))


def test_plans_are_compared_by_copper_unfinished_ones_last(sample_plan: Plan) -> None:
    def variant(name: str, kg: float, complete: bool = True) -> Plan:
        totals = sample_plan.totals.model_copy(update={"copper_kg": kg})
        return other(sample_plan, alternative=name, totals=totals, complete=complete)

    plans = [sample_plan, variant("light", 0.5), variant("heavy", 0.9), variant("half", 0.1, complete=False)]
    assert [line.name for line in lines_of(plans)] == ["light", "base", "heavy", "half"]
    table = comparison_csv(lines_of(plans)).splitlines()
    assert table[0].startswith("name,complete,copper_kg,mains_kg")
    assert table[1].startswith("light,yes,0.5,")
    assert table[4].startswith("half,no,0.1,")
    text = shown(comparison_parts(plans))
    assert "half (NOT" in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_less_copper_with_aluminium_besides_is_told(sample_plan: Plan) -> None:
    totals = sample_plan.totals.model_copy(update={"copper_kg": 0.1, "other_metal_kg": 0.7})
    clad = other(sample_plan, alternative="clad", totals=totals)
    assert "clad has 0.70 kg of aluminium" in " ".join(shown(comparison_parts([sample_plan, clad])).split())
    assert "aluminium" not in shown(comparison_parts([sample_plan]))
    assert comparison_csv(lines_of([clad])).splitlines()[0].endswith(",other_metal_kg")


def test_a_difference_of_masses_is_never_told_better_than_it_is() -> None:
    cases: list[tuple[float, Units, str]] = [
        (0.301, "metric", "+0.31 kg"),
        (-0.309, "metric", "-0.30 kg"),
        (-0.004, "metric", "0.00 kg"),
        (1e-12, "metric", "0.00 kg"),
        (0.0, "metric", "0.00 kg"),
        (-0.30, "feet and inches", "-0.66 lb"),
    ]
    for kg, units, said in cases:
        assert signed_mass(kg, units) == said


def test_the_heaviest_differences_come_first_and_all_only_if_asked(sample_plan: Plan) -> None:
    heavier = [
        run.model_copy(update={"id": f"more-{n}", "to": f"lamp-{n}", "copper_kg": 0.1 * n})
        for n, run in enumerate([sample_plan.runs[0]] * 9, 1)
    ]
    plans = [sample_plan, other(sample_plan, runs=(*sample_plan.runs, *heavier), alternative="nine more")]
    said = " ".join(shown(comparison_parts(plans)).split())
    assert [f"more-{n}: only here" in said for n in range(1, 10)] == [n > 3 for n in range(1, 10)]
    assert said.index("more-9:") < said.index("more-4:")
    assert "and 3 more runs, +0.60 kg of copper in all: --runs shows each" in said
    every = " ".join(shown(comparison_parts(plans, every_run=True)).split())
    assert all(f"more-{n}: only here" in every for n in range(1, 10))
    assert "--runs" not in every


def test_differences_name_route_length_and_size(sample_plan: Plan) -> None:
    fridge, main, outlet, report = sample_plan.runs
    changed = fridge.model_copy(update={"openings": (), "cut_m": fridge.cut_m + 0.3, "cable": "flat-2x16"})
    new = outlet.model_copy(update={"id": "outlet-2"})
    found = differences(sample_plan, other(sample_plan, runs=(changed, main, new, report), alternative="x"))
    assert [(difference.run, difference.what) for difference in found] == [
        ("fridge-1", "through no opening instead of through L1a; cut +0.30 m; 2x16 instead of 2x2.5"),
        # the same way in the same circuit: the same run by another name
        ("outlet-2", "called outlet-1 in the base"),
    ]
    (first, _) = found
    assert (first.moved, first.resized, first.only_one) == (True, True, False)
    assert first.cut_m == pytest.approx(0.3)
    assert differences(sample_plan, sample_plan) == ()
