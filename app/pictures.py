"""Pictures into a folder: the whole van, and each wall that has something on it."""

from __future__ import annotations

from pathlib import Path

from ribway.models.plan.plan import Plan
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


def draw_all(plan: Plan, folder: Path) -> str:
    """Draw the van and its walls.

    Args:
        plan: the plan.
        folder: where ``picture.png`` and ``picture-left.png`` and so on go.

    Returns:
        Why nothing was drawn; empty if everything was.
    """
    try:
        draw_picture(plan, folder / "picture.png")
        for wall in walls_in_use(plan):
            draw_picture(plan, folder / f"picture-{wall}.png", wall=wall)
    except CannotDraw as error:
        return str(error)
    return ""
