"""What a person wants of looms: which runs go together, which go apart, and how many spares each zone gets."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from ribway.models.base import Data
from ribway.models.circuits import Id

Names = Annotated[tuple[Id, ...], Field(min_length=2)]
MOST_SPARES = 9


class LoomWishes(Data):
    """Grouping overruled by hand. Runs and circuits are named alike; a circuit stands for all of its runs."""

    together: tuple[Names, ...] = Field(
        default=(), description="lists of runs or circuits that share a loom wherever they share a stretch of their way"
    )
    apart: tuple[Names, ...] = Field(
        default=(), description="lists of runs or circuits of which no two share a loom, though their ways do"
    )
    spares: dict[str, Annotated[int, Field(ge=0, le=MOST_SPARES, strict=True)]] = Field(
        default_factory=dict,
        description="spare cables or draw cords by zone, 0 for none; a zone not named gets the usual one",
    )

    @property
    def empty(self) -> bool:
        """Whether nothing is wanted."""
        return not (self.together or self.apart or self.spares)
