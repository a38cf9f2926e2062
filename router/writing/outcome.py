"""Everything a finished planning hands over to be written down."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.shell import Point
from ribway.models.project import Project
from ribway.router.bounding import Bounds
from ribway.router.circuits.runs import Feed, Run
from ribway.router.circuits.stock import Cable
from ribway.router.circuits.supply import Supplies
from ribway.router.laying.cutting import Cut
from ribway.router.laying.ordering import ChainOrder
from ribway.router.memory import Memory
from ribway.router.paths.causes import Cause
from ribway.router.paths.search import Path
from ribway.router.rounds import Layout
from ribway.router.shell.parts import Shell
from ribway.router.sizes.held import CircuitSizes, Sized
from ribway.router.sizes.sizer import Sizer
from ribway.router.space.types import Space
from ribway.router.state import LedRound


@dataclass(frozen=True, eq=False)
class Outcome:
    """Everything that was decided; see the fields' own types. ``memory`` holds what was written before, ``found`` what was
    found out about this outcome alone, by what it is.
    """

    project: Project
    alternative: str
    shell: Shell
    space: Space
    runs: Sequence[Run]
    feeds: Sequence[Feed]
    zone_of: Mapping[str, str]
    cable_of: Mapping[str, Cable]
    paths: Sequence[Path | None]
    layout: Layout
    cuts: Mapping[str, Cut]
    sized: Mapping[str, Sized]
    reason_of: Mapping[str, str]
    circuits: Mapping[str, CircuitSizes]
    sizer: Sizer
    dead_ends: Sequence[Cause]
    routed: Sequence[Run]
    bounds: Bounds | None
    orders: Mapping[str, ChainOrder]
    supplies: Supplies
    led_round: Mapping[str, LedRound] = field(default_factory=dict)
    memory: Memory = field(default_factory=Memory, repr=False)
    found: Memory = field(default_factory=Memory, repr=False)

    @property
    def run_by_id(self) -> dict[str, Run]:
        """Runs by id."""
        return {run.id: run for run in self.runs}


def point(values: NDArray[np.float64]) -> Point:
    """A point with its coordinates rounded to 0.1 mm."""
    x, y, z = (round(float(value), 4) + 0.0 for value in values)
    return (x, y, z)


def points(line: NDArray[np.float64]) -> tuple[Point, ...]:
    """A polyline rounded to 0.1 mm, repeats dropped."""
    rounded = np.round(line, 4) + 0.0
    fresh = (
        np.concatenate(([True], (rounded[1:] != rounded[:-1]).any(axis=1))) if len(line) else np.zeros(0, dtype=bool)
    )
    return tuple((x, y, z) for x, y, z in rounded[fresh].tolist())


def mm(value_m: float) -> float:
    """Metres as millimetres, to 0.1 mm."""
    return round(1000.0 * value_m, 1) + 0.0
