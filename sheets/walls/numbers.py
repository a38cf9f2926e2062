"""The numbers that devices have on drawings and in the list of places."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice
from ribway.sheets.walls.view import WALLS


def numbered(plan: Plan) -> tuple[tuple[int, PlanDevice], ...]:
    """Devices with their numbers: wall by wall, each from the front to the back, low before high.

    Args:
        plan: the plan.

    Returns:
        Numbers from 1, and devices.
    """
    known = {wall: index for index, wall in enumerate(WALLS)}
    ordered = sorted(
        plan.devices, key=lambda one: (known.get(one.wall, len(WALLS)), one.wall, one.back_m, one.up_m, one.id)
    )
    return tuple(enumerate(ordered, start=1))
