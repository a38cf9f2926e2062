"""Route search on a van with some 300 openings: all distances of 50 devices in one call, against networkx.

Both run Dijkstra on the same state network. Lengths are compared; a difference fails, a time never does.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Sequence
from typing import Any

import networkx as nx
import numpy as np

from ribway.models.project import Project
from ribway.router.paths.search import Searcher, distances
from ribway.router.shell.build import build
from ribway.router.shell.parameters import HoleRow
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import preset
from ribway.router.space.build import build_space
from ribway.router.space.network import Network, build_network

RUNS = 50
WANTED_RATIO = 20.0
REPEATS = 5


def big_shell() -> Shell:
    """The longest preset with two to three times as many hole rows."""
    ribs = (0.16, 0.30, 0.44, 0.58, 0.72, 0.86, 1.16, 1.26, 1.36, 1.46)
    bows = (0.56, 0.44, 0.32, 0.20, 0.08, -0.08, -0.20, -0.32, -0.44, -0.56)
    return build(
        preset(
            "long-high",
            rib_rows=tuple(HoleRow(up, 0.025) for up in ribs),
            bow_rows=tuple(HoleRow(left, 0.025) for left in bows),
        )
    )


def devices(shell: Shell, count: int) -> list[dict[str, Any]]:
    """Devices on the left wall, the roof and the floor, evenly spread with a little chance."""
    rng = random.Random(7)
    out: list[dict[str, Any]] = []
    for k in range(count):
        back = 0.2 + (shell.length_m - 0.4) * k / (count - 1)
        at: dict[str, Any] = {"wall": ("left", "roof", "floor")[k % 3], "back": back, "stand_off": 0.08}
        if at["wall"] == "left":
            at["up"] = rng.choice((0.5, 0.65, 0.9)) if not 2.5 < back < 3.8 else 0.9
        else:
            at["left"] = rng.uniform(0.0, 0.45)
        out.append({"id": f"d{k}", "name": f"d{k}", "at": at})
    return out


def network_of(shell: Shell) -> Network:
    """The state network of that shell with all devices."""
    data = {
        "ribway": 1,
        "name": "benchmark",
        "vehicle": {"preset": "long-high"},
        "devices": devices(shell, RUNS + 1),
        "circuits": [{"id": "C", "name": "C", "from": "d0", "to": ["d1"]}],
    }
    return build_network(build_space(Project.model_validate(data, context={"si": True}), shell))


def by_networkx(graph: nx.DiGraph[int], network: Network, starts: Sequence[int]) -> np.ndarray[Any, Any]:
    """The same distances by networkx, one source after the other."""
    out = np.full((len(starts), network.nodes), np.inf)
    for row, start in enumerate(starts):
        for node, length in nx.single_source_dijkstra_path_length(graph, network.leaving(start)).items():
            out[row, node] = length
    return out


def exported(network: Network) -> nx.DiGraph[int]:
    """The network as networkx sees it; of parallel edges the shortest."""
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(network.nodes))
    for a, b, m in zip(network.source.tolist(), network.target.tolist(), network.length.tolist(), strict=True):
        if not graph.has_edge(a, b) or m < graph[a][b]["weight"]:
            graph.add_edge(a, b, weight=m)
    return graph


def main() -> int:
    """Print sizes, seconds and the ratio; 1 if lengths differ."""
    shell = big_shell()
    network = network_of(shell)
    print(f"{len(shell.openings)} openings, {network.nodes} states, {len(network.length)} edges, {RUNS} runs")
    starts = list(range(RUNS))
    ours = []
    for _ in range(REPEATS):
        begun = time.perf_counter()
        found = distances(network, starts)
        ours.append(time.perf_counter() - begun)
    graph = exported(network)
    begun = time.perf_counter()
    reference = by_networkx(graph, network, starts)
    theirs = time.perf_counter() - begun
    same = np.array_equal(np.isfinite(found), np.isfinite(reference))
    reached = np.isfinite(reference)
    worst = float(np.abs(found[reached] - reference[reached]).max())
    search = Searcher(network)
    begun = time.perf_counter()
    for start in starts:
        search.path(start, start + 1, network.length, np.zeros(network.ways))
    paths = time.perf_counter() - begun
    ratio = theirs / min(ours)
    print(f"all distances in one call  {min(ours) * 1000:8.1f} ms")
    print(f"networkx                   {theirs * 1000:8.1f} ms, {ratio:.0f} times as long (wanted: {WANTED_RATIO:.0f})")
    print(f"one path after the other   {paths * 1000:8.1f} ms, each with prices of its own")
    print(f"greatest difference        {worst:8.1e} m over {int(reached.sum())} distances")
    if not same or worst > 1e-9:
        print("the two do not find the same lengths", file=sys.stderr)
        return 1
    if ratio < WANTED_RATIO:
        print(f"slower than wanted: {ratio:.1f} times, not {WANTED_RATIO:.0f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
