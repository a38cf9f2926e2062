"""Cables that are not led through air too hot for them, against networkx and the temperature factor of IEC 60364-5-52."""

from __future__ import annotations

import math
from pathlib import Path

import networkx as nx
import numpy as np
import pytest
from small_vans import shell, small_project

from ribway.models.reading import read_project
from ribway.router.placing.away import Away
from ribway.router.placing.field import circuits_of
from ribway.router.placing.trying import Trying, trying_of
from ribway.router.sizes.airs import AIRS

DEMO = Path(__file__).parents[3] / "docs" / "demo" / "survey-van" / "project.yaml"


@pytest.mark.parametrize("too_hot", [frozenset(), frozenset({"roof"}), frozenset({"wall"})])
def test_lengths_are_those_of_a_network_without_what_is_too_hot(too_hot: frozenset[str]) -> None:
    network = Trying(Path(), shell()).prepared(small_project(3)).network
    graph = nx.DiGraph()
    graph.add_nodes_from(range(network.nodes))
    for source, target, length, bay in zip(
        network.source.tolist(), network.target.tolist(), network.length.tolist(), network.bay.tolist(), strict=True
    ):
        way = network.way_of(target)
        airs = {network.tables[bay].skin.zone} if bay >= 0 else set()
        airs |= {network.space.ways[way].zone} if way >= 0 else set()
        if not airs & too_hot:
            graph.add_edge(source, target, weight=length)
    away, portals, closed = Away(network), len(network.space.portals), 0
    for start in range(portals):
        found = away.to_devices(start, np.zeros(network.ways), too_hot)
        wanted = nx.single_source_dijkstra_path_length(graph, network.leaving(start))
        for end in range(portals):
            metres = wanted.get(network.reaching(end), math.inf)
            closed += math.isinf(metres)
            assert found[end] == pytest.approx(metres, abs=1e-9) or (end == start and found[end] == 0.0)
    assert bool(closed) == bool(too_hot)


def test_a_cable_is_too_thin_for_the_hottest_air_alone() -> None:
    # 1.5 mm2 by method A2 carries 14 A at 30 C; another air multiplies by sqrt((70 - t) / 40), the rule that the factors
    # of IEC 60364-5-52, table B.52.14, for PVC follow (0.87 at 40 C, 0.50 at 60 C). Table values from memory.
    ground = trying_of(read_project(DEMO), DEMO.parent).prepared(read_project(DEMO))
    needs = circuits_of(ground)._needs["A2-1"]
    thin, thick = needs.picks
    carries = {air: 14.0 * math.sqrt(max(0.0, 70.0 - ground.sizer.ambient_c(air)) / 40.0) for air in AIRS}
    amps = 8.0  # as the demo's plan says
    assert {air for air, most in carries.items() if most < amps} == thin.too_hot
    assert "roof" in thin.too_hot
    assert "wall" not in thin.too_hot
    assert not thick.too_hot
