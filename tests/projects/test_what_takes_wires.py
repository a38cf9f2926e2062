"""Tabs and clamp screws at devices: what goes on each wire, on every paper that says so, and words for what does not go."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from importlib.resources import files
from typing import Any, get_args

import pytest

from ribway.models.gauges import awg_area_mm2
from ribway.models.plan.plan import Plan
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_data
from ribway.models.terminals import FERRULES_MM2, Takes, on_the_wire, terminals
from ribway.sheets.buying.parts import parts
from ribway.sheets.labels.ends import labels_record
from ribway.sheets.lugs_list import lugs_record
from ribway.sheets.terminals import ASK, terminal_at
from ribway.sheets.terminals_list import crimped_record, terminals_record
from ribway.sheets.wire_list import wire_list

Raw = dict[str, Any]


@pytest.fixture(scope="module")
def plan(plan_it: Callable[[Raw], Plan]) -> Plan:
    """The small van: board with a stud for its feed and tabs for its ways, fridge with tabs, lamp with clamps, radio unsaid."""
    import copy

    from samples.small_lab import SMALL

    raw = copy.deepcopy(SMALL)
    said = {
        "battery": {"stud": "M8"},
        "board": {"stud": "M6", "takes": "tab 6.3 mm"},
        "fridge": {"takes": "tab 0.250 in"},
        "lamp": {"takes": "screw clamp"},
    }
    for device in raw["devices"]:
        device.update(said.get(device["id"], {}))
    return plan_it(raw)


def test_each_end_says_what_goes_on_its_wires(plan: Plan) -> None:
    runs = {run.id: run for run in plan.runs}
    ends = {run.id: (terminal_at(plan, run, run.from_), terminal_at(plan, run, run.to)) for run in plan.runs}
    lamp = min(size for size in FERRULES_MM2 if size >= runs["C2"].conductor_area_mm2)
    assert ends["main"] == ("ring lug M8", "ring lug M6"), "the board's feed goes on its stud"
    assert ends["C1"] == ("push-on 6.3 mm", "push-on 6.3 mm"), "0.250 in is 6.35 mm: the tab that is called 6.3 mm"
    assert ends["C2"] == ("push-on 6.3 mm", f"ferrule {lamp:g} mm²")
    assert ends["C3"] == ("push-on 6.3 mm", ASK)


def test_every_paper_says_the_same(plan: Plan) -> None:
    wires = {row[0]: row for row in wire_list(plan).rows}
    labels = labels_record(plan)
    column = [field.key for field in labels.fields].index("terminal")
    for run in plan.runs:
        said = (terminal_at(plan, run, run.from_), terminal_at(plan, run, run.to))
        assert [cell.replace("\xa0", " ").split("\n")[-1] for cell in wires[run.id][1:3]] == list(said)
        mine = {row[1]: row[column] for row in labels.rows if str(row[0]).split(" ")[0] == run.id}
        assert mine == {"A": said[0], "B": said[1]}
    crimped = {(row[0], row[1]): row[2] for row in crimped_record(plan).rows}
    assert sum(int(count or 0) for count in crimped.values()) == 2 * 3 + 2 + 2, (
        "two wires at each of 3 ways, fridge and lamp"
    )
    assert [(row[0], row[3]) for row in terminals_record(plan).rows] == [("Radio", 2)]
    assert {row[1] for row in lugs_record(plan).rows} == {"M8", "M6"}
    bought = {(one.what, one.size): one.amount for one in parts(plan) if one.part == "terminal"}
    assert sum(amount for (what, _), amount in bought.items() if what == "push-on terminals") == 8
    assert sum(amount for (what, _), amount in bought.items() if what == "ferrules") == 2
    assert sum(amount for (what, _), amount in bought.items() if what == "crimped terminals") == 2


def test_an_inch_shop_reads_the_tab_in_inches(plan: Plan) -> None:
    inch = plan.model_copy(update={"rules": plan.rules.model_copy(update={"units": "feet and inches"})})
    run = next(run for run in inch.runs if run.id == "C1")
    assert terminal_at(inch, run, "fridge") == "push-on 0.250 in"


@pytest.mark.parametrize(
    ("takes", "area_mm2", "said"),
    [
        ("screw clamp", 2.5, "ferrule 2.5 mm2"),
        ("screw clamp", awg_area_mm2(14), "ferrule 2.5 mm2"),  # ASTM B258: 2.08 mm2
        ("tab 4.8 mm", 2.5, "push-on 4.8 mm"),
        ("tab 2.8 mm", 4.0, ""),
        ("screw clamp", 70.0, ""),
    ],
)
def test_no_terminal_is_named_for_a_wire_too_thick_for_it(takes: str, area_mm2: float, said: str) -> None:
    assert on_the_wire(takes, area_mm2, "metric") == said


def test_a_wire_too_thick_is_asked_for_and_no_part_is_named(plan: Plan) -> None:
    devices = tuple(
        one.model_copy(update={"takes": "tab 2.8 mm"}) if one.id == "fridge" else one for one in plan.devices
    )
    runs = tuple(run.model_copy(update={"conductor_area_mm2": 6.0}) if run.id == "C1" else run for run in plan.runs)
    thick = plan.model_copy(update={"devices": devices, "runs": runs})
    run = next(run for run in thick.runs if run.id == "C1")
    assert terminal_at(thick, run, "fridge") == "wire too thick for tab 2.8 mm: ask"
    (asked,) = (one for one in parts(thick) if one.what == "crimped terminals" and "C1" in one.where)
    assert asked.amount == 2 + (2 if "C3" in asked.where else 0)


def test_terminals_have_their_sources_and_tabs_their_inches() -> None:
    """IEC 61210 names its tabs in millimetres; by the inch (25.4 mm) they are 0.110, 0.187 and 0.250."""
    text = files("ribway.models.catalogue").joinpath("terminals.csv").read_text(encoding="utf-8")
    for row in csv.DictReader(text.splitlines()):
        assert "IEC 61210" in row["source"] or "DIN 46228" in row["source"]
        if row["also"]:
            wide_mm, wide_in = float(row["takes"].split()[1]), float(row["also"].split()[1])
            assert math.isclose(25.4 * wide_in, wide_mm, abs_tol=0.06)
    assert set(get_args(Takes)) == set(terminals())


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"takes": "tab 5 mm"}, ("devices / ", "takes", "tab 5 mm", "tab 4.8 mm")),
        ({"takes": "screw clamp", "stud": "M5"}, ("give stud or takes, not both", "board")),
    ],
)
def test_what_does_not_go_is_refused_in_words(said: Raw, words: tuple[str, ...], small: Raw) -> None:
    next(one for one in small["devices"] if one["id"] == "fridge").update(said)
    with pytest.raises(ProjectFaults) as refused:
        check_data(small)
    for word in words:
        assert word in str(refused.value)
