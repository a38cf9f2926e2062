"""How a part of the search tree is split in two: by shutting ways for a group, or arcs for a run.

Which way to split at is tried out: a fork counts by how far both its parts would raise the bound (strong branching; Achterberg,
Koch and Martin 2005, Branching rules revisited, Oper. Res. Lett. 33).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from ribway.router.proof.instance import Array, Instance, Route
from ribway.router.proof.kinds import Groups
from ribway.router.proof.prices import Shut

LEAST = 1e-4
IN_VAIN = 6  # forks tried in a row that are no better than the best, after which no more are


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


@dataclass(frozen=True)
class Fork:
    """Two parts that together hold every plan of a part, neither of which holds its present solution.

    Args:
        parts: the two.
        shut: for each of them, the pairs (group, way) that are shut beyond those of the part.
    """

    parts: tuple[Part, Part]
    shut: tuple[tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]] = ((), ())


def forks(
    instance: Instance,
    groups: Groups,
    part: Part,
    use: Array,
    routes: Sequence[tuple[Route, float]],
    worth: Array,
    most: int,
) -> list[Fork]:
    """Ways to split a part, the likeliest first.

    Where kinds that must be apart share a way by halves, the way is shut for the one or for the others. If they nowhere
    do, a run is taken that is spread over routes: where two of them part, each half of the arcs that leave there is shut in
    turn.

    Args:
        instance: what is solved.
        groups: of its runs.
        part: to split.
        use: ``(k, w)`` shares of runs in ways.
        routes: with their shares.
        worth: ``(k,)`` what each run costs at present prices.
        most: how many to give.

    Returns:
        Forks; none if the solution is whole.
    """
    inside = np.array([use[groups.of == g].max(axis=0, initial=0.0) for g in range(groups.count)])
    best: dict[int, tuple[float, int]] = {}
    for a in range(groups.count):
        rivals = groups.apart[a]
        if not rivals.any() or not (groups.of == a).any():
            continue
        other = inside[rivals].max(axis=0)
        both = np.minimum(inside[a], other)
        score = both * (inside[a] + other)
        for way in np.flatnonzero(both > LEAST).tolist():
            if way not in best or score[way] > best[way][0] + 1e-12:
                best[way] = (float(score[way]), a)
    ranked = sorted(best, key=lambda way: (-best[way][0], way))[:most]
    if ranked:
        return [_at_way(part, groups, way, best[way][1]) for way in ranked]
    fork = _at_a_fork(instance, part, routes, worth)
    return [] if fork is None else [Fork(fork)]


def _at_way(part: Part, groups: Groups, way: int, group: int) -> Fork:
    shut = ((group, way),), tuple((int(rival), way) for rival in np.flatnonzero(groups.apart[group]))
    one, other = (Part(part.ways | set(some), part.arcs, part.depth + 1) for some in shut)
    return Fork((one, other), shut)


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


def steepest(
    found: Sequence[Fork], value: float, room: float, tried: Callable[[Sequence[tuple[int, int]]], float]
) -> Fork:
    """The fork whose parts raise the value most, as far as raising it helps.

    Args:
        found: at least one, the likeliest first.
        value: of the part that is split.
        room: a part that raises it by this needs no further look.
        tried: value, about, if some pairs (group, way) are shut.
    """
    if len(found) == 1:
        return found[0]
    best, chosen, since = -1.0, found[0], 0
    for fork in found:
        rise = [min(max(tried(shut) - value, LEAST * room), room) for shut in fork.shut]
        since += 1
        if rise[0] * rise[1] > best * (1.0 + 1e-6):
            best, chosen, since = rise[0] * rise[1], fork, 0
        if min(rise) >= room or since >= IN_VAIN:
            break
    return chosen
