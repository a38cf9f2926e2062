"""The error of a surveyed shell's scale in the chances of runs: closed forms, throws of dice, and a plan from end to end."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice, PlanLeg, PlanRun
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_text
from ribway.router.audit.check import audit_plan
from ribway.router.chance.survey import Bound, Measurement, Short, bounds_of
from ribway.router.planner import plan_project
from ribway.router.writing.chance import stretches_of
from ribway.router.writing.scale_error import scale_bounds, scaled_m
from samples.draft import PROJECT, write_draft

ELECTRICS = """
devices:
  - {id: board, name: Board, kind: source, at: {wall: left, back: 0.5 m, up: 0.7 m}}
  - {id: lamp, name: Lamp, at: {wall: left, back: 1.7 m, up: 1.1 m}, amps: 0.5 A}
  - {id: spot, name: Spot, at: {wall: left, back: 1.1 m, up: 0.2 m}, amps: 0.5 A}
circuits:
  - {id: C1, name: lamp, from: board, to: [lamp]}
  - {id: C2, name: spot, from: board, to: [spot]}
"""
SHARE = 0.02


def planned(folder: Path, scale: str) -> Plan:
    write_draft(folder)
    line = f"  mesh: shell.obj\n  scale_error: {scale}" if scale else "  mesh: shell.obj"
    text = PROJECT.replace("equipment: equipment.csv", "").replace("  mesh: shell.obj", line)
    text = text.replace("state: measured", "state: assumed")
    return plan_project(check_text(text + ELECTRICS, "p", folder).base, folder)


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return planned(tmp_path_factory.mktemp("scaled"), "2 %")


def metal_m(run: PlanRun) -> float:
    return sum(leg.sharp_m for leg in run.legs if leg.kind in ("bay", "opening"))


def test_every_run_counts_it_once_and_the_audit_agrees(plan: Plan) -> None:
    assert plan.scale_error_percent == 2.0
    assert audit_plan(plan) == () or all(one.level != "error" for one in audit_plan(plan))
    for run in plan.runs:
        (error,) = [one for one in run.errors if one.measurement == "scale"]
        assert error.metres >= SHARE * metal_m(run) - 1e-4
    (measurement,) = [one for one in plan.measurements if one.id == "scale"]
    assert measurement.error_m == pytest.approx(SHARE * 1.2, abs=1e-3)  # the farthest opening is 1.2 m up
    assert measurement.after_m == 0.005


def test_chances_only_rise_with_the_scales_error(plan: Plan, tmp_path: Path) -> None:
    plain = planned(tmp_path, "")
    assert all(one.id != "scale" for one in plain.measurements)
    for with_it, without in zip(plan.runs, plain.runs, strict=True):
        assert with_it.sharp_m == without.sharp_m
        assert with_it.short_chance >= without.short_chance
        more = {one.measurement for one in with_it.errors} - {one.measurement for one in without.errors}
        assert more == {"scale"}


def test_a_tampered_error_is_found(plan: Plan) -> None:
    run = plan.runs[0]
    fewer = tuple(one for one in run.errors if one.measurement != "scale")
    spoilt = plan.model_copy(update={"runs": (run.model_copy(update={"errors": fewer}), *plan.runs[1:])})
    assert ("scale-error", run.id) in {(one.code, one.about) for one in audit_plan(spoilt)}


def leg(kind: str, name: str, *points: tuple[float, float, float], sharp_m: float | None = None) -> PlanLeg:
    steps = [np.subtract(b, a) for a, b in pairwise(points)]
    own = sum(float(np.linalg.norm(step)) for step in steps)
    return PlanLeg.model_construct(
        kind=kind, name=name, sharp_m=own if sharp_m is None else sharp_m, points=points, lay="square", zone="wall",
        ambient_c=40.0,
    )  # fmt: skip


HOLE = (-2.0, 0.9, 0.8)


def made_run(*legs: PlanLeg) -> PlanRun:
    return PlanRun.model_construct(id="r", from_="a", to="b", legs=legs, measured="computed")


def device(name: str, wall: str = "left") -> PlanDevice:
    return PlanDevice.model_construct(id=name, wall=wall, point=(0.0, 0.0, 0.0))


def test_between_two_openings_a_run_grows_by_its_length() -> None:
    run = made_run(
        leg("opening", "L1a", (-1.0, 0.9, 0.8), (-1.06, 0.9, 0.8)),
        leg("bay", "left", (-1.06, 0.9, 0.8), (-1.94, 0.9, 0.8), (-1.94, 0.9, 1.1)),
        leg("opening", "L2a", (-1.94, 0.9, 1.1), (-2.0, 0.9, 1.1)),
    )
    length = 0.06 + 0.88 + 0.30 + 0.06
    (bound,) = scale_bounds(run, {}, 0.01)
    assert (bound.change.mean_m, bound.change.bound_m) == pytest.approx((0.0, 0.01 * length), abs=1e-9)
    assert scaled_m(run, {}, 0.01) == pytest.approx(1.01 * length)


def test_an_opening_near_a_taped_device_far_from_the_datum_moves_off_it() -> None:
    """3.4 m back, 0.1 m behind the device: 1 % of the scale moves the opening by 34 mm, not by 1 mm."""
    run = made_run(
        leg("stub", "a", (-3.3, 0.85, 0.8), (-3.3, 0.9, 0.8)),
        leg("bay", "left", (-3.3, 0.9, 0.8), (-3.4, 0.9, 0.8)),
        leg("opening", "L5a", (-3.4, 0.9, 0.8), (-3.46, 0.9, 0.8)),
    )
    (bound,) = scale_bounds(run, {"a": device("a")}, 0.01)
    # Along the van 34 mm; up 8 mm either way, which only makes it longer; the hole's own 60 mm grow by 0.6 mm.
    assert bound.change.bound_m == pytest.approx(0.034 + 0.0006, abs=0.0045)
    assert bound.change.mean_m == pytest.approx(0.004, abs=0.0005)


def test_detours_grow_too_and_taped_runs_do_not() -> None:
    round_arch = leg("bay", "left", HOLE, (-3.0, 0.9, 0.8), sharp_m=1.5)
    run = made_run(leg("opening", "x", HOLE, HOLE), round_arch, leg("opening", "y", HOLE, HOLE))
    (bound,) = scale_bounds(run, {}, 0.01)
    assert bound.change.bound_m == pytest.approx(0.015)
    assert list(scale_bounds(run.model_copy(update={"measured": "taped"}), {}, 0.01)) == []
    assert list(scale_bounds(run, {}, 0.0)) == []


@pytest.mark.parametrize("devices_by", ["tape", "mesh"])
@pytest.mark.parametrize("margin_m", [0.0, 0.01, 0.02, 0.035])
def test_the_chance_holds_against_throws_of_the_van(plan: Plan, devices_by: str, margin_m: float) -> None:
    """A van is thrown: its scale, where each opening really is, where each device really is; the run is measured anew.

    Written with numpy from the run's legs alone. The plan's chance may be more than the share of runs that are short,
    never less but for the roundness of its errors' sum.
    """
    rng = np.random.default_rng(11)
    count = 60_000
    run = next(one for one in plan.runs if one.to == "lamp")
    scale = rng.uniform(-SHARE, SHARE, count)[:, None]
    hole = np.zeros((count, 3))
    hole[:, [0, 2]] = rng.uniform(-0.02, 0.02, (count, 2))
    places = {}
    for name in (run.from_, run.to):
        places[name] = np.zeros((count, 3))
        places[name][:, [0, 2]] = rng.uniform(-0.005, 0.005, (count, 2))
    grows = {"tape": np.array([0.0, 1.0, 0.0]), "mesh": np.ones(3)}[devices_by]
    total, rest = np.zeros(count), 0.0
    bays = [one for one in run.legs if one.kind == "bay"]
    for number, bay in enumerate(bays):
        first, last = np.array(bay.points[0]), np.array(bay.points[-1])
        start = first * (1 + scale * grows) + places[run.from_] if number == 0 else first * (1 + scale) + hole
        end = last * (1 + scale * grows) + places[run.to] if number == len(bays) - 1 else last * (1 + scale) + hole
        step = end - start
        total += np.abs(step[:, 0]) + np.linalg.norm(step[:, 1:], axis=1)
        rest += abs(last - first)[0] + float(np.linalg.norm((last - first)[1:]))
    opening = next(one for one in run.legs if one.kind == "opening")
    longer = total - rest + scale[:, 0] * opening.sharp_m
    moves = [
        Measurement("way L1b", 0.02, 0.01, ({"way L1b": (-0.02, 0, 0)}, {"way L1b": (0, 0, 0.02)})),
        *(
            Measurement(f"device {name}", 0.005, 0.005, ({f"device {name}": (-0.005, 0, 0)}, {f"device {name}": (0, 0, 0.005)}))
            for name in (run.from_, run.to)
        ),
    ]  # fmt: skip
    scaled = list(scale_bounds(run, {one.id: one for one in plan.devices}, SHARE))
    bounds: tuple[Bound, ...] = (*bounds_of(stretches_of(run), moves), *scaled)
    chance, thrown = Short(margin_m, bounds).chance, float(np.mean(longer > margin_m))
    assert chance >= thrown - 0.01
    if devices_by == "mesh":
        assert chance == pytest.approx(thrown, abs=0.06)
    assert Short(margin_m, bounds[: -len(scaled)]).chance <= chance + 1e-9 or margin_m == 0.0


def test_only_a_mesh_or_a_scan_has_a_scale(tmp_path: Path) -> None:
    text = "ribway: 1\nname: x\nvehicle: {preset: short-high, scale_error: 1 %}\n" + ELECTRICS
    with pytest.raises(ProjectFaults, match="scale_error is of a mesh or a scan"):
        check_text(text, "p", tmp_path)
    text = "ribway: 1\nname: x\nvehicle: {preset: short-high, scale_error: 7 %}\n" + ELECTRICS
    with pytest.raises(ProjectFaults, match="scale_error"):
        check_text(text, "p", tmp_path)
