"""Slow, obvious answers to small instances, from plain data alone: all plans tried, and one flow variable for every arc.

Nothing of the code under test is imported; an instance is read through its attributes only.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

EPS = 1e-9


def all_routes(instance: Any, run: Any) -> list[tuple[float, int, frozenset[int], tuple[int, ...]]]:
    """Every route of a run without a node or a way twice: (cost, size, ways, arcs)."""
    net = instance.network
    out = []

    def walk(node: int, arcs: tuple[int, ...], met: frozenset[int], ways: tuple[int, ...]) -> None:
        if node == run.end:
            left = list(run.via)
            for way in ways:
                if left and way == left[0]:
                    left.pop(0)
            if left:
                return
            length = sum(net.length_m[a] for a in arcs)
            charged = length + sum(net.extra_m[a] for a in arcs)
            for number, size in enumerate(run.sizes):
                wide = all(net.bore_mm[w] >= size.across_mm for w in ways)
                room = all(net.limit_mm2[w] * (1 + EPS) >= size.area_mm2 for w in ways)
                if wide and room and length <= size.longest_m + EPS:
                    out.append((size.fixed + size.rate * charged, number, frozenset(ways), arcs))
            return
        for arc in np.flatnonzero(net.source == node):
            way, target = int(net.way[arc]), int(net.target[arc])
            if target not in met and way not in ways and way not in run.avoid:
                walk(target, (*arcs, int(arc)), met | {target}, ways if way < 0 else (*ways, way))

    walk(run.start, (), frozenset({run.start}), ())
    return sorted(out, key=lambda one: one[0])


def brute_force(instance: Any) -> float:
    """Cost of the best plan over all combinations of routes; infinite if there is none."""
    choices = [all_routes(instance, run) for run in instance.runs]
    rest = [0.0] * (len(choices) + 1)
    for k in range(len(choices) - 1, -1, -1):
        if not choices[k]:
            return math.inf
        rest[k] = rest[k + 1] + choices[k][0][0]
    best = math.inf
    load = np.zeros(len(instance.network.limit_mm2))
    inside: list[list[str]] = [[] for _ in load]

    def apart(kind: str, way: int) -> bool:
        return any((kind, o) in instance.apart or (o, kind) in instance.apart for o in inside[way])

    def walk(k: int, cost: float) -> None:
        nonlocal best
        if cost + rest[k] >= best:
            return
        if k == len(choices):
            best = cost
            return
        run = instance.runs[k]
        for more, size, ways, _ in choices[k]:
            area = run.sizes[size].area_mm2
            if cost + more + rest[k + 1] >= best:
                return
            if any(load[w] + area > instance.network.limit_mm2[w] * (1 + EPS) or apart(run.kind, w) for w in ways):
                continue
            for w in ways:
                load[w] += area
                inside[w].append(run.kind)
            walk(k + 1, cost + more)
            for w in ways:
                load[w] -= area
                inside[w].pop()

    walk(0, 0.0)
    return best


def arc_flow(instance: Any) -> float:
    """The same by one mixed integer programme with a variable for every run, size and arc (runs without via)."""
    net = instance.network
    arcs, ways = len(net.source), len(net.limit_mm2)
    kinds = sorted({run.kind for run in instance.runs})
    options = [(k, o) for k, run in enumerate(instance.runs) for o in range(len(run.sizes))]
    flows = len(options) * arcs
    columns = flows + len(options) + len(kinds) * ways
    cost, upper = np.zeros(columns), np.ones(columns)
    entries: list[tuple[int, int, float]] = []
    low: list[float] = []
    high: list[float] = []

    def row(lower: float, top: float, some: Any) -> None:
        entries.extend((len(low), c, v) for c, v in some)
        low.append(lower)
        high.append(top)

    for q, (k, o) in enumerate(options):
        run, size, at = instance.runs[k], instance.runs[k].sizes[o], q * arcs
        for a in range(arcs):
            cost[at + a] = size.rate * (net.length_m[a] + net.extra_m[a])
            way = net.way[a]
            if way >= 0 and (net.bore_mm[way] < size.across_mm or way in run.avoid):
                upper[at + a] = 0.0
        cost[flows + q] = size.fixed
        for node in range(net.nodes):
            net_out = [(at + a, 1.0) for a in np.flatnonzero(net.source == node)]
            net_out += [(at + a, -1.0) for a in np.flatnonzero(net.target == node)]
            supply = (node == run.start) - (node == run.end)
            row(0.0, 0.0, [*net_out, (flows + q, -float(supply))])
        if math.isfinite(size.longest_m):
            row(-np.inf, size.longest_m, [(at + a, net.length_m[a]) for a in range(arcs)])
    for k in range(len(instance.runs)):
        row(1.0, 1.0, [(flows + q, 1.0) for q, (run_, _) in enumerate(options) if run_ == k])
    for way in range(ways):
        through = np.flatnonzero(net.way == way)
        use = [(q * arcs + a, q) for q in range(len(options)) for a in through]
        row(
            -np.inf,
            net.limit_mm2[way],
            [(c, instance.runs[options[q][0]].sizes[options[q][1]].area_mm2) for c, q in use],
        )
        for k in range(len(instance.runs)):
            mine = [(c, 1.0) for c, q in use if options[q][0] == k]
            member = flows + len(options) + kinds.index(instance.runs[k].kind) * ways + way
            row(-np.inf, 0.0, [*mine, (member, -1.0)])
        for one, other in itertools.combinations(range(len(kinds)), 2):
            if (kinds[one], kinds[other]) in instance.apart or (kinds[other], kinds[one]) in instance.apart:
                row(-np.inf, 1.0, [(flows + len(options) + g * ways + way, 1.0) for g in (one, other)])
    data = np.array(entries)
    matrix = coo_array(
        (data[:, 2], (data[:, 0].astype(int), data[:, 1].astype(int))), shape=(len(low), columns)
    ).tocsr()
    found = milp(
        cost,
        constraints=LinearConstraint(matrix, low, high),
        integrality=np.ones(columns),
        bounds=Bounds(0.0, upper),
        options={"mip_rel_gap": 1e-9},
    )
    return math.inf if found.status == 2 else float(found.fun)
