"""Plans and bounds against all plans tried one by one, and against an arc-flow programme."""

from __future__ import annotations

import importlib.util
import math
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from ribway.router.proof import many
from ribway.router.proof import solve as solving
from ribway.router.proof.instance import Instance, Network, Run, Size
from ribway.router.proof.plans import cost_of, faults_of
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve


def _reference() -> ModuleType:
    spec = importlib.util.spec_from_file_location("proof_reference", Path(__file__).parent / "reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


reference = _reference()
EXACT = Limits(tolerance=1e-7)


def random_instance(seed: int, runs: int, tight: float = 1.0, rows: int = 2, columns: int = 3) -> Instance:
    """A small lattice of bays with one or two ways between neighbours; three kinds, two of them apart."""
    rng = np.random.default_rng(seed)
    bays = rows * columns
    gates = [(b, b + 1) for b in range(bays) if b % columns < columns - 1] + [
        (b, b + columns) for b in range(bays - columns)
    ]
    ways = [gate for gate in gates for _ in range(1 + int(rng.random() < 0.3))]
    place = rng.random((len(ways), 2)) + np.array(
        [[(a % columns + b % columns) / 2, (a // columns + b // columns) / 2] for a, b in ways]
    )
    kinds = ("ac", "dc", "data")
    ends = [(int(rng.integers(bays)), int(rng.integers(bays))) for _ in range(runs)]
    spots = [(np.array([b % columns, b // columns]) + rng.random(2), b) for pair in ends for b in pair]
    arcs: list[tuple[int, int, float, int]] = []
    for i, one in enumerate(ways):
        for j, other in enumerate(ways):
            if i != j and set(one) & set(other):
                arcs.append((i, j, float(np.linalg.norm(place[i] - place[j])) + 0.05, j))
    for t, (at, bay) in enumerate(spots):
        for i, one in enumerate(ways):
            if bay in one:
                step = float(np.linalg.norm(at - place[i])) + 0.05
                arcs.append((len(ways) + t, i, step, i) if t % 2 == 0 else (i, len(ways) + t, step, -1))
        if t % 2 and spots[t - 1][1] == bay:
            arcs.append((len(ways) + t - 1, len(ways) + t, float(np.linalg.norm(at - spots[t - 1][0])) + 0.05, -1))
    arcs.sort()
    source, target, length, way = (np.array(column) for column in zip(*arcs, strict=True))
    limit = rng.choice([20.0, 35.0, 60.0], len(ways)) * tight
    net = Network(
        len(ways) + len(spots),
        source.astype(np.int64),
        target.astype(np.int64),
        length.astype(np.float64),
        rng.choice([0.0, 0.1], len(arcs)),
        way.astype(np.int64),
        limit,
        np.sqrt(limit) * 2.0,
    )
    made = []
    for k in range(runs):
        thin = Size(float(rng.uniform(0.02, 0.2)), float(rng.uniform(8, 25)), 4.0, float(rng.uniform(2.0, 5.0)), 0.01)
        thick = Size(thin.rate * 1.6, thin.area_mm2 * 1.4, 5.0, math.inf, 0.02)
        made.append(Run(f"r{k}", len(ways) + 2 * k, len(ways) + 2 * k + 1, kinds[k % 3], (thin, thick)))
    return Instance(net, tuple(made), frozenset({("ac", "dc"), ("ac", "data")}))


@pytest.mark.parametrize("seed", [0, 1, 3, 4, 5, 6, 8, 9])
def test_equal_to_trying_all_plans(seed: int) -> None:
    instance = random_instance(seed, 4, tight=(0.8, 1.0)[seed % 2])
    best = reference.brute_force(instance)
    found = solve(instance, EXACT)
    if math.isinf(best):
        assert not found.routes
        return
    assert faults_of(instance, found.routes) == []
    assert found.cost == pytest.approx(best, rel=1e-7)
    assert found.bound <= best * (1 + 1e-12)
    assert found.proven


@pytest.mark.parametrize("seed", [1, 3, 5, 8])
def test_equal_to_an_arc_flow_programme(seed: int) -> None:
    instance = random_instance(100 + seed, 7, rows=3)
    best = reference.arc_flow(instance)
    found = solve(instance, EXACT)
    if math.isinf(best):
        assert not found.routes
    else:
        assert found.cost == pytest.approx(best, rel=1e-6)
        assert found.bound <= best + 1e-6
        assert cost_of(instance, found.routes) == found.cost


@pytest.mark.parametrize("arcs", [0, many.ARCS])
@pytest.mark.parametrize("seed", [1, 3, 5])
def test_what_is_done_for_many_runs_bounds_the_optimum_and_keeps_the_rules(
    seed: int, arcs: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The schedules for more than a hundred runs, with and without very many arcs, on a body small enough to be solved."""
    for room in (many, solving):
        monkeypatch.setattr(room, "MANY_RUNS", 3)
    for name, few in (("ARCS", arcs), ("TRIES", 30), ("FEW_TRIES", 30), ("TOGETHER", 3)):
        monkeypatch.setattr(many, name, few)
    begun: list[int] = []
    shorter = many.ManyRuns._one_after_the_other
    monkeypatch.setattr(
        many.ManyRuns, "_one_after_the_other", lambda self, ascent: (begun.append(1), shorter(self, ascent))[1]
    )
    instance = random_instance(100 + seed, 7, tight=2.0, rows=3)
    best = reference.arc_flow(instance)
    found = solve(instance, Limits(tolerance=1e-7, steps=10))
    assert not math.isinf(best)
    assert bool(begun) == (arcs == 0)
    assert found.bound <= best * (1 + 1e-9)
    assert found.cost >= best * (1 - 1e-9)
    assert faults_of(instance, found.routes) == []
    assert cost_of(instance, found.routes) == found.cost
