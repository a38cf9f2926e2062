"""What was found of runs and circuits that were held against their limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ribway.sizing.demand import Demand
from ribway.sizing.fuse import FuseChoice, NoFuse
from ribway.sizing.verdict import Verdict


@dataclass(frozen=True)
class Sized:
    """One run with its conductor held against what is asked of it."""

    verdict: Verdict | None
    demand: Demand | None


@dataclass(frozen=True)
class CircuitSizes:
    """A circuit with its fuse and volts.

    Args:
        fuse: the fuse, why there is none, or None where no fuse is chosen (AC, data).
        weakest_a: derated ampacity of the weakest conductor behind the fuse [A].
        lost_v: dropped from the source to the end of each run, upstream included [V].
        lost_start_v: the same while starting [V].
        upstream_v, upstream_start_v: dropped before the circuit's source [V].
    """

    fuse: FuseChoice | NoFuse | None
    weakest_a: float | None
    lost_v: Mapping[str, float]
    lost_start_v: Mapping[str, float]
    upstream_v: float
    upstream_start_v: float
