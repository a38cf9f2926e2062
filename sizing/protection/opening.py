"""How long a fuse may take to open, and what it lets through, by the gates of its standard.

A standard gives the longest time at a few multiples of the rating. What is promised of a current between two gates is the
time of the lower one. For the heat let through, the straight line between them on a doubly logarithmic sheet is taken, as
such curves are drawn (common practice, no source). Past the last gate that heat no longer rises: melting takes a fixed I2t.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

from ribway.sizing.errors import UnknownRuleError, check_number
from ribway.sizing.tabledata import number_in, table_rows


@cache
def opening_gates(family: str) -> tuple[tuple[float, float], ...]:
    """(multiple of the rating, longest time [s]) of a family, rising.

    Raises:
        UnknownRuleError: listing the known families.

    Source: column `source` of tables/fuse_opening.csv.
    """
    table = "fuse_opening"
    rows = table_rows(table, ("family", "multiple", "most_s"), ("family", "multiple"))
    gates = sorted(
        (number_in(table, row, "multiple"), number_in(table, row, "most_s")) for row in rows if row["family"] == family
    )
    if not gates:
        known = ", ".join(sorted({row["family"] for row in rows}))
        raise UnknownRuleError(f"no opening times for fuse family {family!r}; accepted: {known}")
    return tuple(gates)


def opens_within_s(family: str, multiple: float) -> float:
    """The longest a fuse takes to open [s]; infinite if it need not.

    Args:
        family: `blade` or `bolt-down`.
        multiple: current over its rating.
    """
    check_number(multiple, "multiple of the rating")
    passed = [seconds for gate, seconds in opening_gates(family) if multiple >= gate * (1.0 - 1e-9)]
    return passed[-1] if passed else math.inf


def lets_through_a2s(family: str, rating_a: float, least_a: float, most_a: float) -> float:
    """The most heat a fuse lets through while it opens, over all currents of a range [A2 s]; infinite if it need not open.

    Args:
        family: `blade` or `bolt-down`.
        rating_a: its rating [A].
        least_a: smallest current of the short [A].
        most_a: biggest current [A].
    """
    check_number(rating_a, "fuse rating [A]", positive=True)
    check_number(least_a, "smallest current of the short [A]")
    gates = opening_gates(family)
    low, high = (min(amps / rating_a, gates[-1][0]) for amps in (least_a, max(least_a, most_a)))
    # Between two gates I2t goes one way, so the most lies at an end of the range or at a gate.
    places = [low, high, *(gate for gate, _ in gates if low < gate < high)]
    return max((multiple * rating_a) ** 2 * _drawn_s(gates, multiple) for multiple in places)


def _drawn_s(gates: tuple[tuple[float, float], ...], multiple: float) -> float:
    if multiple < gates[0][0] * (1.0 - 1e-9):
        return math.inf
    for (low, long_s), (high, short_s) in pairwise(gates):
        if multiple <= high:
            share = max(0.0, math.log(multiple / low) / math.log(high / low))
            return long_s * math.pow(short_s / long_s, share)
    return gates[-1][1]
