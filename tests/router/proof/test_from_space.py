"""The planner's network as an instance: lengths by closed forms, and never dearer than what negotiation found."""

from __future__ import annotations

import random
from typing import Any

import pytest
from holes import cable
from plain_shells import Bar, Hole, on_wall, plain_shell, project

from ribway.router.paths.admission import Separation
from ribway.router.paths.jobs import Job
from ribway.router.paths.negotiation import Negotiator, ways_of
from ribway.router.proof.from_space import Adapted, adapt, admitted, best_admitted, paths_of
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve
from ribway.router.space.build import build_space
from ribway.router.space.network import Network, build_network

APART = Separation("apart", "together")
LAY = 0.0275
Ends = tuple[tuple[float, float], tuple[float, float]]


def network_of(ribs: tuple[Bar, ...], ends: list[Ends]) -> Network:
    """A flat wall with ribs, and devices where runs start and end."""
    places: dict[str, dict[str, Any]] = {}
    for k, (a, b) in enumerate(ends):
        places |= {f"a{k}": on_wall(*a, LAY), f"b{k}": on_wall(*b, LAY)}
    wanted = project(places, [{"id": "C", "name": "C", "from": "a0", "to": ["b0"]}])
    return build_network(build_space(wanted, plain_shell(3.0, 1.2, ribs, lay=LAY)))


def adapted(network: Network, jobs: list[Job], one: Negotiator) -> Adapted:
    """With nothing but weighted metres."""
    shut = [one.alone(job) for job in jobs]
    return adapt(network, jobs, APART, shut, [job.weight for job in jobs], [0.0] * len(jobs))


def test_the_lighter_of_two_runs_gives_way_at_the_small_hole() -> None:
    # Straight runs of 1.0 and 1.2 m at height 0.4; the small hole takes one. The other goes up by 0.5 m and back: 1 m more.
    rib = Bar(1.0, (Hole(0.4, bore=0.018), Hole(0.9, bore=0.025)))
    network = network_of((rib,), [((0.5, 0.4), (1.5, 0.4)), ((0.4, 0.4), (1.6, 0.4))])
    for heavy in (0, 1):
        weights = [0.05, 0.05]
        weights[heavy] = 0.1
        jobs = [Job(cable(f"r{k}", 8.0), 2 * k, 2 * k + 1, weights[k], (), frozenset()) for k in (0, 1)]
        made = adapted(network, jobs, Negotiator(network, APART, 0.0, 0.0, 0.0))
        found = solve(made.instance, Limits(tolerance=1e-9))
        assert found.cost == pytest.approx(1.0 * weights[0] + 1.2 * weights[1] + 1.0 * 0.05, abs=1e-9)
        assert found.bound <= found.cost
        assert found.proven
        paths = paths_of(made, found.routes)
        ways = [[network.space.ways[way].name for way in ways_of(network, path)] for path in paths]
        assert ways[heavy] == ["L1a"]
        assert ways[1 - heavy] == ["L1b"]
        assert admitted(network, jobs, paths, APART) == []
        for job, path in zip(jobs, paths, strict=True):
            assert float(network.length[list(path.edges)].sum()) * job.weight == pytest.approx(path.cost)


@pytest.mark.parametrize("seed", range(4))
def test_never_dearer_than_negotiation_and_never_above_it_with_the_bound(seed: int) -> None:
    rng = random.Random(seed)
    ribs = tuple(
        Bar(back, tuple(Hole(up, bore=rng.choice((0.018, 0.022, 0.028))) for up in (0.2, 0.45, 0.7, 0.95)))
        for back in (1.0, 2.0)
    )
    ends: list[Ends] = []
    for _ in range(6):
        start, end = round(rng.uniform(0.1, 0.9), 3), round(rng.uniform(2.1, 2.9), 3)
        ends.append(((start, round(rng.uniform(0.1, 1.1), 3)), (end, round(rng.uniform(0.1, 1.1), 3))))
    network = network_of(ribs, ends)
    kinds = ("dc", "dc", "ac", "dc", "data", "dc")
    jobs = [
        Job(
            cable(f"r{k}", rng.choice((4.0, 6.0)), kind=kinds[k]),
            2 * k,
            2 * k + 1,
            rng.uniform(0.02, 0.1),
            (),
            frozenset(),
        )
        for k in range(6)
    ]
    one = Negotiator(network, APART, 0.0, 0.0, 0.0)
    outcome = one.route(jobs)
    made = adapted(network, jobs, one)
    found = solve(made.instance, Limits(tolerance=1e-6))
    if all(path is not None for path in outcome.paths):
        cost = sum(
            float(network.length[list(path.edges)].sum()) * job.weight
            for job, path in zip(jobs, outcome.paths, strict=True)
            if path is not None
        )
        assert found.bound <= cost * (1.0 + 1e-12)
        assert found.cost <= cost * (1.0 + 1e-6)
    assert found.proven
    proved = best_admitted(network, jobs, made, APART, Limits(tolerance=1e-6))
    assert proved.result.bound == found.bound
    if proved.paths:
        assert one.all_admit(jobs, proved.paths)
        assert proved.cost >= found.bound
