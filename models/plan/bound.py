"""How close a plan's copper is to the least that any plan could do with."""

from __future__ import annotations

from pydantic import Field

from ribway.models.base import Data
from ribway.models.printed import Units, grams_down, grams_up, rounded_up


class LoomBound(Data):
    """Copper and looms together, where the shop says what a metre of loom is worth; for the cables of this plan."""

    price_kg_per_m: float = Field(description="copper that a metre of loom is worth")
    loom_m: float = Field(description="distinct stretches along which some run lies, between mouths and through ways")
    planned_kg: float = Field(description="copper of this plan before rounding, and its looms")
    least_kg: float = Field(description="no other routes for these cables do with less")
    gap_percent: float = Field(description="how much of the plan lies above that")


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
    looms: LoomBound | None = Field(default=None, description="with a price on metres of loom, if the shop gives one")


def bound_words(bound: CopperBound, units: Units) -> str:
    """The bound in words for people."""
    return _copper_words(bound, units) + ("" if bound.looms is None else f" {_loom_words(bound.looms, units)}")


def _loom_words(looms: LoomBound, units: Units) -> str:
    price = f"{1000.0 * looms.price_kg_per_m:g} g"
    return (
        f"With looms at {price} of copper a metre ({looms.loom_m:.1f} m): {grams_up(looms.planned_kg, units)}; proven: no "
        f"other routes for these cables do with less than {grams_down(looms.least_kg, units)} "
        f"({rounded_up(looms.gap_percent, 2)} % less)."
    )


def _copper_words(bound: CopperBound, units: Units) -> str:
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
