"""Plans that the papers are tried on, all made from the sample plan."""

from __future__ import annotations

from typing import Any

import pytest

from ribway.models.plan.plan import Plan

LONG_NAME = "Mobile clinic for the northern river districts, van 3 of 12, with the long wheelbase and the raised roof"
AWKWARD = "Display behind the čelní panel (łódź) → rear, Ω, Σ, instrument-compartment-ventilation-controller-housing"


@pytest.fixture(scope="session")
def big_plan(sample_plan: Plan) -> Plan:
    """Forty runs with long and awkward names, in feet and inches, not complete, on every kind of wall."""
    runs = [
        run.model_copy(
            update={
                "id": f"{run.id}-aft-{turn}" if turn % 3 else f"N{turn}{index}",
                "cut_m": round(run.cut_m + 0.37 * turn, 4),
                "one_way_m": round(run.one_way_m + 0.31 * turn, 4),
                "there_and_back_m": round(2 * (run.one_way_m + 0.31 * turn), 4),
                "openings": run.openings * (turn + 1),
                "pieces": 2 if index == 1 else 1,
                "purpose": "spare" if turn == 9 else run.purpose,
            }
        )
        for turn in range(10)
        for index, run in enumerate(sample_plan.runs)
    ]
    walls, states = ("left", "roof", "bulkhead", "floor", "elsewhere"), ("assumed", "measured", "drill")
    openings = [
        opening.model_copy(
            update={
                "id": f"{opening.id}{turn}",
                "wall": walls[turn % 5],
                "state": states[turn % 3],
                "back_m": opening.back_m + 0.13 * turn,
                "taken_mm": 9.0 * (turn % 2),
                "slot_length_mm": 41.25 if turn % 4 == 3 else None,
                "runs": tuple(run.id for run in runs[turn : 4 * turn + 1]),
            }
        )
        for turn in range(9)
        for opening in sample_plan.openings
    ]
    devices = [
        device.model_copy(update={"name": AWKWARD if index == 2 else f"{device.name}, compartment {index}"})
        for index, device in enumerate(sample_plan.devices)
    ]
    return _changed(
        sample_plan,
        name=LONG_NAME,
        alternative="24 V, left side, everything over the roof and nothing along the floor",
        complete=False,
        runs=tuple(runs),
        openings=tuple(openings),
        devices=tuple(devices),
        ways=tuple(way.model_copy(update={"runs": (runs[0].id,)}) for way in sample_plan.ways),
        rules=sample_plan.rules.model_copy(update={"units": "feet and inches"}),
    )


@pytest.fixture(scope="session")
def bare_plan(sample_plan: Plan) -> Plan:
    """A plan with nothing in it."""
    return _changed(
        sample_plan,
        devices=(),
        circuits=(),
        runs=(),
        looms=(),
        openings=(),
        ways=(),
        findings=(),
        cables=(),
        assumptions=(),
        unplanned=(),
        measurements=(),
    )


def _changed(plan: Plan, **update: Any) -> Plan:
    """A plan with some of its fields changed, checked as if it were read."""
    return Plan.model_validate(plan.model_copy(update=update).model_dump(by_alias=True))
