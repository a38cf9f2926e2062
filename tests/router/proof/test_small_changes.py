"""Single routes at prices, and small changes of plans, against all routes and all plans tried."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import proof_reference as reference
import pytest
from random_lattices import random_instance

from ribway.router.proof import finder
from ribway.router.proof.finder import Finder
from ribway.router.proof.instance import Array, Route
from ribway.router.proof.instance_file import from_text
from ribway.router.proof.kinds import groups_of
from ribway.router.proof.negotiating import Negotiation, Pace
from ribway.router.proof.placing import SLOW, Placer
from ribway.router.proof.plans import cost_of, faults_of
from ribway.router.proof.rearranging import Rearranger
from ribway.router.proof.table import Table

INSTANCES = Path(__file__).parents[3] / "benchmarks" / "instances"


@pytest.mark.parametrize("near", [0, 2, 1000])
@pytest.mark.parametrize("seed", range(2))
def test_a_route_is_the_cheapest_at_any_prices(seed: int, near: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(finder, "NEAR", near)
    monkeypatch.setattr(finder, "REACHES", (1e6,))  # however far off
    instance = random_instance(seed, 4)
    rng, net = np.random.default_rng(seed), instance.network
    found = 0
    for by_area in (0.0, 0.001):
        price = np.where(rng.random(net.ways) < 0.15, np.inf, rng.random(net.ways) * rng.choice((0.0, 0.5), net.ways))
        per_mm2 = by_area * rng.random(net.ways)
        search = Finder(instance)
        for number, run in enumerate(instance.runs):
            priced = [
                cost + sum(price[way] + run.sizes[size].area_mm2 * per_mm2[way] for way in ways)
                for cost, size, ways, _ in reference.all_routes(instance, run)
            ]
            best = min(priced, default=math.inf)
            route = search.route(number, price, per_mm2)
            if math.isinf(best):
                assert route is None
                continue
            assert route is not None
            ways = list(route.ways)
            area = run.sizes[route.size].area_mm2
            assert route.cost + price[ways].sum() + area * per_mm2[ways].sum() == pytest.approx(best, rel=1e-9)
            assert search.route(number, price, per_mm2, best * (1.0 - 1e-6)) is None
            assert search.route(number, price, per_mm2, best * (1.0 + 1e-6)) == route
            found += 1
    assert found


def begun(name: str) -> tuple[Placer, Table]:
    """A plan as negotiation leaves it."""
    instance = from_text((INSTANCES / name).read_text(encoding="utf-8"))
    placer = Placer(instance, groups_of(instance))
    table = placer.negotiation().settle(60, SLOW)
    assert placer.repair(table)
    return placer, table


@pytest.mark.parametrize("name", ["lattice-30x120-4.json", "lattice-20x110-3.json"])
def test_changes_only_better_a_plan_and_keep_its_rules(name: str) -> None:
    instance = from_text((INSTANCES / name).read_text(encoding="utf-8"))
    rows = (INSTANCES / "optima.csv").read_text(encoding="utf-8").splitlines()
    bound = next(float(row.split(",")[4]) for row in rows if row.startswith(name))
    plans = []
    for _ in range(2):
        placer, table = begun(name)
        before = table.cost
        Rearranger(instance, placer).improve(table, 150)
        routes = [route for route in table.routes if route is not None]
        assert not faults_of(instance, routes)
        assert bound * (1.0 - 1e-6) <= cost_of(instance, routes) < before
        plans.append(routes)
    assert plans[0] == plans[1]


def test_a_negotiation_gone_on_with_keeps_the_best_plan_it_met() -> None:
    name = "lattice-30x120-4.json"
    instance = from_text((INSTANCES / name).read_text(encoding="utf-8"))
    rows = (INSTANCES / "optima.csv").read_text(encoding="utf-8").splitlines()
    bound = next(float(row.split(",")[4]) for row in rows if row.startswith(name))
    pace = Pace(0.02, 1.05, 0.1, 0.1)
    costs = []
    for times in (1, 2, 5):
        table = Placer(instance, groups_of(instance)).settled_often(60, None, pace, times)
        assert table is not None
        routes = [route for route in table.routes if route is not None]
        assert not faults_of(instance, routes)
        assert cost_of(instance, routes) >= bound * (1.0 - 1e-6)
        costs.append(table.cost)
    assert costs[0] >= costs[1] >= costs[2]
    assert costs[0] > costs[2]  # it pays at least here


def test_ways_that_stay_crowded_are_charged_more_each_time() -> None:
    """Two runs where there is room for one, twice over: each sweep adds the lasting price, and more by what it met before."""
    instance = random_instance(1, 2)
    net = replace(instance.network, limit_mm2=np.full(instance.network.ways, 1e-3), bore_mm=instance.network.bore_mm)
    run = instance.runs[0]
    tight = replace(instance, network=net, runs=(run, replace(run, name="twin")))
    route = Finder(instance).route(0, np.zeros(net.ways), np.zeros(net.ways))
    assert route is not None
    asked: list[float] = []

    def seek(number: int, toll: Array, per_mm2: Array | None, old: Route | None) -> Route:
        asked.append(float(toll[route.ways[0]]))
        return replace(route, run=number)

    Negotiation(tight, groups_of(tight), 1.0, None, seek).settle(4, Pace(0.0, 1.0, 1.0, 0.5))
    area = min(size.area_mm2 for size in run.sizes) / 30.0
    # 1 x (1 + 0.5), then 1 x (1 + 1.0), then 1 x (1 + 1.5) more.
    assert np.array(asked[1::2]) / area == pytest.approx([0.0, 1.5, 3.5, 6.0])
