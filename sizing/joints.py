"""Resistance of joints and fuses, for a network or a leg's `extra_ohm`."""

from __future__ import annotations

from functools import cache

from ribway.sizing.errors import UnknownRuleError
from ribway.sizing.tabledata import number_in, table_rows


@cache
def joint_ohm(name: str) -> float:
    """Resistance of a sound joint of a kind [ohm], e.g. `crimped ring on a stud`.

    Raises:
        UnknownRuleError: listing the known kinds.

    Source: tables/joints.csv: common practice, no source.
    """
    rows = table_rows("joints", ("joint", "ohm"), ("joint",))
    for row in rows:
        if row["joint"] == name:
            return number_in("joints", row, "ohm")
    raise UnknownRuleError(f"joint {name!r} is not known; accepted: {', '.join(row['joint'] for row in rows)}")


@cache
def fuse_ohm(family: str, rating_a: float) -> float:
    """Resistance of a fuse when it carries its rated current [ohm]; less when it carries less.

    A rating between two rows takes the smaller one's, which has more resistance.

    Args:
        family: `blade` or `bolt-down`.
        rating_a: its rating [A].

    Raises:
        UnknownRuleError: a family that is not in the data, or a rating below its smallest.

    Source: tables/fuse_drops.csv: common practice, no source.
    """
    table = "fuse_drops"
    rows = table_rows(table, ("family", "rating_a", "drop_mv"), ("family", "rating_a"))
    known = [row for row in rows if row["family"] == family and number_in(table, row, "rating_a") <= rating_a]
    if not known:
        smallest = ", ".join(f"{row['family']} {row['rating_a']} A" for row in rows)
        raise UnknownRuleError(f"no fuse {family!r} of {rating_a:g} A or less is known; accepted: {smallest}")
    row = max(known, key=lambda one: number_in(table, one, "rating_a"))
    return number_in(table, row, "drop_mv") / 1000.0 / number_in(table, row, "rating_a")
