"""Cut lengths against outstretched arms, which is how they are measured without a tape.

Cases 3 and 4 of tests/data/checks/lengths.csv (source: common practice, no source): in a van about one arm wide and
high a cable 'one up and one across' with half an arm at either end takes three arms off the reel, and 'one up, one
across, one down and one back' takes five.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun

Raw = dict[str, Any]
PlanIt = Callable[[Raw], Plan]
CHECKS = Path(__file__).parents[1] / "data" / "checks" / "lengths.csv"
SIDES = ("L", "R")


def arms_of_case(case: str) -> float:
    """Answer of a case of the table [arms]."""
    with CHECKS.open(encoding="utf-8", newline="") as file:
        (row,) = [row for row in csv.DictReader(file) if row["case"] == case]
    number, unit = row["answer"].split()
    assert unit == "arms"
    assert row["source"] == "common practice, no source"
    return float(number)


def van(arm: str, lamp: dict[str, str]) -> Raw:
    """A bare box of a van, about one arm of 1.75 m wide and high, without a way under the floor."""
    low = {"wall": "left", "back": "0.70 m", "up": "0.12 m"}
    blocked = [{"name": f"{side}S{bay}a", "state": "blocked"} for side in SIDES for bay in range(6)]
    return {
        "ribway": 1,
        "name": "arms",
        "vehicle": {
            "preset": "short-high",
            "parameters": {
                "length": "2.80 m", "floor_width": "1.76 m", "waist_width": "1.78 m", "roof_edge_width": "1.70 m",
                "roof_edge_height": "1.66 m", "centre_height": "1.80 m", "bulkhead": False,
                "side_door": None, "wheel_arch": None, "windows": [],
                "rib_stations_left": ["0.45 m", "0.95 m", "1.45 m", "1.95 m", "2.45 m"],
                "rib_stations_right": ["0.45 m", "0.95 m", "1.45 m", "1.95 m", "2.45 m"],
            },
            "openings": blocked,
        },
        "shop": {"arm_length": arm, "spare": "none"},
        "devices": [
            {"id": "battery", "name": "Battery", "kind": "source", "at": low},
            {"id": "lamp", "name": "Lamp", "amps": "1 A", "at": lamp},
        ],
        "circuits": [{"id": "C", "name": "Lamp", "from": "battery", "to": ["lamp"]}],
        "runs": [{"circuit": "C", "from": "battery", "to": "lamp", "tail_from": "0.5 arms", "tail_to": "0.5 arms"}],
    }  # fmt: skip


def lamp_run(plan: Plan) -> PlanRun:
    """The only run."""
    assert plan.complete
    (run,) = plan.runs
    return run


@pytest.mark.parametrize(("arm", "arm_m"), [("1.70 m", 1.70), ("1.80 m", 1.80)])
def test_one_up_and_one_across_takes_three_arms(plan_it: PlanIt, arm: str, arm_m: float) -> None:
    run = lamp_run(plan_it(van(arm, {"wall": "right", "back": "0.70 m", "up": "1.56 m"})))
    assert run.tail_a_m == run.tail_b_m == pytest.approx(arm_m / 2.0, abs=1e-4)
    assert any(leg.zone == "roof" for leg in run.legs)
    assert run.cut_m / arm_m == pytest.approx(arms_of_case("3"), abs=0.5)


@pytest.mark.parametrize(("arm", "arm_m"), [("1.70 m", 1.70), ("1.80 m", 1.80)])
def test_one_up_one_across_one_down_and_one_back_takes_five_arms(plan_it: PlanIt, arm: str, arm_m: float) -> None:
    run = lamp_run(plan_it(van(arm, {"wall": "right", "back": "2.40 m", "up": "0.12 m"})))
    assert run.tail_a_m == run.tail_b_m == pytest.approx(arm_m / 2.0, abs=1e-4)
    assert any(leg.zone == "roof" for leg in run.legs)
    assert run.cut_m / arm_m == pytest.approx(arms_of_case("4"), abs=0.5)
