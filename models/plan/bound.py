"""How close a plan's copper is to the least that any plan could do with."""

from __future__ import annotations

from pydantic import Field

from ribway.models.base import Data
from ribway.models.printed import Units, grams_down, grams_up, rounded_up


class CopperBound(Data):
    """Copper of all runs with a computed route, before lengths are rounded to the cutting step: routes, slack, tails.

    A bound holds whatever else is true of a plan; that it is low proves nothing. Left out of it is what couples runs: loaded
    neighbours, volts dropped upstream, one size along a circuit, plugs and packing in openings.
    """

    copper_kg: float = Field(description="no routes with any sizes in stock do with less")
    gap_percent: float = Field(description="how much of this plan's copper lies above that")
    same_cables_kg: float = Field(description="no other routes for the cables of this plan do with less")
    routes_gap_percent: float = Field(description="how much of this plan's copper lies above that")
    planned_kg: float = Field(description="of this plan, measured alike")
    rounding_kg: float = Field(
        description="copper of all runs that is above it: the cutting step, loom bends, taped runs"
    )
    proven: bool = Field(description="this plan lies within a thousandth of the least copper")


def bound_words(bound: CopperBound, units: Units) -> str:
    """The bound as one sentence for people."""
    before = f"Copper before lengths are rounded up to the cutting step: {grams_up(bound.planned_kg, units)}"
    if bound.proven:
        return (
            f"{before}. Proven: no routes and no sizes in stock do with less than {grams_down(bound.copper_kg, units)}."
        )
    if bound.copper_kg >= bound.same_cables_kg:
        return (
            f"{before}. Proven: no routes and no sizes in stock do with less than {grams_down(bound.copper_kg, units)} "
            f"({rounded_up(bound.gap_percent, 2)} % less)."
        )
    return (
        f"{before}. Proven: no other routes for these cables do with less than {grams_down(bound.same_cables_kg, units)} "
        f"({rounded_up(bound.routes_gap_percent, 2)} % less); no plan with any sizes in stock, however cool and alone its "
        f"cables lie, with less than {grams_down(bound.copper_kg, units)}."
    )
