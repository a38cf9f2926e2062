"""Sizes that builders usually take, against what the planner takes in a van about one arm wide.

Rows of tests/data/checks/usual_sizes.csv (common practice, no source). Where the planner takes another size than the usual
one or the next, the reason that it names is checked here with figures of its own: NEC chapter 9 table 8 (ohm per 1000 ft
at 75 C, from tests/data/checks/awg.csv) brought to 105 C, what the stock's cables bear.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun

Raw = dict[str, Any]
PlanIt = Callable[[Raw], Plan]
CHECKS = Path(__file__).parents[1] / "data" / "checks"
ARM_M = 1.75
STEPS = ("16", "14", "12", "10", "8", "6")
"""Twin cables of the AWG stock, thin to thick."""
AMPS = {"fridge": 5.0, "pump": 5.0, "fan": 3.0, "USB": 5.0}
"""What such circuits draw, lights 2 A: common practice, no source."""
LIGHT_A = 2.0
PLACES = {3: ("0.70 m", "1.56 m"), 4: ("1.70 m", "1.20 m"), 5: ("2.40 m", "0.12 m")}
"""Back and up on the right wall, at which a cable from the left wall's foot is that many arms long."""
SPARE = "spare cable to a zone"


def _rows(name: str) -> list[dict[str, str]]:
    with (CHECKS / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


ROWS = _rows("usual_sizes")


def _number(text: str) -> str:
    found = re.match(r"\d+", text)
    assert found is not None, text
    return found[0]


def _amps(circuit: str) -> float:
    return next((amps for word, amps in AMPS.items() if word in circuit), LIGHT_A)


def _limit_percent(circuit: str) -> float:
    """The shop's own classes: critical for what cuts out, other for the rest."""
    return 3.0 if "fridge" in circuit else 5.0


def _van() -> Raw:
    """A bare box of a van, about one arm wide and high, a battery low on the left, the rows' loads on the right."""
    low = {"wall": "left", "back": "0.70 m", "up": "0.12 m"}
    stations = ["0.45 m", "0.95 m", "1.45 m", "1.95 m", "2.45 m"]
    devices: list[Raw] = [{"id": "battery", "name": "Battery", "kind": "source", "at": low}]
    circuits: list[Raw] = []
    runs: list[Raw] = []
    for number, row in enumerate(ROWS):
        if row["circuit"] == SPARE:
            continue
        back, up = PLACES[int(_number(row["run"]))]
        at = {"wall": "right", "back": back, "up": up, "stand_off": f"{60 + 5 * number} mm"}
        devices.append({"id": f"d{number}", "name": row["circuit"], "amps": f"{_amps(row['circuit']):g} A", "at": at})
        drop = "critical" if "fridge" in row["circuit"] else "other"
        circuits.append(
            {"id": f"C{number}", "name": row["circuit"], "from": "battery", "to": [f"d{number}"], "drop": drop}
        )
        tails = {"tail_from": "0.5 arms", "tail_to": "0.5 arms"}
        runs.append({"circuit": f"C{number}", "from": "battery", "to": f"d{number}", **tails})
    return {
        "ribway": 1,
        "name": "usual sizes",
        "vehicle": {
            "preset": "short-high",
            "parameters": {
                "length": "2.80 m", "floor_width": "1.76 m", "waist_width": "1.78 m", "roof_edge_width": "1.70 m",
                "roof_edge_height": "1.66 m", "centre_height": "1.80 m", "bulkhead": False,
                "side_door": None, "wheel_arch": None, "windows": [],
                "rib_stations_left": stations, "rib_stations_right": stations,
            },
            "openings": [{"name": f"{side}S{bay}a", "state": "blocked"} for side in "LR" for bay in range(6)],
        },
        "shop": {"arm_length": f"{ARM_M} m", "stock": "awg", "spare": "14/4"},
        "devices": devices,
        "circuits": circuits,
        "runs": runs,
    }  # fmt: skip


@pytest.fixture(scope="module")
def plan(plan_it: PlanIt) -> Plan:
    """All rows in one van."""
    found = plan_it(_van())
    assert found.complete
    return found


def _hot_ohm_per_m(gauge: str) -> float:
    (row,) = [row for row in _rows("awg") if row["awg"] == gauge]
    return float(row["nec_table8_ohm_per_kft_75c"]) / 304.8 * (1.0 + 0.00393 * 85.0) / (1.0 + 0.00393 * 55.0)


def _lost_percent(run: PlanRun, gauge: str, amps: float) -> float:
    return 100.0 * 2.0 * _hot_ohm_per_m(gauge) * run.cut_m * amps / 12.0


@pytest.mark.parametrize(("number", "row"), list(enumerate(ROWS)), ids=[row["circuit"] for row in ROWS])
def test_the_planner_takes_the_usual_size_or_says_why_not(plan: Plan, number: int, row: dict[str, str]) -> None:
    assert row["status"] == "common practice, no source"
    usual, arms = _number(row["usual size"]), int(_number(row["run"]))
    if row["circuit"] == SPARE:
        spares = [run for run in plan.runs if run.purpose == "spare"]
        assert spares
        assert {(run.cores, _number(run.size_name)) for run in spares} == {(4, usual)}
        return
    (run,) = [run for run in plan.runs if run.circuit == f"C{number}"]
    assert run.cut_m / ARM_M == pytest.approx(arms, abs=0.75), "the van makes the row's length"
    amps, limit = _amps(row["circuit"]), _limit_percent(row["circuit"])
    taken = _number(run.size_name)
    assert _lost_percent(run, taken, amps) <= limit
    steps = STEPS.index(taken) - STEPS.index(usual)
    if steps > 1:
        assert run.deciding == "drop"
        assert _lost_percent(run, STEPS[STEPS.index(taken) - 1], amps) > limit, "one size less would lose too much"
    elif steps < 0:
        assert run.deciding in ("smallest in stock", "drop")
        assert steps == -1, "thinner by one at most"


def test_most_rows_are_of_the_usual_size_or_the_next(plan: Plan) -> None:
    """The fridge may lose 3 % only, over five arms; for lights 16 AWG, the thinnest in stock, does what 14 does by habit."""
    others = []
    for number, row in enumerate(ROWS):
        runs = [run for run in plan.runs if run.circuit == f"C{number}"]
        steps = [STEPS.index(_number(run.size_name)) - STEPS.index(_number(row["usual size"])) for run in runs]
        others += [row["circuit"] for step in steps if not 0 <= step <= 1]
    assert set(others) == {"ceiling and bench lights feed", "reading lights", "compressor fridge"}
