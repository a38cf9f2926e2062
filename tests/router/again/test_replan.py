"""Planning again: as good as planning from nothing, and nothing moves that the change does not touch."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from small_vans import shell, small_project

from ribway.models.loom_wishes import LoomWishes
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.project import Project
from ribway.router.again.replan import Planned, again, finished, start_on
from ribway.router.audit.check import audit_plan
from ribway.router.faults import RouterFaults
from ribway.router.planner import audited, plan_on
from ribway.router.shell.parts import Shell

SEEDS = range(4)
COPPER_KG = 0.05
"""How much more copper held routes may take on these vans of 1 to 2 kg; no more than what one run in the next size takes."""


@pytest.fixture(scope="module")
def metal() -> Shell:
    return shell()


@pytest.fixture(scope="module")
def first(metal: Shell) -> dict[int, Planned]:
    return {seed: start_on(small_project(seed), metal) for seed in SEEDS}


def moved(project: Project, device: str, **where: Any) -> Project:
    """The project with one device at another place."""
    devices = (
        one.model_copy(update={"at": one.at.model_copy(update=where)}) if one.id == device else one
        for one in project.devices
    )
    return project.model_copy(update={"devices": tuple(devices)})


def some_move(project: Project, seed: int) -> tuple[str, Project]:
    """A load somewhere else on its wall, well inside a bay."""
    rng = random.Random(1000 + seed)
    name = rng.choice(("fridge", "pump", "usb", "heater", "socket"))
    return name, moved(project, name, back=0.3 + 0.6 * rng.randrange(5), up=round(rng.uniform(0.1, 1.4), 3))


def errors(plan: Plan) -> list[str]:
    return [f"{one.code} {one.about}" for one in audit_plan(plan) if one.level == "error"]


def untouched(plan: Plan, device: str) -> dict[str, PlanRun]:
    return {run.id: run for run in plan.runs if device not in (run.from_, run.to) and run.purpose != "spare"}


@pytest.mark.parametrize("seed", SEEDS)
def test_the_first_plan_is_the_plan(first: dict[int, Planned], metal: Shell, seed: int) -> None:
    assert first[seed].plan == audited(plan_on(small_project(seed), metal))
    assert first[seed].finished


@pytest.mark.parametrize("seed", SEEDS)
def test_moving_one_device_moves_no_other_run(first: dict[int, Planned], seed: int) -> None:
    device, project = some_move(first[seed].project, seed)
    plan = again(first[seed], project).plan
    before, after = untouched(first[seed].plan, device), untouched(plan, device)
    assert before.keys() == after.keys()
    for name, run in before.items():
        assert after[name].openings == run.openings
        assert after[name].sharp_m == run.sharp_m


@pytest.mark.parametrize("seed", SEEDS)
def test_it_passes_its_audit_and_lists_what_changed(first: dict[int, Planned], seed: int) -> None:
    device, project = some_move(first[seed].project, seed)
    quick = again(first[seed], project)
    assert not quick.finished
    assert quick.plan.bound is None
    assert quick.differences.words == (f"device {device} moved",)
    whole = finished(quick)
    assert whole.finished
    assert whole.plan.bound is not None
    assert errors(whole.plan) == []
    assert quick.plan.runs == whole.plan.runs, "the bound and the audit change no run"
    said = {one.run for one in quick.changed}
    before, after = (
        {run.id: (run.cut_m, run.cable, run.openings) for run in p.runs} for p in (first[seed].plan, quick.plan)
    )
    assert said == {name for name in before.keys() | after.keys() if before.get(name) != after.get(name)}
    assert any(device in (run.from_, run.to) for run in quick.plan.runs if run.id in said)


@pytest.mark.parametrize("seed", SEEDS)
def test_its_network_is_the_one_made_from_nothing(first: dict[int, Planned], metal: Shell, seed: int) -> None:
    _, project = some_move(first[seed].project, seed)
    warm, cold = again(first[seed], project).planning.network, start_on(project, metal).planning.network
    for name in ("indptr", "source", "target", "length", "turns", "bay", "first", "last"):
        np.testing.assert_array_equal(getattr(warm, name), getattr(cold, name))


@pytest.mark.parametrize("seed", SEEDS)
def test_all_routes_anew_is_the_cold_plan(first: dict[int, Planned], metal: Shell, seed: int) -> None:
    """With no amount too small to plan anew for, memory or not makes no difference, to the last digit."""
    _, project = some_move(first[seed].project, seed)
    free = again(first[seed], project, keep_unless_saves_kg=-math.inf)
    assert "saves" in free.cold
    assert finished(free).plan == audited(plan_on(project, metal))


@pytest.mark.parametrize("seed", SEEDS)
def test_held_routes_cost_little_and_what_pays_is_taken(first: dict[int, Planned], metal: Shell, seed: int) -> None:
    _, project = some_move(first[seed].project, seed)
    cold = plan_on(project, metal).totals.copper_kg
    held = again(first[seed], project).plan.totals.copper_kg
    assert held <= cold + COPPER_KG
    either = again(first[seed], project, keep_unless_saves_kg=0.0)
    assert either.saves_kg == pytest.approx(held - cold, abs=1e-4)
    assert either.plan.totals.copper_kg <= min(held, cold) + 1e-9
    kept = again(first[seed], project, keep_unless_saves_kg=max(0.0, held - cold) + 0.001)
    assert (kept.cold, kept.plan.totals.copper_kg) == ("", held)


@pytest.mark.parametrize("seed", SEEDS)
def test_away_and_back_is_the_same_plan(first: dict[int, Planned], seed: int) -> None:
    _, project = some_move(first[seed].project, seed)
    away = again(first[seed], project)
    back = again(away, first[seed].project)
    assert finished(back).plan == first[seed].plan
    assert {one.run for one in back.changed} == {one.run for one in away.changed}
    assert [one.before for one in back.changed] == [one.after for one in away.changed]


@pytest.mark.parametrize("seed", SEEDS)
def test_away_and_back_ends_at_the_same_cables_even_if_forgotten(first: dict[int, Planned], seed: int) -> None:
    """Draw cords weigh nothing and stay where they gave way to a cable."""
    _, project = some_move(first[seed].project, seed)
    back = again(replace(again(first[seed], project), earlier=()), first[seed].project)
    cables = [[run for run in plan.runs if run.purpose != "spare"] for plan in (back.plan, first[seed].plan)]
    assert [(run.id, run.openings, run.cut_m, run.cable) for run in cables[0]] == [
        (run.id, run.openings, run.cut_m, run.cable) for run in cables[1]
    ]


def test_the_same_project_changes_nothing(first: dict[int, Planned]) -> None:
    same = again(first[0], first[0].project.model_copy())
    assert same.changed == ()
    assert same.plan is first[0].plan


@pytest.mark.parametrize("seed", range(2))
def test_a_long_sitting_ends_in_a_sound_plan(first: dict[int, Planned], seed: int) -> None:
    now = first[seed]
    for step in range(6):
        _, project = some_move(now.project, 10 * seed + step)
        now = again(now, project)
        assert errors(now.plan) == []
    assert len(now.earlier) == 6
    assert all(one.earlier == () for one in now.earlier)


def _more_current(project: Project) -> Project:
    devices = (
        one.model_copy(update={"amps": 18.0, "start_amps": 18.0}) if one.id == "heater" else one
        for one in project.devices
    )
    return project.model_copy(update={"devices": tuple(devices)})


def _without_usb(project: Project) -> Project:
    devices = tuple(one for one in project.devices if one.id != "usb")
    return project.model_copy(
        update={"devices": devices, "circuits": tuple(c for c in project.circuits if c.id != "C3")}
    )


def _another_lamp(project: Project) -> Project:
    lamp = next(one for one in project.devices if one.id == "fridge").model_copy(
        update={"id": "cooler", "name": "cooler"}
    )
    lamp = lamp.model_copy(update={"at": lamp.at.model_copy(update={"back": 1.5, "up": 1.0})})
    circuit = next(one for one in project.circuits if one.id == "C4")
    circuit = circuit.model_copy(update={"id": "C9", "name": "Cooler", "loads": ("cooler",)})
    return project.model_copy(update={"devices": (lamp, *project.devices), "circuits": (circuit, *project.circuits)})


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (_more_current, "device heater changed"),
        (_without_usb, "device usb removed"),
        (_another_lamp, "device cooler added"),
    ],
)
@pytest.mark.parametrize("seed", range(2))
def test_other_small_changes(first: dict[int, Planned], metal: Shell, seed: int, change: Any, words: str) -> None:
    project = change(first[seed].project)
    warm = again(first[seed], project)
    assert words in warm.differences.words
    assert warm.cold == ""
    assert errors(finished(warm).plan) == []
    cold = plan_on(project, metal)
    assert {run.id for run in warm.plan.runs} == {run.id for run in cold.runs}
    assert warm.plan.totals.copper_kg <= cold.totals.copper_kg + COPPER_KG
    assert again(first[seed], project, -math.inf).plan.runs == cold.runs


def _with_vehicle(project: Project, **more: Any) -> Project:
    data = project.vehicle.model_dump(by_alias=True, exclude_unset=True)
    vehicle = type(project.vehicle).model_validate({**data, **more}, context={"si": True})
    return project.model_copy(update={"vehicle": vehicle})


@pytest.mark.parametrize("seed", range(2))
def test_a_blocked_opening_is_left_by_all(first: dict[int, Planned], metal: Shell, seed: int) -> None:
    busiest = max(first[seed].plan.openings, key=lambda one: (len(one.runs), one.id))
    project = _with_vehicle(first[seed].project, openings=[{"name": busiest.id, "state": "blocked"}])
    warm = again(first[seed], project)
    assert warm.differences.words == (f"opening {busiest.id} added",)
    assert all(busiest.id not in run.openings for run in warm.plan.runs)
    assert errors(finished(warm).plan) == []
    assert {one.run for one in warm.changed if "rerouted" in one.kinds} >= set(busiest.runs)
    assert again(first[seed], project, -math.inf).plan.runs == plan_on(project, metal).runs


@pytest.mark.parametrize("seed", range(2))
def test_a_keep_out_is_gone_round(first: dict[int, Planned], metal: Shell, seed: int) -> None:
    holes = [one for one in first[seed].plan.openings if one.wall == "left" and one.member.startswith("L")]
    busy = max(holes, key=lambda one: (len(one.runs), one.id))
    corner, opposite = ({"wall": "left", "back": busy.back_m + off, "up": busy.up_m + off} for off in (-0.04, 0.04))
    bag = {"name": "bag", "why": "airbag", "corner": corner, "opposite": opposite}
    project = _with_vehicle(first[seed].project, keep_outs=[bag])
    warm = again(first[seed], project)
    assert warm.differences.words == ("keep-out bag added",)
    assert all(busy.id not in run.openings for run in warm.plan.runs)
    assert errors(finished(warm).plan) == []
    assert again(first[seed], project, -math.inf).plan.runs == plan_on(project, metal).runs


def test_other_rules_are_planned_from_nothing(first: dict[int, Planned], metal: Shell) -> None:
    shop = first[0].project.shop.model_copy(update={"slack": 10.0})
    project = first[0].project.model_copy(update={"shop": shop})
    found = again(first[0], project)
    assert found.cold == "the workshop's rules changed"


def test_a_place_that_is_none_is_refused_and_the_plan_in_hand_stays(first: dict[int, Planned]) -> None:
    with pytest.raises(RouterFaults, match="devices / fridge / at"):
        again(first[0], moved(first[0].project, "fridge", back=40.0))
    assert again(first[0], first[0].project).plan is first[0].plan


def test_looms_asked_for_by_hand_are_taken_up(first: dict[int, Planned]) -> None:
    """Two cables of one loom are asked apart: routes stay, the loom is parted, and taking the wish back joins it again."""
    before = first[0]
    one, other = next(
        loom.runs[:2] for loom in before.plan.looms if sum(bool(take(before, run).cores) for run in loom.runs[:2]) == 2
    )
    asked = before.project.model_copy(update={"looms": LoomWishes(apart=((one, other),))})
    warm = again(before, asked)
    assert "what is wanted of looms changed" in warm.differences.words
    assert take(warm, one).loom != take(warm, other).loom
    assert take(warm, one).openings == take(before, one).openings
    assert errors(warm.plan) == []
    assert take(again(warm, before.project), one).loom == take(again(warm, before.project), other).loom


def take(planned: Planned, run: str) -> PlanRun:
    return next(one for one in planned.plan.runs if one.id == run)
