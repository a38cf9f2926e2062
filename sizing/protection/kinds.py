"""Kinds of fuses, and whether one can break what the battery drives through it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from ribway.sizing.errors import UnknownRuleError, check_number
from ribway.sizing.tabledata import number_in, table_rows


@dataclass(frozen=True)
class FuseKind:
    """A kind of fuse at a voltage.

    Attributes:
        kind: its trade name.
        family: `blade` or `bolt-down`.
        from_a: smallest rating [A].
        to_a: biggest rating [A].
        max_v: highest voltage this breaking capacity holds to [V].
        breaking_a: greatest current it breaks [A].
    """

    kind: str
    family: str
    from_a: float
    to_a: float
    max_v: float
    breaking_a: float


@cache
def fuse_kinds() -> tuple[FuseKind, ...]:
    """All kinds. Source: tables/fuse_kinds.csv: common practice, no source; a maker's own figure goes before."""
    table = "fuse_kinds"
    columns = ("kind", "family", "from_a", "to_a", "max_v", "breaking_a")
    return tuple(
        FuseKind(row["kind"], row["family"], *(number_in(table, row, column) for column in columns[2:]))
        for row in table_rows(table, columns, ("kind", "max_v"))
    )


def breaking_capacity_a(kind: str, system_v: float) -> float:
    """What a kind of fuse breaks at a voltage [A]; 0 above its voltage.

    Args:
        kind: name of the kind.
        system_v: highest voltage of the system, charging in it [V].

    Raises:
        UnknownRuleError: listing the known kinds.
    """
    check_number(system_v, "highest voltage of the system [V]", positive=True)
    rows = [one for one in fuse_kinds() if one.kind == kind]
    if not rows:
        known = ", ".join(dict.fromkeys(one.kind for one in fuse_kinds()))
        raise UnknownRuleError(f"fuse kind {kind!r} is not known; accepted: {known}")
    return max((one.breaking_a for one in rows if one.max_v >= system_v), default=0.0)


def bank_short_amps(source_v: float, internal_ohms: Sequence[float | None]) -> float | None:
    """What batteries in parallel drive through a dead short at their terminals [A]; None if one is not known.

    Args:
        source_v: voltage, full [V].
        internal_ohms: internal resistance of each battery [ohm].
    """
    check_number(source_v, "voltage of the battery [V]", positive=True)
    total = 0.0
    for ohm in internal_ohms:
        if ohm is None:
            return None
        check_number(ohm, "internal resistance [ohm]", positive=True)
        total += source_v / ohm
    return total


def kinds_for(rating_a: float, system_v: float, short_a: float) -> tuple[str, ...]:
    """Kinds of fuses that come in a rating and break a short, the least capable first.

    Args:
        rating_a: rating wanted [A].
        system_v: highest voltage of the system [V].
        short_a: current of a dead short where the fuse sits [A].
    """
    check_number(rating_a, "fuse rating [A]", positive=True)
    names = dict.fromkeys(one.kind for one in fuse_kinds() if one.from_a <= rating_a <= one.to_a)
    able = [(breaking_capacity_a(name, system_v), name) for name in names]
    return tuple(name for can_a, name in sorted(able, key=lambda pair: pair[0]) if can_a >= short_a > 0.0)
