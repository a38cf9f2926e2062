"""How a part of the search tree is split in two: by shutting ways for a group, or arcs for a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from ribway.router.proof.instance import Array, Instance, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.prices import Shut

LEAST = 1e-4


@dataclass(frozen=True)
class Part:
    """One part of the tree.

    Args:
        ways: pairs (group, way) that are shut.
        arcs: by run, arcs that are shut.
        depth: splits above it.
    """

    ways: frozenset[tuple[int, int]] = frozenset()
    arcs: dict[int, frozenset[int]] = field(default_factory=dict)
    depth: int = 0

    def shut(self, groups: int, ways: int) -> Shut:
        """As arrays."""
        mask = np.zeros((groups, ways), dtype=bool)
        for group, way in self.ways:
            mask[group, way] = True
        return Shut(mask, self.arcs)


def split(
    instance: Instance, groups: Groups, part: Part, use: Array, routes: Sequence[tuple[Route, float]], worth: Array
) -> tuple[Part, Part] | None:
    """Two parts that together hold every plan of a part, neither of which holds its present solution.

    Where kinds that must be apart share a way by halves, the way is shut for the one or for the others. Else a run is
    taken that is spread over routes: where two of them part, each half of the arcs that leave there is shut in turn.

    Args:
        instance: what is solved.
        groups: of its runs.
        part: to split.
        use: ``(k, w)`` shares of runs in ways.
        routes: with their shares.
        worth: ``(k,)`` what each run costs at present prices.

    Returns:
        The two parts; None if the solution is whole.
    """
    most = np.array([use[groups.of == g].max(axis=0, initial=0.0) for g in range(groups.count)])
    best, chosen = 0.0, None
    for a in range(groups.count):
        rivals = np.flatnonzero(groups.apart[a])
        if not len(rivals) or not (groups.of == a).any():
            continue
        other = most[rivals].max(axis=0)
        score = np.minimum(most[a], other) * (most[a] + other)
        way = int(np.argmax(score))
        if np.minimum(most[a], other)[way] > LEAST and score[way] > best + 1e-12:
            best, chosen = float(score[way]), (a, way, rivals)
    if chosen is not None:
        a, way, rivals = chosen
        return (
            Part(part.ways | {(a, way)}, part.arcs, part.depth + 1),
            Part(part.ways | {(int(b), way) for b in rivals}, part.arcs, part.depth + 1),
        )
    return _at_a_fork(instance, part, routes, worth)


def _at_a_fork(
    instance: Instance, part: Part, routes: Sequence[tuple[Route, float]], worth: Array
) -> tuple[Part, Part] | None:
    spread: dict[int, list[tuple[float, Route]]] = {}
    for route, share in routes:
        if share > LEAST:
            spread.setdefault(route.run, []).append((share, route))
    best, chosen = 0.0, None
    for run, some in sorted(spread.items()):
        some.sort(key=lambda one: (-one[0], one[1].arcs))
        for share, route in some[1:]:
            score = share * float(worth[run])
            fork = _fork(some[0][1], route)
            if fork is not None and score > best:
                best, chosen = score, (run, *fork)
    if chosen is None:
        return None
    run, one, other = chosen
    node = instance.network.source[one]
    weight = {int(arc): 0.0 for arc in np.flatnonzero(instance.network.source == node)}
    for share, route in spread[run]:
        for arc in route.arcs:
            if arc in weight:
                weight[arc] += share
    sides: tuple[set[int], set[int]] = ({one}, {other})
    sums = [weight[one], weight[other]]
    for arc in sorted(set(weight) - {one, other}, key=lambda arc: (-weight[arc], arc)):
        side = 0 if (sums[0], len(sides[0])) <= (sums[1], len(sides[1])) else 1
        sides[side].add(arc)
        sums[side] += weight[arc]
    parts = []
    for shut in sides:
        arcs = {**part.arcs, run: part.arcs.get(run, frozenset()) | shut}
        parts.append(Part(part.ways, arcs, part.depth + 1))
    return parts[0], parts[1]


def _fork(one: Route, other: Route) -> tuple[int, int] | None:
    """The first arcs in which two routes from one start differ."""
    for a, b in zip(one.arcs, other.arcs, strict=False):
        if a != b:
            return a, b
    return None
