"""The demo projects: what a newcomer copies must be readable, complete, sound, and the same each time."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.comparison import lines_of
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.plan_file import save_plan
from ribway.models.project import Project
from ribway.router.audit.check import audit_plan
from ribway.router.planner import plan_project

PLAY_M = 0.00051
"""Plans are written to 0.1 mm; half of that for each of the up to ten numbers of one sum."""
NAMED = ("source on the right", "through the roof", "without the rear board", "AWG stock", "24 volts")


def real(plan: Plan) -> list[PlanRun]:
    """A plan's runs without spares."""
    return [run for run in plan.runs if run.purpose != "spare"]


def test_the_survey_van_is_a_whole_van(survey_project: Project, survey_plan: Plan) -> None:
    kinds = {device.kind for device in survey_project.devices}
    assert len(survey_project.devices) >= 28
    assert {"source", "board", "load", "outlet", "switch", "controller", "sensor", "inverter", "charger"} <= kinds
    assert len(real(survey_plan)) >= 35
    assert {"ac", "dc", "data"} <= {run.kind for run in real(survey_plan)}
    assert {circuit.pattern for circuit in survey_project.circuits} == {"home", "switched chain", "stated"}


def test_the_survey_van_has_a_second_board_on_a_feeder_of_its_own(survey_plan: Plan) -> None:
    (feeder,) = [run for run in real(survey_plan) if (run.from_, run.to) == ("board", "rear-board")]
    fed = [circuit for circuit in survey_plan.circuits if circuit.source == "rear-board"]
    assert feeder.purpose == "main"
    assert len(fed) >= 4
    assert feeder.design_a == pytest.approx(sum(circuit.design_a for circuit in fed), abs=0.01)


def test_the_survey_van_shows_what_a_project_can_say(survey_project: Project) -> None:
    vehicle = survey_project.vehicle
    assert len(vehicle.parameters) >= 2
    assert {way.kind for way in vehicle.ways} == {"over", "duct"}
    assert any("airbag" in keep_out.why for keep_out in vehicle.keep_outs)
    assert any(opening.taken for opening in vehicle.openings)
    assert any(opening.grommet for opening in vehicle.openings)
    assert {"measured", "blocked"} <= {opening.state for opening in vehicle.openings}
    assert any(run.via for run in survey_project.runs)
    assert any(run.avoid for run in survey_project.runs)


def test_the_survey_van_is_complete(survey_project: Project, survey_plan: Plan) -> None:
    assert survey_plan.complete
    assert [finding for finding in survey_plan.findings if finding.level == "error"] == []
    ends = {end for run in real(survey_plan) for end in (run.from_, run.to)}
    assert ends == {device.id for device in survey_project.devices}


def test_wishes_for_single_runs_are_kept(survey_project: Project, survey_plan: Plan) -> None:
    wishes = [entry for entry in survey_project.runs if entry.via or entry.avoid]
    assert wishes
    for wish in wishes:
        (run,) = [run for run in survey_plan.runs if (run.circuit, run.from_, run.to) == (wish.circuit, wish.a, wish.b)]
        passed = [name for name in run.openings if name in wish.via]
        assert tuple(passed) == wish.via
        assert not set(run.openings) & set(wish.avoid)


def test_the_audit_passes(survey_plan: Plan, inch_plan: Plan) -> None:
    for plan in (survey_plan, inch_plan):
        assert [finding for finding in audit_plan(plan) if finding.level == "error"] == []


def test_sizes_are_what_a_fitter_would_fit(survey_plan: Plan) -> None:
    """Common practice, no source: thin circuits mostly 1.5 to 2.5 mm2, and copper of a few kilograms in all."""
    area = {run.id: run.conductor_area_mm2 for run in real(survey_plan)}
    thin = [run for run in real(survey_plan) if run.kind == "dc" and run.purpose == "circuit"]
    usual = [run for run in thin if 1.0 <= run.conductor_area_mm2 <= 2.5]
    assert len(usual) > 0.6 * len(thin)
    assert 2.5 <= area["C1"] <= 4.0
    assert all(2.5 <= area[run] <= 4.0 for run in area if run.startswith("C2"))
    assert 10.0 <= area["M2"] <= 25.0
    assert 35.0 <= area["M3"] <= 70.0
    assert 3.0 <= survey_plan.totals.copper_kg <= 15.0


@pytest.mark.parametrize("which", ["survey_plan", "inch_plan"])
def test_the_lengths_of_every_run_stand_in_order(which: str, request: pytest.FixtureRequest) -> None:
    plan: Plan = request.getfixturevalue(which)
    assert plan.runs
    for run in plan.runs:
        assert run.straight_m <= run.taut_m + PLAY_M, run.id
        assert run.taut_m <= run.sharp_m + PLAY_M, run.id
        assert run.rounded_m <= run.sharp_m + PLAY_M, run.id
        assert run.cut_m >= run.sharp_m + run.slack_m + run.tail_a_m + run.tail_b_m - PLAY_M, run.id


@pytest.mark.parametrize("which", ["survey", "inch"])
def test_planning_twice_gives_the_same_bytes(which: str, request: pytest.FixtureRequest) -> None:
    project: Project = request.getfixturevalue(which)[0]
    first: Plan = request.getfixturevalue(f"{which}_plan")
    folder: Path = request.getfixturevalue("demo_folder")
    assert save_plan(plan_project(project, folder / f"{which}-van")) == save_plan(first)


def test_each_alternative_plans(
    survey: tuple[Project, dict[str, Project]], survey_alternatives: dict[str, Plan]
) -> None:
    assert len(survey[1]) >= 4
    assert set(NAMED) <= set(survey[1])
    for name, plan in survey_alternatives.items():
        assert plan.complete, name
        assert plan.alternative == name
        assert [finding.message for finding in plan.findings if finding.level == "error"] == [], name
        assert len(real(plan)) >= 35, name


def test_alternatives_do_what_their_names_say(survey_plan: Plan, survey_alternatives: dict[str, Plan]) -> None:
    right = {device.id: device.wall for device in survey_alternatives["source on the right"].devices}
    assert {right[name] for name in ("battery", "board", "inverter", "charger")} == {"right"}
    roof = survey_alternatives["through the roof"]
    assert any(leg.zone == "floor" for run in survey_plan.runs for leg in run.legs)
    assert not any(leg.zone == "floor" for run in roof.runs for leg in run.legs)
    assert "rear-board" not in {device.id for device in survey_alternatives["without the rear board"].devices}
    sizes = {run.size_name for run in real(survey_alternatives["AWG stock"]) if run.kind != "data"}
    assert sizes
    assert [size for size in sizes if "AWG" not in size] == []


def test_the_van_in_feet_and_inches_is_complete(inch: tuple[Project, dict[str, Project]], inch_plan: Plan) -> None:
    shop = inch[0].shop
    assert (shop.units, shop.stock) == ("feet and inches", "awg")
    assert inch_plan.complete
    assert all("'" in run.cut_feet_inches or '"' in run.cut_feet_inches for run in inch_plan.runs)
    assert all("AWG" in run.size_name for run in real(inch_plan))


def test_feet_and_inches_are_read_exactly(inch: tuple[Project, dict[str, Project]]) -> None:
    """4' 2 1/4" is 50.25 inches of 25.4 mm (international inch, 1959)."""
    (usb,) = [device for device in inch[0].devices if device.id == "usb"]
    assert usb.at.up == pytest.approx(50.25 * 0.0254, abs=1e-12)


def test_at_twice_the_volts_half_the_current_flows_and_less_copper_does(
    survey_plan: Plan, survey_alternatives: dict[str, Plan]
) -> None:
    """Watts are volts times amps: what drew 5 A at 12 V draws 2.5 A at 24 V. The papers compare the two."""
    double = survey_alternatives["24 volts"]
    assert (survey_plan.rules.volts, double.rules.volts) == (12.0, 24.0)
    amps = {run.id: run.design_a for run in real(survey_plan)}
    for run in real(double):
        if run.kind == "dc" and run.circuit != "M6":  # the panels in series have volts of their own
            assert run.design_a == pytest.approx(amps[run.id] / 2.0, abs=2e-3), run.id
    assert double.totals.copper_kg < survey_plan.totals.copper_kg
    lines = {line.name: line for line in lines_of([survey_plan, double])}
    assert (lines["base"].volts, lines["24 volts"].volts) == (12.0, 24.0)


def test_the_survey_vans_boards_have_ways_to_spare(survey_plan: Plan) -> None:
    boards = {board.id: board for board in survey_plan.boards}
    assert {name: (one.ways, one.used, one.spare) for name, one in boards.items()} == {
        "board": (12, 10, 2),
        "rear-board": (6, 5, 1),
    }


def test_every_fuse_of_the_survey_van_breaks_what_the_battery_drives(survey_plan: Plan) -> None:
    for circuit in survey_plan.circuits:
        if circuit.kind == "dc":
            assert circuit.short_near_a is not None, circuit.id
            assert circuit.fuse_breaks_a is not None, circuit.id
            # On the board blade fuses stand it behind the main fuse, as their maker says; all others by themselves.
            stands = max(circuit.fuse_breaks_a, circuit.fuse_backed_to_a or 0.0)
            assert circuit.short_near_a <= stands, circuit.id
            assert (circuit.fuse_backed_by == "M1") == (circuit.source == "board"), circuit.id
