"""Sizes 10,000 runs of the demo's kind, each bundle by factor and by heat, in one call, and compares with one call a run.

The choices are compared; a difference fails, a time never does.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from ribway.sizing.choice import Choice, choose_conductor
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.heat.many import ManySections
from ribway.sizing.heat.section import Section
from ribway.sizing.many_choices import NONE_FITS, ManyRuns, choose_many
from ribway.sizing.rules import rule_set

RUNS = 10_000
ONE_BY_ONE = 500
REPEATS = 5
AREAS = (0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0)


def stock() -> tuple[Conductor, ...]:
    """Thin-wall automotive twins."""
    return tuple(Conductor(f"{area:g}", "metric", f"{area:g}", area, 2, 90.0, True) for area in AREAS)


def demo_runs(count: int) -> ManyRuns:
    """Lights, sockets, pumps and fridges of 0.5 to 9 m in three surroundings, as in the demo van."""
    rng = np.random.default_rng(12)
    run_a = rng.choice([0.5, 1.0, 2.0, 3.5, 5.0, 8.0], count)
    return ManyRuns(
        cut_m=rng.uniform(0.5, 9.0, count),
        run_a=run_a,
        start_a=np.where(run_a > 3.0, 3.0 * run_a, np.nan),
        ambient_c=np.tile([60.0, 40.0, 40.0], (count, 1)),
        loaded=rng.choice([2, 4, 6, 10], (count, 3)),
        nominal_v=np.full(count, 12.0),
        drop_percent=rng.choice([3.0, 5.0], count),
        start_percent=np.where(run_a > 3.0, 15.0, np.nan),
        upstream_v=np.full(count, 0.05),
        upstream_start_v=np.full(count, np.nan),
        circuit_a=run_a,
        fuse_a=np.full(count, np.nan),
        copper_c=np.full(count, np.nan),
        sections=ManySections(
            diameter_m=rng.uniform(0.006, 0.024, (count, 3)),
            others_w_per_m_20c=rng.choice([0.0, 0.5, 1.5], (count, 3)),
            others_insulation_c=np.full((count, 3), 90.0),
            cores=np.full(count, 2.0),
        ),
    )


def section(runs: ManyRuns, n: int, k: int) -> Section | None:
    """The bundle of one stretch of one run."""
    many = runs.sections
    return None if many is None else Section(float(many.diameter_m[n, k]), float(many.others_w_per_m_20c[n, k]), 90.0)


def one_by_one(runs: ManyRuns, count: int) -> list[int]:
    """The same choices by one call a run."""
    out: list[int] = []
    for n in range(count):
        start = float(runs.start_a[n])
        demand = Demand(
            (Leg(float(runs.cut_m[n]), float(runs.run_a[n]), None if np.isnan(start) else start),),
            tuple(
                Stretch(f"s{k}", float(runs.ambient_c[n, k]), int(runs.loaded[n, k]), section(runs, n, k))
                for k in range(3)
            ),
            12.0,
            float(runs.drop_percent[n]),
            None if np.isnan(start) else 15.0,
            upstream_v=0.05,
        )
        answer = choose_conductor(stock(), demand, rule_set())
        out.append(answer.index if isinstance(answer, Choice) else NONE_FITS)
    return out


def main() -> int:
    """Print seconds and the ratio."""
    runs, many = demo_runs(RUNS), []
    for _ in range(REPEATS):
        begun = time.perf_counter()
        chosen = choose_many(stock(), runs, rule_set())
        many.append(time.perf_counter() - begun)
    begun = time.perf_counter()
    single = one_by_one(runs, ONE_BY_ONE)
    each = (time.perf_counter() - begun) / ONE_BY_ONE
    best = min(many)
    print(f"{RUNS} runs, {len(AREAS)} sizes: {best:.3f} s in one call, {1e6 * best / RUNS:.2f} us a run")
    print(f"one call a run: {1e6 * each:.0f} us a run; ratio {each * RUNS / best:.0f}")
    if single != chosen.index[:ONE_BY_ONE].tolist():
        print("the choices differ", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
