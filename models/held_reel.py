"""A reel as the workshop really holds it: thinner than it claims, of another metal, or not to be trusted."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from ribway.models.base import Data
from ribway.models.cables import parse_cable
from ribway.models.fields import AreaMm2, CableText

MetalName = Literal["copper", "copper-clad aluminium", "aluminium"]


def _strands(value: object) -> object:
    if parse_cable(value).system != "strands":
        raise ValueError(f"{value!r} names no strands: count them and measure one, like 30/0.25")
    return value


class HeldReel(Data):
    """What a reel of the stock turned out to be. Never more than it claims: what is better than sold counts as sold."""

    cable: str = Field(min_length=1, description="id of the stocked cable")
    metal: MetalName = "copper"
    strands: Annotated[CableText, BeforeValidator(_strands)] | None = Field(
        default=None, description="strands of one core, counted and measured: 30/0.25"
    )
    area: AreaMm2 | None = Field(default=None, description="metal of one core, as measured or weighed")
    suspect: bool = Field(
        default=False, description="nobody measured it: it counts as if it had 1.5 times the resistance"
    )

    @model_validator(mode="after")
    def _says_one_thing(self) -> Self:
        said = [self.strands is not None, self.area is not None, self.suspect]
        if sum(said) > 1:
            raise ValueError("give one of strands, area, suspect: how it was found out")
        if not any(said) and self.metal == "copper":
            raise ValueError("give strands, area, suspect or another metal; else the reel is what it claims")
        return self
