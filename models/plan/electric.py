"""The part of a plan that says how sizes came about, and what fuse boards hold."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ribway.models.base import Data


class PlanFactor(Data):
    """One step from the amperes of a table to what a conductor may carry where it lies."""

    name: str
    value: float
    before_a: float
    after_a: float
    because: str


class PlanLimit(Data):
    """One limit that a run was held against, with what is left to it."""

    name: str
    value: float
    bound: float
    sense: Literal["at most", "at least"]
    unit: str
    margin: float
    says: str


class PlanWayOf(Data):
    """The way of a board that a circuit has; the first is 1."""

    circuit: str
    way: int


class PlanBoard(Data):
    """A fuse board whose ways were stated."""

    id: str
    ways: int
    amps_per_way: float
    amps_total: float | None = Field(description="what the board may carry in all; empty if nobody said")
    used: int
    spare: int
    amps: float = Field(description="what its circuits draw at once in the worst state of the van")
    circuits: tuple[PlanWayOf, ...]
