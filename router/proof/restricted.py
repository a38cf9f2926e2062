"""The best plan among routes already known, by mixed integer programming."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from ribway.router.proof.instance import Instance, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.rules import Cover


class _Rows:
    """Rows of a matrix in the making."""

    def __init__(self) -> None:
        self.row: list[int] = []
        self.column: list[int] = []
        self.value: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def add(self, low: float, high: float, entries: Iterable[tuple[int, float]]) -> None:
        for column, value in entries:
            self.row.append(len(self.low))
            self.column.append(column)
            self.value.append(value)
        self.low.append(low)
        self.high.append(high)


def best_of(
    instance: Instance,
    groups: Groups,
    routes: Sequence[Route],
    covers: Sequence[Cover],
    below: float,
    nodes: int,
    close: float,
    extra: Sequence[tuple[dict[int, float], float]] = (),
) -> list[Route] | None:
    """The cheapest plan from some routes.

    Args:
        instance: what is solved.
        groups: of its runs.
        routes: to choose from.
        covers: known to hold; they speed the solver up.
        below: only plans cheaper than this are of use; infinite if any is.
        nodes: search nodes at most.
        close: relative gap at which the solver may stop.
        extra: further rules: weights of routes by index, and what they may sum up to.

    Returns:
        One route a run, or None if none was found. The caller checks it.
    """
    rows, count = _Rows(), len(routes)
    by_run: list[list[int]] = [[] for _ in instance.runs]
    at: list[list[int]] = [[] for _ in range(instance.network.ways)]
    for i, route in enumerate(routes):
        by_run[route.run].append(i)
        for way in route.ways:
            at[way].append(i)
    if not all(by_run):
        return None
    for some in by_run:
        rows.add(1.0, 1.0, ((i, 1.0) for i in some))
    area = [instance.runs[route.run].sizes[route.size].area_mm2 for route in routes]
    columns = count
    fees: dict[int, float] = {}
    for way, some in enumerate(at):
        limit = float(instance.network.limit_mm2[way])
        if instance.network.openings[way] == 0.0 and (len({routes[i].run for i in some}) < 2 or limit <= 0.0):
            continue
        limit = max(limit, 1e-12)
        present = sorted({int(groups.of[routes[i].run]) for i in some})
        column = {}
        if any(groups.apart[a, b] for a in present for b in present):
            picky = [g for g in present if groups.picky(g)]
            column = {g: columns + j for j, g in enumerate(picky)}
            columns += len(picky)
            for rivals in groups.rivals:
                rows.add(-math.inf, 1.0, ((column[g], 1.0) for g in rivals if g in column))
            for g in picky:
                own = [i for i in some if groups.of[routes[i].run] == g]
                rows.add(-math.inf, 0.0, [*((i, area[i] / limit) for i in own), (column[g], -1.0)])
                for run in sorted({routes[i].run for i in own}):
                    rows.add(-math.inf, 0.0, [*((i, 1.0) for i in own if routes[i].run == run), (column[g], -1.0)])
        if not column or any(len(one) > 1 for one in groups.together):
            rows.add(-math.inf, 1.0, ((i, area[i] / limit) for i in some))
        if instance.network.openings[way] > 0.0:
            fees[columns] = float(instance.network.openings[way])
            for run in sorted({routes[i].run for i in some}):
                rows.add(-math.inf, 0.0, [*((i, 1.0) for i in some if routes[i].run == run), (columns, -1.0)])
            columns += 1
        for cover in covers:
            if cover.way == way:
                inside = [(i, 1.0) for i in some if routes[i].run in cover.runs]
                if cover.group in column:
                    rows.add(-math.inf, 0.0, [*inside, (column[cover.group], -float(cover.most))])
                elif inside:
                    rows.add(-math.inf, float(cover.most), inside)
    cost = np.zeros(columns)
    cost[:count] = [route.cost for route in routes]
    for place, fee in fees.items():
        cost[place] = fee
    if below < math.inf:
        rows.add(-math.inf, below, ((i, value) for i, value in enumerate(cost.tolist()) if value))
    for weights, most in extra:
        rows.add(-math.inf, most, weights.items())
    matrix = csr_array((rows.value, (rows.row, rows.column)), shape=(len(rows.low), columns))
    found = milp(
        cost,
        constraints=LinearConstraint(matrix, rows.low, rows.high),
        integrality=np.ones(columns, dtype=np.int64),
        bounds=Bounds(0.0, 1.0),
        options={"node_limit": nodes, "mip_rel_gap": close},
    )
    if found.x is None:
        return None
    chosen = np.flatnonzero(found.x[:count] > 0.5).tolist()
    return [routes[i] for i in chosen] if len(chosen) == len(instance.runs) else None
