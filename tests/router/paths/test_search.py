"""Shortest paths on the state network against networkx and against every order of ways written out."""

from __future__ import annotations

import itertools
import math
import random

import networkx as nx
import numpy as np
import pytest
from plain_shells import Bar, Hole, on_wall, plain_shell, project
from vans import Van, van

from ribway.router.paths.board import ways_of
from ribway.router.paths.search import Searcher, distances
from ribway.router.space.build import build_space
from ribway.router.space.network import Network, build_network


@pytest.fixture(scope="module")
def long_van() -> Van:
    """The longest preset with some devices."""
    return van("long-high", 60, seed=1)


def exported(network: Network) -> nx.DiGraph:
    """The network as a graph for networkx, from its source and target columns; of parallel edges the shortest."""
    graph = nx.DiGraph()
    graph.add_nodes_from(range(network.nodes))
    for a, b, length in zip(network.source.tolist(), network.target.tolist(), network.length.tolist(), strict=True):
        if length < graph.get_edge_data(a, b, {"weight": math.inf})["weight"]:
            graph.add_edge(a, b, weight=length)
    return graph


def test_distances_equal_networkx_from_every_device(long_van: Van) -> None:
    network = long_van.network
    graph = exported(network)
    starts = list(range(0, len(long_van.space.portals), 5))
    found = distances(network, starts)
    reached = 0
    for row, start in zip(found, starts, strict=True):
        reference = nx.single_source_dijkstra_path_length(graph, network.leaving(start))
        assert {int(node) for node in np.flatnonzero(np.isfinite(row))} == set(reference)
        assert row[list(reference)] == pytest.approx(list(reference.values()), abs=1e-9)
        reached += len(reference)
    assert reached > 1000


def test_rows_and_columns_of_the_network_say_the_same(long_van: Van) -> None:
    """Row starts, sources and targets fit; both directions of a stretch are as long; a closed way has no edge."""
    network = long_van.network
    rows = np.repeat(np.arange(network.nodes), np.diff(network.indptr))
    assert np.array_equal(rows, network.source)
    assert (network.length > 0.0).all()
    assert (network.turns >= 0.0).all()
    ways = network.space.ways
    stretch = {}
    for edge in range(len(network.length)):
        node = int(network.target[edge])
        own = ways[node // 2].length_m if node < 2 * network.ways else 0.0
        key = (int(network.bay[edge]), int(network.first[edge]), int(network.last[edge]))
        stretch[key] = float(network.length[edge]) - own
    for (bay, first, last), length in stretch.items():
        if (bay, last, first) in stretch:
            assert stretch[bay, last, first] == pytest.approx(length, abs=1e-12)
    entered = {int(node) // 2 for node in network.target if node < 2 * network.ways}
    assert not {index for index, way in enumerate(ways) if way.closed} & entered


@pytest.mark.parametrize("seed", range(20))
def test_paths_with_prices_and_bends_equal_networkx(long_van: Van, seed: int) -> None:
    network = long_van.network
    rng = np.random.default_rng(seed)
    price = rng.uniform(0.0, 0.4, network.ways)
    price[rng.random(network.ways) < 0.2] = np.inf
    edge_cost = network.length + 0.05 * network.turns
    a, b = rng.choice(len(long_van.space.portals), 2, replace=False).tolist()
    graph = nx.DiGraph()
    graph.add_nodes_from(range(network.nodes))
    for edge, (u, v) in enumerate(zip(network.source.tolist(), network.target.tolist(), strict=True)):
        cost = float(edge_cost[edge]) + (float(price[v // 2]) if v < 2 * network.ways else 0.0)
        if math.isfinite(cost) and cost < graph.get_edge_data(u, v, {"weight": math.inf})["weight"]:
            graph.add_edge(u, v, weight=cost)
    path = Searcher(network).path(a, b, edge_cost, price)
    try:
        want = nx.dijkstra_path_length(graph, network.leaving(a), network.reaching(b))
    except nx.NetworkXNoPath:
        assert path is None
        return
    assert path is not None
    assert path.cost == pytest.approx(want, abs=1e-9)
    passed = ways_of(network, path)
    assert np.isfinite(price[list(passed)]).all()
    assert path.cost == pytest.approx(float(edge_cost[list(path.edges)].sum() + price[list(passed)].sum()), abs=1e-9)
    nodes = [int(network.source[path.edges[0]]), *(int(network.target[edge]) for edge in path.edges)]
    assert nodes[0] == network.leaving(a)
    assert nodes[-1] == network.reaching(b)
    for edge, before in zip(path.edges, nodes[:-1], strict=True):
        assert int(network.source[edge]) == before, "edges hang together"


def small(seed: int) -> tuple[Network, int, int]:
    """A wall with three ribs of two holes, two devices."""
    rng = random.Random(seed)
    ribs = [
        Bar(back, (Hole(round(rng.uniform(0.1, 0.5), 3)), Hole(round(rng.uniform(0.6, 1.0), 3))))
        for back in (0.5, 1.0, 1.5)
    ]
    places = {"a": on_wall(0.2, round(rng.uniform(0.1, 1.0), 3)), "b": on_wall(1.8, round(rng.uniform(0.1, 1.0), 3))}
    wanted = project(places, [{"id": "C", "name": "C", "from": "a", "to": ["b"]}])
    return build_network(build_space(wanted, plain_shell(2.0, 1.1, ribs))), 0, 1


def walks(network: Network, a: int, b: int, most: int) -> list[tuple[float, tuple[int, ...]]]:
    """Every walk of at most ``most`` edges from one device to the other, with its length and the ways it passes."""
    out = []
    stack: list[tuple[int, float, tuple[int, ...]]] = [(network.leaving(a), 0.0, ())]
    while stack:
        node, length, passed = stack.pop()
        if node == network.reaching(b):
            out.append((length, passed))
            continue
        if len(passed) >= most:
            continue
        for edge in range(int(network.indptr[node]), int(network.indptr[node + 1])):
            target = int(network.target[edge])
            way = (target // 2,) if target < 2 * network.ways else ()
            stack.append((target, length + float(network.length[edge]), (*passed, *way)))
    return out


def in_order(wanted: tuple[int, ...], passed: tuple[int, ...]) -> bool:
    """Whether ``wanted`` is a subsequence of ``passed``."""
    rest = iter(passed)
    return all(way in rest for way in wanted)


@pytest.mark.parametrize("seed", range(6))
def test_via_equals_the_shortest_of_all_walks_that_pass_the_ways_in_order(seed: int) -> None:
    """Up to two wanted ways, there-and-back ones included, on a small wall; a walk passes eleven holes at most."""
    network, a, b = small(seed)
    everything = walks(network, a, b, 11)
    assert len(everything) > 100
    search, nothing = Searcher(network), np.zeros(network.ways)
    for count in (0, 1, 2):
        for via in itertools.permutations(range(network.ways), count):
            want = min((length for length, passed in everything if in_order(via, passed)), default=math.inf)
            path = search.path(a, b, network.length, nothing, via)
            if path is None:
                assert want == math.inf, via
                continue
            assert path.cost == pytest.approx(want, abs=1e-9), via
            assert in_order(via, ways_of(network, path))
            assert path.cost == pytest.approx(float(network.length[list(path.edges)].sum()), abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_closed_ways_are_not_used(seed: int) -> None:
    network, a, b = small(seed)
    everything = walks(network, a, b, 5)
    search = Searcher(network)
    for shut in itertools.combinations(range(network.ways), 2):
        price = np.zeros(network.ways)
        price[list(shut)] = np.inf
        path = search.path(a, b, network.length, price)
        want = min((length for length, passed in everything if not set(shut) & set(passed)), default=math.inf)
        if path is None:
            assert want == math.inf, "both holes of one rib are shut"
            continue
        assert path.cost == pytest.approx(want, abs=1e-9)
        assert not set(shut) & set(ways_of(network, path))


def test_a_wanted_way_that_is_shut_leaves_no_path() -> None:
    network, a, b = small(0)
    price = np.zeros(network.ways)
    price[2] = np.inf
    assert Searcher(network).path(a, b, network.length, price, (2,)) is None
