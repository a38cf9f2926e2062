"""Ways that share holes, under pressure: no hole is overfull however its users come to it, and few runs are left over."""

from __future__ import annotations

import itertools
import math
import random
from typing import Any

import pytest
from hollow_shells import hollow_shell
from plain_shells import Bar, Hole, on_wall, project

from ribway.models.plan.plan import Plan
from ribway.router.audit.check import audit_plan
from ribway.router.planner import plan_on

HEIGHTS = (0.2, 0.7, 1.2)
SHELL = hollow_shell(2.0, 1.6, [Bar(1.0, tuple(Hole(up) for up in HEIGHTS))])
NAMES = ("L1a", "L1b", "L1c")
INSIDE = [
    {"name": f"in-{a[-1]}{b[-1]}", "kind": "inside", "member": "L1", "between": [a, b], "bore": 0.04,
     "sides": ["front", "back"]}
    for a, b in itertools.permutations(NAMES, 2)
]  # fmt: skip

# Both bays are parted between the holes: who goes to another height has to climb in the rib.
BELTS = [
    {"name": f"belt-{low}-{front}", "why": "belt", "margin": 0.0, "corner": {"wall": "left", "back": front, "up": low},
     "opposite": {"wall": "left", "back": front + 0.96, "up": low + 0.05}}
    for low, front in itertools.product((0.45, 0.95), (0.0, 1.04))
]  # fmt: skip


def plan_of(seed: int, runs: int, ways: list[dict[str, Any]]) -> Plan:
    rng = random.Random(seed)
    places: dict[str, dict[str, Any]] = {"a": on_wall(0.4, rng.choice(HEIGHTS))}
    devices: dict[str, dict[str, Any]] = {"a": {"kind": "source"}}
    circuits = []
    for n in range(runs):
        places[f"d{n}"] = on_wall(1.6, rng.choice(HEIGHTS) + 0.1)
        devices[f"d{n}"] = {"amps": 0.5}
        circuits.append(
            {"id": f"C{n}", "name": "C", "from": "a", "to": [f"d{n}"], "cable": rng.choice(("2x1", "2x1.5", "2x2.5"))}
        )
    return plan_on(project(places, circuits, None, {"ways": ways, "keep_outs": BELTS}, devices), SHELL)


def area_mm2(plan: Plan, run: str) -> float:
    """Round or flat with half-round edges, by plane geometry."""
    one = next(other for other in plan.runs if other.id == run)
    t, w = one.thickness_mm, one.outside_mm
    return one.pieces * (math.pi / 4 * t * t + (w - t) * t)


@pytest.mark.parametrize("seed", range(6))
def test_no_hole_is_overfull_however_it_is_reached(seed: int) -> None:
    plan = plan_of(seed, 8, INSIDE)
    shares = {f"in-{a[-1]}{b[-1]}": (a, b) for a, b in itertools.permutations(NAMES, 2)}
    used: dict[str, float] = dict.fromkeys(NAMES, 0.0)
    for run in plan.runs:
        for name in run.openings:
            for hole in shares.get(name, (name,)):
                used[hole] += area_mm2(plan, run.id)
    for name, area in used.items():
        opening = next(one for one in plan.openings if one.id == name)
        assert area <= 0.4 * math.pi / 4 * 21.0**2 + 1e-6
        assert opening.fill_percent == pytest.approx(100 * area / (math.pi / 4 * 21.0**2), abs=0.02)
    assert not [one for one in audit_plan(plan) if one.level == "error"]
    climbing = [run for run in plan.runs if any(name in shares for name in run.openings)]
    assert climbing


def test_without_them_nobody_climbs() -> None:
    """The source's hole is what there is least of: with ways inside more runs share it out among all heights."""
    crowd, plain = plan_of(1, 8, INSIDE), plan_of(1, 8, [])
    assert len(crowd.runs) > len(plain.runs)
    assert not any(name.startswith("in-") for run in plain.runs for name in run.openings)
