"""What must be true of every plan, whatever is in it; and that the same project gives the same plan."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from small_vans import shell, small_project

from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan
from ribway.router.planner import plan_on

CASES = [(seed, lay) for seed in range(3) for lay in ("square", "taut")]


@pytest.fixture(scope="module", params=CASES, ids=[f"{seed}-{lay}" for seed, lay in CASES])
def plan(request: pytest.FixtureRequest) -> Plan:
    seed, lay = request.param
    return plan_on(small_project(seed, lay=lay), shell())


def long(points: tuple[tuple[float, float, float], ...]) -> float:
    return float(np.linalg.norm(np.diff(np.array(points), axis=0), axis=1).sum())


def test_lengths_are_in_order(plan: Plan) -> None:
    assert plan.complete
    at = {device.id: device.point for device in plan.devices}
    for run in plan.runs:
        assert run.straight_m == pytest.approx(math.dist(at[run.from_], at[run.to]), abs=3e-4)
        assert run.straight_m <= run.taut_m + 1e-4
        assert run.taut_m <= run.sharp_m + 1e-4
        assert run.rounded_m <= run.sharp_m + 1e-9
        assert long(run.centreline) == pytest.approx(run.rounded_m, abs=1e-3), "the centreline's own length"
        assert run.sharp_m == pytest.approx(sum(leg.sharp_m for leg in run.legs), abs=1e-6)
        for leg in run.legs:
            assert leg.sharp_m >= long(leg.points) - 3e-4
        assert run.cut_m >= run.sharp_m + run.slack_m + run.loom_side_m + run.tail_a_m + run.tail_b_m - 1e-6
        assert sum(line.metres for line in run.reckoning) == pytest.approx(run.cut_m, abs=1e-6)


def test_legs_lead_from_device_to_device_through_the_openings(plan: Plan) -> None:
    at = {device.id: device.point for device in plan.devices}
    for run in plan.runs:
        assert run.legs[0].points[0] == pytest.approx(at[run.from_], abs=2e-4)
        assert run.legs[-1].points[-1] == pytest.approx(at[run.to], abs=2e-4)
        for before, after in itertools.pairwise(run.legs):
            assert after.points[0] == pytest.approx(before.points[-1], abs=2e-4)
        assert tuple(leg.name for leg in run.legs if leg.kind == "opening") == run.openings
        bays = [leg for leg in run.legs if leg.kind == "bay"]
        assert len(bays) == len(run.openings) + 1


def test_openings_are_filled_within_their_limits(plan: Plan) -> None:
    runs = {run.id: run for run in plan.runs}
    for opening in plan.openings:
        assert set(opening.runs) == {run.id for run in plan.runs if opening.id in run.openings}
        area = 0.0
        for name in opening.runs:
            wide, thick = runs[name].outside_mm, runs[name].thickness_mm
            area += runs[name].pieces * (math.pi / 4 * thick**2 + (wide - thick) * thick)
        bore = math.pi / 4 * opening.clear_bore_mm**2
        assert opening.fill_percent == pytest.approx(100 * area / bore, rel=2e-3, abs=0.05)
        assert opening.fill_percent <= opening.fill_limit_percent + 1e-6
        kinds = {runs[name].kind for name in opening.runs}
        assert "ac" not in kinds or kinds == {"ac"}
        assert opening.bundle_diameter_mm <= opening.clear_bore_mm + 0.11


def test_looms_hold_every_run_once(plan: Plan) -> None:
    kinds = {run.id: run.kind for run in plan.runs}
    cords = {run.id for run in plan.runs if run.cable == "draw cord"}
    loose = {run.id for run in plan.runs if not run.loom}
    assert loose <= cords, "only a draw cord may lie by itself"
    assert sorted(run for loom in plan.looms for run in loom.runs) == sorted(kinds.keys() - loose)
    of = {run: loom.id for loom in plan.looms for run in loom.runs}
    assert len({of[f"C2-{k}"] for k in (1, 2, 3)}) == 1, "a chain is made up in one piece"
    for run in plan.runs:
        assert run.loom == of.get(run.id, "")
    for loom in plan.looms:
        assert len({kinds[run] == "ac" for run in loom.runs}) == 1
        assert len(cords & set(loom.runs)) == 0 or len(set(loom.runs) - cords) >= 2
        assert len({loom.colour for loom in plan.looms}) == len(plan.looms)
        for section in loom.sections:
            assert section.from_m < section.to_m
            assert section.diameter_mm <= loom.diameter_mm
            assert long(section.points) <= section.to_m - section.from_m + 1e-3, "no jump in what is drawn"
        for name in loom.runs:
            run = next(one for one in plan.runs if one.id == name)
            mine = sum(one.to_m - one.from_m for one in loom.sections if name in one.runs)
            stubs = sum(leg.sharp_m for leg in run.legs if leg.kind == "stub")
            assert mine + stubs == pytest.approx(run.sharp_m, abs=5e-3)


def test_totals_are_sums(plan: Plan) -> None:
    totals = plan.totals
    assert totals.copper_kg == pytest.approx(sum(run.copper_kg for run in plan.runs), abs=1e-5)
    want = sum(run.conductor_area_mm2 * run.cores * run.cut_m * 8.96e-3 for run in plan.runs)
    assert totals.copper_kg == pytest.approx(want, rel=1e-4)
    parts = totals.copper_mains_kg + totals.copper_circuits_kg + totals.copper_spares_kg
    assert totals.copper_kg == pytest.approx(parts, abs=1e-5)
    cords = [run for run in plan.runs if run.cable == "draw cord"]
    assert totals.draw_cord_m == pytest.approx(sum(run.cut_m for run in cords), abs=1e-3)
    assert bool(cords) == (totals.draw_cord_m > 0.0)
    cables = sum(run.cut_m * run.pieces for run in plan.runs if run not in cords)
    assert totals.cable_m == pytest.approx(cables, abs=1e-3)
    assert totals.runs == len(plan.runs)
    assert totals.openings_used == sum(1 for opening in plan.openings if opening.runs)
    assert totals.bends == sum(run.bends for run in plan.runs)


def test_the_audit_finds_nothing_wrong(plan: Plan) -> None:
    assert [found for found in audit_plan(plan) if found.level == "error"] == []


def test_the_same_project_gives_the_same_plan_byte_for_byte() -> None:
    texts = [plan_on(small_project(4), shell()).model_dump_json(by_alias=True) for _ in range(2)]
    assert texts[0] == texts[1]


def test_the_order_of_devices_does_not_matter_to_lengths() -> None:
    """Devices listed the other way round: every run as long as before."""
    straight = small_project(5)
    turned = straight.model_copy(update={"devices": tuple(reversed(straight.devices))})
    found = [{run.id: run.cut_m for run in plan_on(one, shell()).runs} for one in (straight, turned)]
    for run in ("main", "C1-1", "C1-2", "C2-1", "C3", "C4", "D1", "M1"):
        assert found[0][run] == pytest.approx(found[1][run], abs=1e-9)
