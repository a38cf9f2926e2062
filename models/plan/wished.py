"""The part of a plan that says how a person overruled the grouping into looms."""

from __future__ import annotations

from pydantic import Field

from ribway.models.base import Data

Runs = tuple[str, ...]


class PlanLoomWishes(Data):
    """What was asked of looms, in runs."""

    together: tuple[Runs, ...] = Field(
        default=(), description="runs that share a loom, those of them that share a stretch"
    )
    apart: tuple[tuple[Runs, ...], ...] = Field(
        default=(), description="sets of runs; no run of one set shares a loom with a run of another"
    )
    spares: dict[str, int] = Field(default_factory=dict, description="spares by zone, where their number was stated")
