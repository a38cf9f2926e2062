"""The bound on copper as the plan says it: every figure rounded so that it claims no more than was proved."""

from __future__ import annotations

import math

from ribway.models.plan.bound import CopperBound, LoomBound
from ribway.router.bounding import Bounds, LoomBounds

STEP_KG = 1e-6


def write_bound(found: Bounds, copper_kg: float) -> CopperBound:
    """Round what was proved down and what is above it up.

    Args:
        found: the bounds [kg].
        copper_kg: of the plan in all, cut lengths rounded [kg].
    """
    planned = math.ceil(found.planned_kg / STEP_KG) * STEP_KG
    least, same = (math.floor(value / STEP_KG) * STEP_KG for value in (found.any_sizes_kg, found.same_cables_kg))
    return CopperBound(
        copper_kg=round(least, 6),
        gap_percent=gap_percent(planned, least),
        same_cables_kg=round(same, 6),
        routes_gap_percent=gap_percent(planned, same),
        planned_kg=round(planned, 6),
        rounding_kg=round(max(0.0, copper_kg - planned), 6),
        proven=found.proven,
        looms=None if found.looms is None else _looms(found.looms),
    )


def _looms(found: LoomBounds) -> LoomBound:
    planned, least = math.ceil(found.planned_kg / STEP_KG) * STEP_KG, math.floor(found.least_kg / STEP_KG) * STEP_KG
    return LoomBound(
        price_kg_per_m=found.price_kg_per_m,
        loom_m=round(found.loom_m, 4),
        planned_kg=round(planned, 6),
        least_kg=round(least, 6),
        gap_percent=gap_percent(planned, least),
    )


def gap_percent(planned_kg: float, bound_kg: float) -> float:
    """Share of the plan's copper above a bound, rounded up to a hundredth [%]."""
    if planned_kg <= 0.0:
        return 0.0
    return math.ceil(max(0.0, planned_kg - bound_kg) / planned_kg * 1e4 - 1e-6) / 100.0 + 0.0
