"""Random small lattices for the search of all routes at once: small enough for all their plans to be tried."""

from __future__ import annotations

import math

import numpy as np

from ribway.router.proof.instance import Instance, Network, Run, Size


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
