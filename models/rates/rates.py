"""A workshop's prices and minutes."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from ribway.models.base import Data
from ribway.models.fields import Length, Percent

Part = Literal[
    "grommet", "edge strip", "clip", "sleeve", "fuse", "terminal", "lug", "heat shrink", "label", "draw cord"
]
"""``edge strip``, ``sleeve``, ``heat shrink`` and ``draw cord`` are priced by the metre, the rest by the piece."""
BY_THE_METRE: tuple[Part, ...] = ("edge strip", "sleeve", "heat shrink", "draw cord")

Task = Literal[
    "mark out a place", "check a hole", "drill a hole", "protect an edge", "cut and mark a piece", "pull a metre",
    "pass an opening", "fix a clip", "make an end", "build a loom", "test a run", "fit a fuse",
]  # fmt: skip

MOST_PRICE = 1e6
MOST_MINUTES = 6000.0


class Reel(Data):
    """A reel that can be bought."""

    cable: str = Field(min_length=1, description="id of the stocked cable, as in the plan")
    length: Length = Field(description="cable on it")
    price: float = Field(ge=0.0, le=MOST_PRICE)


class PartPrice(Data):
    """What a part costs; without a size, whatever its size."""

    part: Part
    size: str = Field(default="", description="as the shopping list prints it")
    price: float = Field(ge=0.0, le=MOST_PRICE)


class Minutes(Data):
    """How long a task takes, once."""

    task: Task
    low: float = Field(ge=0.0, le=MOST_MINUTES)
    likely: float = Field(ge=0.0, le=MOST_MINUTES)
    high: float = Field(ge=0.0, le=MOST_MINUTES)

    @model_validator(mode="after")
    def _rising(self) -> Minutes:
        if not self.low <= self.likely <= self.high:
            raise ValueError(
                f"minutes must rise from low over likely to high, found {self.low:g}, {self.likely:g}, {self.high:g}"
            )
        return self


USUAL_MINUTES: tuple[Minutes, ...] = tuple(
    Minutes(task=task, low=low, likely=likely, high=high)
    for task, low, likely, high in (
        ("mark out a place", 1.0, 2.0, 4.0),
        ("check a hole", 1.0, 2.0, 4.0),
        ("drill a hole", 6.0, 10.0, 20.0),
        ("protect an edge", 1.0, 2.0, 4.0),
        ("cut and mark a piece", 2.0, 3.0, 5.0),
        ("pull a metre", 0.5, 1.0, 2.5),
        ("pass an opening", 0.5, 1.0, 2.0),
        ("fix a clip", 0.5, 1.0, 1.5),
        ("make an end", 3.0, 5.0, 10.0),
        ("build a loom", 10.0, 15.0, 30.0),
        ("test a run", 2.0, 3.0, 6.0),
        ("fit a fuse", 1.0, 2.0, 3.0),
    )
)
"""Common practice, no source: replace them by the shop's own."""


class Rates(Data):
    """A workshop's prices and minutes. Nothing is priced that it does not name."""

    ribway_rates: Literal[1] = 1
    currency: str = Field(default="", max_length=8, description="behind or before each sum: EUR, $")
    hour: float | None = Field(default=None, ge=0.0, le=MOST_PRICE, description="price of one hour's work")
    markup: Percent = Field(default=0.0, description="added to material")
    tax: Percent = Field(default=0.0, description="added to the sum")
    reels: tuple[Reel, ...] = ()
    parts: tuple[PartPrice, ...] = ()
    minutes: tuple[Minutes, ...] = ()

    def price_of(self, part: Part, size: str = "") -> float | None:
        """What a part of a size costs: by its size, else whatever its size; none if it is not named.

        Args:
            part: the part.
            size: its size, as the shopping list prints it.
        """
        found = {one.size: one.price for one in self.parts if one.part == part}
        return found.get(size, found.get(""))

    def minutes_for(self, task: Task) -> Annotated[Minutes, "own ones, else the usual ones"]:
        """How long a task takes."""
        return next(one for one in (*self.minutes, *USUAL_MINUTES) if one.task == task)
