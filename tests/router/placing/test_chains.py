"""Paths and trees of chains against every order there is, and against networkx."""

from __future__ import annotations

import itertools

import networkx as nx
import numpy as np
import pytest

from ribway.router.placing.chains import least_path, least_tree_m


def table(rng: np.random.Generator, count: int, places: int) -> np.ndarray:
    """Metres between points, the same both ways, at many places at once."""
    out = rng.uniform(0.1, 3.0, (count, count, places))
    return (out + out.transpose(1, 0, 2)) * (1.0 - np.eye(count))[:, :, None]


@pytest.mark.parametrize("seed", range(4))
def test_the_path_is_the_least_of_all_orders(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count, places = int(rng.integers(1, 6)), 5
    between, start = table(rng, count, places), rng.uniform(0.1, 3.0, (count, places))
    amps = rng.uniform(0.1, 4.0, count)
    for loads in ([0.0] * count, amps.tolist()):
        found = least_path(list(start), [list(row) for row in between], loads)
        for place in range(places):
            sums = []
            for order in itertools.permutations(range(count)):
                steps = [start[order[0], place], *(between[a, b, place] for a, b in itertools.pairwise(order))]
                carried = [sum(loads[k] for k in order[i:]) if any(loads) else 1.0 for i in range(count)]
                sums.append(sum(metres * amount for metres, amount in zip(steps, carried, strict=True)))
            assert found[place] == pytest.approx(min(sums))


@pytest.mark.parametrize("seed", range(4))
def test_the_tree_is_the_least_there_is(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count, places = int(rng.integers(2, 8)), 4
    metres = table(rng, count, places)
    found = least_tree_m([list(row) for row in metres])
    for place in range(places):
        graph = nx.from_numpy_array(metres[:, :, place])
        assert found[place] == pytest.approx(nx.minimum_spanning_tree(graph).size(weight="weight"))
