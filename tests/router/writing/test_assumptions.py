"""What a real plan says it rests on: shared rows and lines, stated errors, confirmed plates."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.models.reading import check_data
from ribway.models.tape import RIB_ERROR_M, TAPE_ERROR_M
from ribway.router.planner import plan_project
from ribway.router.writing.assumptions import write_assumptions
from ribway.router.writing.body_lines import PRESET_ERROR_M
from ribway.router.writing.chance import with_chances
from ribway.router.writing.survey import ROW_ERROR_M, surveys
from samples.small_lab import SMALL


def project(**changes: Any) -> Project:
    raw = copy.deepcopy(SMALL)
    raw.update(changes)
    return check_data(raw).base


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_project(project(), Path())


def test_every_hole_in_use_and_every_plate_is_listed(plan: Plan) -> None:
    open_ = {(one.whose, one.about) for one in plan.assumptions if not one.confirmed}
    assert {about for whose, about in open_ if whose == "opening"} == {
        one.id for one in plan.openings if one.runs and one.state == "assumed"
    }
    assert {about for whose, about in open_ if whose == "device"} == {"fridge", "lamp", "radio"}
    assert {about for whose, about in open_ if whose == "cable"} == {one.id for one in plan.cables if one.assumed}


def test_what_was_read_off_the_van_is_confirmed(plan: Plan) -> None:
    """The small lab gives its length, its ribs, and that it has neither door nor arch; all else is the preset's."""
    lines = {one.what: one for one in plan.assumptions if one.whose == "shell"}
    assert {what for what, one in lines.items() if one.confirmed} == {
        "from the datum to the rear sill", "rib centres along the left wall", "rib centres along the right wall",
        "side door: its side, front and rear edge", "wheel arch: its front edge, length and height",
    }  # fmt: skip
    assert lines["from the datum to the rear sill"].value == "1.70 m"
    assert lines["width at the floor"].source == "preset short-high"


def test_errors_are_those_of_how_it_was_read(plan: Plan) -> None:
    """Ribs and places of devices by the tape; heights, widths and rows of holes by the preset."""
    known = [one.measurement for one in surveys(project(), plan.openings, plan.ways, plan.devices)]

    def errors(start: str) -> set[float]:
        return {one.error_m for one in known if one.id.startswith(start)}

    assert errors("member L") | errors("member R") == {RIB_ERROR_M}
    assert errors("rib row") == {ROW_ERROR_M}
    assert errors("line ") == {PRESET_ERROR_M}
    assert errors("device ") == {TAPE_ERROR_M}
    assert all(one.after_m <= one.error_m for one in known)


def test_one_row_of_the_preset_moves_its_holes_in_all_ribs(plan: Plan) -> None:
    for one in surveys(project(), plan.openings, plan.ways, plan.devices):
        if one.measurement.id.startswith("rib row"):
            (moves,) = one.measurement.moves
            heights = [hole.up_m for hole in plan.openings if f"way {hole.id}" in moves]
            assert max(heights) - min(heights) < 0.01
            assert set(moves.values()) == {(0.0, 0.0, ROW_ERROR_M)}


def test_a_shared_line_moves_all_runs_that_cross_it(plan: Plan) -> None:
    """The lamp on the roof is reached over the roof edge: its height bears on that run, and on none that stays below."""
    high = {run.id for run in plan.runs if any(name[1] == "E" for name in run.openings)}
    moved = {run.id for run in plan.runs if any(one.measurement == "line roof_edge_height" for one in run.errors)}
    assert high
    assert moved == high


def test_a_measured_hole_rests_on_its_own_reading_alone(plan: Plan) -> None:
    used = next(one for one in plan.openings if one.runs and one.member[-1:].isdigit() and one.wall == "left")
    openings = tuple(
        one.model_copy(update={"state": "measured"}) if one.id == used.id else one for one in plan.openings
    )
    found = surveys(project(), openings, plan.ways, plan.devices)
    bearing = [one for one in found if any(f"way {used.id}" in moves for moves in one.measurement.moves)]
    assert [(one.about, one.measurement.error_m) for one in bearing if one.whose == "opening"] == [
        (used.id, RIB_ERROR_M)
    ]
    assert not [one for one in bearing if one.measurement.id.startswith(("member", "rib row"))]
    before = surveys(project(), plan.openings, plan.ways, plan.devices)
    assert [one for one in before if one.about == used.member and f"way {used.id}" in one.measurement.moves[0]]


def test_a_confirmed_plate_is_listed_as_read(plan: Plan) -> None:
    raw = copy.deepcopy(SMALL["devices"])
    raw[2]["confirmed"] = True
    devices = tuple(one.model_copy(update={"confirmed": True}) if one.id == "fridge" else one for one in plan.devices)
    found = write_assumptions(project(devices=raw), plan.openings, devices, plan.cables)
    said = [one for one in found if one.about == "fridge" and one.key == "amps"]
    assert [(one.confirmed, one.source, one.value) for one in said] == [(True, "read off the plate", "5 A")]


def test_a_rough_place_makes_its_runs_likelier_to_be_short(plan: Plan) -> None:
    """What the sheet would say of a rough place: 0.9 m, of which a reading leaves 5 mm."""
    rough = project(
        assumed=[{"about": "fridge", "what": "place", "value": "right", "source": "roughly, right", "error": "0.9 m"}]
    )
    runs, measurements = with_chances(rough, plan.runs, plan.openings, plan.ways, plan.devices)
    assert {run.short_chance for run in plan.runs} == {0.0}
    assert {run.id for run in runs if run.short_chance > 0.0} == {
        run.id for run in runs if "fridge" in (run.from_, run.to)
    }
    assert measurements[0].about == "fridge"
    assert measurements[0].gain == pytest.approx(sum(run.short_chance for run in runs), abs=1e-6)
    said = write_assumptions(rough, plan.openings, plan.devices, plan.cables)
    assert [one.error_m for one in said if one.key == "place"] == [0.9]
