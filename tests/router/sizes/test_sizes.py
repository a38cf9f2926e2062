"""Sizes of whole circuits: they only grow, every limit holds at the end, and nothing thinner would do."""

from __future__ import annotations

import csv
import itertools
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from small_vans import shell, small_project

from ribway.models.plan.plan import Plan
from ribway.router.planner import plan_on
from ribway.router.planning import Planning, State
from ribway.router.rising import lowered, risen
from ribway.router.shell.parts import Shell

CHECKS = Path(__file__).parents[2] / "data" / "checks" / "iec60228.csv"
SEEDS = range(4)


class Watched(Planning):
    """Keeps the sizes of every state that was held against the limits."""

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self.seen: list[dict[str, int]] = []

    def hold(self, index: Mapping[str, int], *rest: Any) -> State:
        self.seen.append(dict(index))
        return super().hold(index, *rest)


@pytest.fixture(scope="module")
def metal() -> Shell:
    return shell()


@pytest.fixture(scope="module")
def grown(metal: Shell) -> dict[int, tuple[Watched, State, int, State]]:
    """By seed: the planning, its state when nothing grows any more, how many states that took, and the last state."""
    out = {}
    for seed in SEEDS:
        planning = Watched(small_project(seed), metal)
        big = risen(planning)
        count = len(planning.seen)
        out[seed] = (planning, big, count, lowered(planning, big, planning.feeds))
    return out


@pytest.mark.parametrize("seed", SEEDS)
def test_sizes_only_go_up_and_then_only_down(grown: dict[int, Any], seed: int) -> None:
    planning, big, count, final = grown[seed]
    rising = planning.seen[:count]
    for before, after in itertools.pairwise(rising):
        assert all(after[run] >= before[run] for run in before)
    assert max(big.index.values()) > 0, "something had to grow"
    assert all(final.index[run] <= big.index[run] for run in big.index)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_limit_holds_and_one_size_less_breaks_one(grown: dict[int, Any], seed: int) -> None:
    """Each run of a home circuit by itself, the runs of any other circuit together."""
    planning, _, _, final = grown[seed]
    assert all(one.verdict is None or one.verdict.ok for one in final.sized.values())
    assert planning.fits(final.index, final.paths)
    tried = 0
    for feed in planning.feeds:
        if feed.circuit.kind == "data":
            continue
        groups = [[run] for run in feed.runs] if feed.circuit.pattern == "home" else [list(feed.runs)]
        for group in groups:
            own = [run for run in group if final.index[run] > 0]
            if not own:
                continue
            lower = {**final.index, **{run: final.index[run] - 1 for run in own}}
            trial = planning.hold(lower, final.paths, final.layout)
            broken = [run for run, one in trial.sized.items() if one.verdict is not None and not one.verdict.ok]
            assert broken or not planning.fits(lower, final.paths), (feed.circuit.id, own)
            tried += 1
    assert tried >= 2


@pytest.fixture(scope="module")
def plans(metal: Shell) -> dict[int, Plan]:
    return {seed: plan_on(small_project(seed), metal) for seed in SEEDS}


def hot_ohm_per_m(area_mm2: float, temperature_c: float) -> float:
    """IEC 60228 class 5 maximum at 20 deg C, taken to a temperature with 0.00393 per kelvin (IEC 60228 annex, copper)."""
    with CHECKS.open(encoding="utf-8", newline="") as lines:
        rows = {float(row["area_mm2"]): float(row["class5_max_ohm_per_km_20c"]) for row in csv.DictReader(lines)}
    return rows[area_mm2] / 1000 * (1 + 0.00393 * (temperature_c - 20.0))


@pytest.mark.parametrize("seed", SEEDS)
def test_drops_are_ohms_law_from_the_battery_on(plans: dict[int, Plan], seed: int) -> None:
    """Each run: what was lost before it, and twice its cut length at the insulation's temperature; the feeder included."""
    plan = plans[seed]
    runs = {run.id: run for run in plan.runs}
    amps = {device.id: device.amps for device in plan.devices}
    rated = {cable.id: cable.insulation_c for cable in plan.cables}

    def own_v(name: str, current: float) -> float:
        run = runs[name]
        return 2 * run.cut_m * hot_ohm_per_m(run.conductor_area_mm2, rated[run.cable]) * current

    total = sum(amps[load] for load in ("fridge", "pump", "lamp1", "lamp2", "lamp3", "usb", "heater"))
    main = own_v("main", total)
    assert runs["main"].design_a == pytest.approx(total, abs=2e-3)
    assert runs["main"].drop_v == pytest.approx(main, abs=1e-3)
    for name, load in (("C1-1", "fridge"), ("C1-2", "pump"), ("C3", "usb"), ("C4", "heater")):
        assert runs[name].drop_v == pytest.approx(main + own_v(name, amps[load]), abs=2e-3)
    along = main
    for number, lamps in ((1, 3), (2, 2), (3, 1)):
        along += own_v(f"C2-{number}", 0.4 * lamps)
        assert runs[f"C2-{number}"].drop_v == pytest.approx(along, abs=2e-3)
    for circuit in plan.circuits:
        if circuit.kind == "dc":
            upstream = 0.0 if circuit.id == "main" else main
            assert circuit.upstream_drop_v == pytest.approx(upstream, abs=1e-3)
            assert circuit.worst_drop_percent <= circuit.drop_limit_percent + 1e-3
            assert circuit.worst_drop_percent == pytest.approx(
                max(runs[run].drop_v for run in circuit.runs) / 12.0 * 100, abs=2e-2
            )


@pytest.mark.parametrize("seed", SEEDS)
def test_fuses_sit_between_load_and_wire(plans: dict[int, Plan], seed: int) -> None:
    """The design's window: load x 1.25 <= fuse <= derated ampacity of the thinnest conductor behind it."""
    plan = plans[seed]
    runs = {run.id: run for run in plan.runs}
    for circuit in plan.circuits:
        if circuit.kind != "dc":
            assert circuit.fuse_a is None
            continue
        assert circuit.fuse_a is not None
        weakest = min(runs[run].derated_a for run in circuit.runs)
        assert 1.25 * circuit.design_a <= circuit.fuse_a + 1e-9
        assert circuit.fuse_a <= weakest + 1e-9
        assert circuit.weakest_derated_a == pytest.approx(weakest, abs=0.011)


def test_a_tighter_drop_never_gives_less_copper(metal: Shell) -> None:
    """Home runs and mains at 5, 3 and 2 %: copper does not fall as the limit does."""
    copper = []
    for percent in (5.0, 3.0, 2.0):
        plan = plan_on(small_project(1, drop={"critical": min(3.0, percent), "other": percent}), metal)
        assert plan.complete
        copper.append(plan.totals.copper_kg)
    assert copper == sorted(copper)
    assert copper[-1] > copper[0]
