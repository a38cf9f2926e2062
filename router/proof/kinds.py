"""Which runs share the same rule of keeping apart: kinds that behave alike are taken as one group."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from ribway.router.proof.instance import Flags, Instance, Ints


@dataclass(frozen=True, eq=False)
class Groups:
    """Groups of runs that share one rule.

    Args:
        of: ``(k,)`` group of each run.
        apart: ``(g, g)`` whether two groups may share no way.
        together: all largest sets of groups that may share a way.
        rivals: all largest sets of two or more groups no two of which may.
    """

    of: Ints
    apart: Flags
    together: tuple[tuple[int, ...], ...]
    rivals: tuple[tuple[int, ...], ...]

    @property
    def count(self) -> int:
        """Number of groups."""
        return len(self.apart)

    def picky(self, group: int) -> bool:
        """Whether a group has any other to keep away from."""
        return bool(self.apart[group].any())


def groups_of(instance: Instance) -> Groups:
    """Groups of an instance: kinds that keep apart from the same others are one group."""
    kinds = sorted({run.kind for run in instance.runs})
    shunned = [frozenset(other for other in kinds if instance.keeps_apart(kind, other)) for kind in kinds]
    rules = sorted(set(shunned), key=sorted)
    group = {kind: rules.index(rule) for kind, rule in zip(kinds, shunned, strict=True)}
    apart = np.zeros((len(rules), len(rules)), dtype=bool)
    for one, other in itertools.product(kinds, repeat=2):
        apart[group[one], group[other]] |= instance.keeps_apart(one, other)
    strangers = ~apart & ~np.eye(len(rules), dtype=bool)
    rivals = tuple(one for one in _independent(strangers) if len(one) > 1)
    of = np.array([group[run.kind] for run in instance.runs], dtype=np.int64)
    return Groups(of, apart, _independent(apart), rivals)


def _independent(apart: Flags) -> tuple[tuple[int, ...], ...]:
    """All largest sets without a pair that is apart; kinds are few, so all sets are tried."""
    count = len(apart)
    free = [
        frozenset(chosen)
        for size in range(count, 0, -1)
        for chosen in itertools.combinations(range(count), size)
        if not any(apart[a, b] for a, b in itertools.combinations(chosen, 2))
    ]
    return tuple(tuple(sorted(one)) for one in free if not any(one < other for other in free))
