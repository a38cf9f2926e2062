"""Random test bodies: a van's inside rolled out flat, ribs and stringers with holes, and runs to be led through them.

The body is cut into cells by 13 ribs and 6 stringers; holes are the only way from cell to cell, so a graph of holes and
terminals with exact in-cell distances (round a rectangular window in some cells) holds every shortest path.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ribway.router.proof.instance import Instance, Network, Run, Size

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Box = tuple[float, float, float, float]

BAY_MM = 300.0
STRINGERS_MM = (0.0, 950.0, 1900.0, 3700.0, 4650.0, 5600.0, 7400.0)
PANELS = 6
BORES_MM = (16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 60.0)
BORE_SHARES = (0.12, 0.18, 0.22, 0.20, 0.14, 0.08, 0.06)
# Copper cable, two single cores: conductor area [mm2], outside [mm], amperes. Invented but near the trade; a test body only.
AREAS_MM2 = (1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0)
OUTSIDES_MM = (2.1, 2.4, 3.0, 3.7, 4.3, 6.0, 7.2, 8.9, 10.5, 12.2)
AMPERES = (11.0, 15.0, 20.0, 30.0, 40.0, 60.0, 85.0, 115.0, 145.0, 180.0)
COPPER_KG_PER_MM2_M = 8.96e-3
CABLE_KG_PER_M = 5e-3  # a little for the cable itself, so that data has a price
OHM_MM2_PER_M = 0.0178
DROP_V = 0.36
CLEAR = 1.05  # a hole is to be this much wider than the cable


@dataclass(frozen=True, eq=False)
class Body:
    """Holes ``(h, 5)`` (x, u, bore, cell, cell), terminals ``(t, 3)`` (x, u, cell), windows, wiring, all [mm]."""

    holes: Array
    terminals: Array
    windows: dict[int, Box]
    wiring: tuple[tuple[int, int, str, float], ...]
    bays: int


def cell(bay: int, panel: int) -> int:
    """Number of a cell; panels go round the section."""
    return bay * PANELS + panel % PANELS


def body(
    seed: int, runs: int = 60, holes: int = 300, bays: int = 14, stringer_holes: int = 44, boards: int = 1
) -> Body:
    """A random body; the same seed gives the same body.

    Args:
        seed: of the generator.
        runs: 70 % from a board (dc), 17 % from an inverter (ac), the rest data from anywhere to anywhere.
        holes: in all, those through stringers included.
        bays: cells along the vehicle.
        stringer_holes: how many of the holes lead from panel to panel.
        boards: boards and inverters, evenly along the vehicle; each feeds its share of the runs.
    """
    rng = np.random.default_rng(seed)
    rows: list[tuple[float, ...]] = []
    gates = (bays - 1) * PANELS
    rib_holes = holes - stringer_holes
    count = np.full((bays - 1, PANELS), rib_holes // gates)
    for q in rng.permutation(gates)[: rib_holes - count.sum()]:
        count.flat[q] += 1
    for i in range(bays - 1):
        for j in range(PANELS):
            places = np.sort(rng.uniform(STRINGERS_MM[j] + 40, STRINGERS_MM[j + 1] - 40, count[i, j]))
            for u in places:
                bore = rng.choice(BORES_MM, p=BORE_SHARES)
                rows.append((BAY_MM * (i + 1), u, bore, cell(i, j), cell(i + 1, j)))
    for q in rng.choice(bays * PANELS, stringer_holes, replace=False):
        i, j = divmod(int(q), PANELS)
        x = BAY_MM * i + rng.uniform(30, 270)
        u = STRINGERS_MM[j + 1] if j < PANELS - 1 else 0.0
        rows.append((x, u, rng.choice(BORES_MM, p=BORE_SHARES), cell(i, j), cell(i, j + 1)))
    table = np.array(rows)
    feeds = [(cell(2 + n * bays // boards, 0), cell(3 + n * bays // boards, 5)) for n in range(boards)]
    for c in (c for pair in feeds for c in pair):  # board and inverter stand where there are big holes
        near = np.flatnonzero((table[:, 3] == c) | (table[:, 4] == c))
        table[near, 2] = np.maximum(table[near, 2], 40.0)
        table[near[:2], 2] = 60.0
    windows = _windows(rng, bays)
    terminals, wiring = _wiring(rng, windows, bays, runs, feeds)
    return Body(table, terminals, windows, wiring, bays)


def _windows(rng: np.random.Generator, bays: int) -> dict[int, Box]:
    out = {}
    for c in range(bays * PANELS):
        if rng.random() < 0.3:
            i, j = divmod(c, PANELS)
            w = rng.uniform(60, 160)
            h = rng.uniform(0.2, 0.5) * (STRINGERS_MM[j + 1] - STRINGERS_MM[j])
            x0 = BAY_MM * i + rng.uniform(30, 270 - w)
            u0 = rng.uniform(STRINGERS_MM[j] + 60, STRINGERS_MM[j + 1] - 60 - h)
            out[c] = (x0, u0, x0 + w, u0 + h)
    return out


def _wiring(
    rng: np.random.Generator, windows: dict[int, Box], bays: int, runs: int, feeds: list[tuple[int, int]]
) -> tuple[Array, tuple[tuple[int, int, str, float], ...]]:
    places: list[tuple[float, float, float]] = []

    def terminal(where: int | None = None) -> int:
        c = int(rng.integers(bays * PANELS)) if where is None else where
        i, j = divmod(c, PANELS)
        while True:
            x = BAY_MM * i + rng.uniform(20, 280)
            u = rng.uniform(STRINGERS_MM[j] + 20, STRINGERS_MM[j + 1] - 20)
            box = windows.get(c)
            if box is None or not (box[0] <= x <= box[2] and box[1] <= u <= box[3]):
                places.append((x, u, c))
                return len(places) - 1

    sources = [(terminal(board), terminal(inverter)) for board, inverter in feeds]
    out = []
    loads, shares = (1, 2, 3, 5, 8, 10, 15, 20, 30), (0.14, 0.14, 0.16, 0.16, 0.12, 0.1, 0.08, 0.06, 0.04)
    for k in range(runs):
        board, inverter = sources[k % len(sources)]
        if k < int(0.7 * runs):
            amps = float(rng.choice(loads, p=shares))
            out.append((board, terminal(), "dc", amps))
        elif k < int(0.87 * runs):
            out.append((inverter, terminal(), "ac", 0.0))
        else:
            start = terminal()
            out.append((start, terminal(), "data", 0.0))
    return np.array(places), tuple(out)


def instance(made: Body, cap: float = 1.0, fill: float = 0.45) -> Instance:
    """The instance of a body.

    Args:
        made: holes, terminals, wiring.
        cap: multiplies the fill limit; only a knob for how tight the test is.
        fill: share of a hole's area.
    """
    network, reach = hole_graph(made, cap * fill)
    first = len(made.holes)
    runs = []
    for number, (a, b, kind, amps) in enumerate(made.wiring):
        sizes = cables(kind, amps, float(reach[a, b]))
        if not sizes:
            raise ValueError(f"run {number}: no cable is thick enough for {amps} A over {reach[a, b]:.1f} m")
        # A terminal has two nodes: one that is left from, one that is ended at, so that none is passed through.
        runs.append(Run(f"{kind}{number}", first + a, first + len(made.terminals) + b, kind, sizes))
    return Instance(network, tuple(runs), frozenset({("ac", "dc"), ("ac", "data")}))


def cables(kind: str, amps: float, shortest_m: float) -> tuple[Size, ...]:
    """Up to three cables that carry the current, thinnest first, each with its longest length for the drop."""
    if kind == "ac":
        return (Size(3 * 2.5 * COPPER_KG_PER_MM2_M + CABLE_KG_PER_M, math.pi / 4 * 9.5**2, CLEAR * 9.5),)
    if kind == "data":
        return (Size(8 * 0.2 * COPPER_KG_PER_MM2_M + CABLE_KG_PER_M, math.pi / 4 * 6.0**2, CLEAR * 6.0),)
    out = []
    for area, outside, most in zip(AREAS_MM2, OUTSIDES_MM, AMPERES, strict=True):
        longest = DROP_V * area / (2 * OHM_MM2_PER_M * amps)
        if most >= amps and longest >= shortest_m and len(out) < 3:
            rate = 2 * area * COPPER_KG_PER_MM2_M + CABLE_KG_PER_M
            out.append(Size(rate, 2 * math.pi / 4 * outside**2, CLEAR * 2 * outside, longest))
    return tuple(out)


def hole_graph(made: Body, share: float) -> tuple[Network, Array]:
    """Arcs between holes and terminals with exact in-cell distances, and terminal to terminal distances [m]."""
    holes, terminals = len(made.holes), len(made.terminals)
    inside: list[list[int]] = [[] for _ in range(made.bays * PANELS)]
    points: list[list[tuple[float, float]]] = [[] for _ in inside]
    for h, (x, u, _, one, other) in enumerate(made.holes):
        for c in (int(one), int(other)):
            inside[c].append(h)
            points[c].append((x, STRINGERS_MM[-1] if c % PANELS == PANELS - 1 and u == 0.0 else u))
    for t, (x, u, c) in enumerate(made.terminals):
        inside[int(c)].append(holes + t)
        points[int(c)].append((x, u))
    best: dict[tuple[int, int], float] = {}
    for c, members in enumerate(inside):
        if len(members) > 1:
            between = _cell_distances(np.array(points[c]), made.windows.get(c)) / 1000.0
            for i, a in enumerate(members):
                for j, b in enumerate(members):
                    target = b if b < holes else b + terminals
                    if i != j and between[i, j] < best.get((a, target), math.inf):
                        best[a, target] = float(between[i, j])
    pairs = np.array(sorted(best), dtype=np.int64)
    length = np.array([best[a, b] for a, b in sorted(best)])
    way = np.where(pairs[:, 1] < holes, pairs[:, 1], -1)
    bore = made.holes[:, 2].astype(np.float64)
    nodes = holes + 2 * terminals
    graph = csr_array((length, (pairs[:, 0], pairs[:, 1])), shape=(nodes, nodes))
    reach = dijkstra(graph, indices=np.arange(holes, holes + terminals))[:, holes + terminals :]
    network = Network(
        nodes, pairs[:, 0], pairs[:, 1], length, np.zeros(len(length)), way, share * np.pi / 4 * bore**2, bore
    )
    return network, np.asarray(reach)


def _cell_distances(points: Array, box: Box | None) -> Array:
    """``(n, n)`` shortest distances in a cell, round its window."""
    if box is None:
        return np.asarray(np.linalg.norm(points[:, None] - points[None], axis=2))
    x0, u0, x1, u1 = box
    spots = np.vstack([points, [(x0, u0), (x1, u0), (x1, u1), (x0, u1)]])
    a, b = np.triu_indices(len(spots), 1)
    clear = ~crosses(spots[a], spots[b], box)
    weights = np.linalg.norm(spots[a] - spots[b], axis=1)[clear]
    graph = csr_array((weights, (a[clear], b[clear])), shape=(len(spots), len(spots)))
    return np.asarray(dijkstra(graph, directed=False, indices=np.arange(len(points)))[:, : len(points)])


def crosses(start: Array, end: Array, box: Box, eps: float = 1e-9) -> NDArray[np.bool_]:
    """``(n,)`` whether open segments cross the open rectangle (slab test)."""
    step = end - start
    enter, leave = np.zeros(len(start)), np.ones(len(start))
    beside = np.zeros(len(start), dtype=bool)
    for axis in (0, 1):
        low, high = box[axis] + eps, box[axis + 2] - eps
        still = np.abs(step[:, axis]) < 1e-12
        beside |= still & ((start[:, axis] <= low) | (start[:, axis] >= high))
        with np.errstate(divide="ignore", invalid="ignore"):
            one, other = (low - start[:, axis]) / step[:, axis], (high - start[:, axis]) / step[:, axis]
        enter = np.maximum(enter, np.where(still, -np.inf, np.minimum(one, other)))
        leave = np.minimum(leave, np.where(still, np.inf, np.maximum(one, other)))
    return (leave > enter + 1e-12) & ~beside
