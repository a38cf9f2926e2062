"""Pictures into a folder: the whole van, and each wall that has something on it."""

from __future__ import annotations

from pathlib import Path

from ribway.models.plan.plan import Plan
from ribway.models.told import PICTURES, Told, each_told, untold
from ribway.viewer.errors import CannotDraw
from ribway.viewer.picture import draw_picture

WALLS = ("left", "right", "roof", "floor", "bulkhead")


def walls_in_use(plan: Plan) -> tuple[str, ...]:
    """The walls that carry a device or an opening in use.

    Args:
        plan: the plan.

    Returns:
        Their names, in a fixed order.
    """
    used = {device.wall for device in plan.devices} | {opening.wall for opening in plan.openings if opening.runs}
    return tuple(wall for wall in WALLS if wall in used)


def draw_all(plan: Plan, folder: Path, told: Told = untold) -> str:
    """Draw the van and its walls.

    Args:
        plan: the plan.
        folder: where ``picture.png`` and ``picture-left.png`` and so on go.
        told: how far it is.

    Returns:
        Why nothing was drawn; empty if everything was.
    """
    try:
        for wall in each_told(told, PICTURES, ("", *walls_in_use(plan))):
            name = f"picture-{wall}.png" if wall else "picture.png"
            draw_picture(plan, folder / name, wall=wall or None)
    except CannotDraw as error:
        return str(error)
    return ""
