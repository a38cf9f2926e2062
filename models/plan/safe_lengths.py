"""The part of a plan that says how much longer cables would have to be cut for the whole van to be long enough."""

from __future__ import annotations

from pydantic import Field

from ribway.models.base import Data


class PlanExtra(Data):
    """What one run would have to be cut longer by."""

    run: str
    metres: float


class PlanSafeLengths(Data):
    """Tails with which the chance that any run of the van is short is no more than stated, whatever errors share."""

    chance: float = Field(description="greatest chance, 0 to 1, that any run is short")
    common_m: float = Field(
        description="to be added to every cut length alike, half at each end; negative if all tails could be so much shorter"
    )
    extra: tuple[PlanExtra, ...] = Field(
        default=(), description="instead of that: what to add to these runs alone; no run if the van is safe as it is"
    )
    extra_m: float = Field(default=0.0, description="cable that this takes, all pieces")
    chance_then: float = Field(description="sum of the chances with that added: the chance of any is never more")
