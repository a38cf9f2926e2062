"""The fuse of a circuit: what it is chosen for, and what the fuses of several circuits let through together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from ribway.models.circuits import NEGATIVES
from ribway.router.circuits.runs import Feed
from ribway.sizing.fuse import FuseChoice, NoFuse, check_fuse, choose_fuse
from ribway.sizing.rules import SizingRules

FUSE_MARGIN: Final = 1.25
"""A fuse is at least this times what flows all the time: common practice, no source."""
ANY_WIRE_A: Final = 10_000.0
"""A wire that would bear any fuse there is [A]."""


def fuse_load_a(feed: Feed) -> float:
    """What a fuse is chosen for [A]: the running current, and enough that it also carries the starting current.

    A fuse that the user states is held against the running current alone.

    Args:
        feed: the circuit.
    """
    if feed.circuit.fuse is not None:
        return feed.amps
    return max(feed.amps, feed.start_amps / FUSE_MARGIN)


def fuse_of(feed: Feed, weakest_a: float, rules: SizingRules) -> FuseChoice | NoFuse | None:
    """The fuse of a circuit; None where it has none: AC, data, what only leads current back.

    Args:
        feed: the circuit.
        weakest_a: what its weakest conductor may carry [A].
        rules: the rule set.
    """
    if feed.circuit.kind != "dc" or feed.circuit.pattern in NEGATIVES:
        return None
    if feed.circuit.fuse is not None:
        return check_fuse(feed.circuit.fuse, feed.amps, weakest_a, rules.fuse_window)
    return choose_fuse(fuse_load_a(feed), weakest_a, rules.fuse_window)


def fuses_behind_a(negative: Feed, feeds: Sequence[Feed], rules: SizingRules) -> float:
    """Ratings of all fuses whose circuits a negative serves, together [A]: what may flow in it before one blows.

    Args:
        negative: the circuit that leads back.
        feeds: all circuits.
        rules: the rule set.
    """
    total = 0.0
    for one in feeds:
        if one.circuit.id in negative.serves:
            load = fuse_load_a(one)
            fuse = choose_fuse(load, ANY_WIRE_A, rules.fuse_window)
            total += one.circuit.fuse or (fuse.fuse.rating_a if isinstance(fuse, FuseChoice) else FUSE_MARGIN * load)
    return total
