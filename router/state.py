"""What a round of planning found: sizes, routes, lengths, and how every run was held against its limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ribway.router.circuits.stock import Cable
from ribway.router.laying.cutting import Cut
from ribway.router.paths.search import Path
from ribway.router.rounds import Layout
from ribway.router.sizes.held import CircuitSizes, Sized
from ribway.sizing.demand import Stretch


@dataclass(frozen=True)
class LedRound:
    """A run led round air that is too hot for its cable.

    Args:
        airs: that it keeps out of.
        through: cable that it would take through them.
    """

    airs: frozenset[str]
    through: Cable


@dataclass(frozen=True, eq=False)
class State:
    """What one round of planning found; all of it belongs together."""

    index: Mapping[str, int]
    paths: tuple[Path | None, ...]
    layout: Layout
    cuts: Mapping[str, Cut]
    stretches: Mapping[str, tuple[Stretch, ...]]
    sized: Mapping[str, Sized]
    circuits: Mapping[str, CircuitSizes]
    led_round: Mapping[str, LedRound] = field(default_factory=dict)

    @property
    def whole(self) -> bool:
        """Whether every routed run has a route."""
        return all(path is not None for path in self.paths)
