"""Walls as they are seen from inside the van."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import Point
from ribway.sheets.drawing.scale import Extent, Flat, extent_of

WALLS = ("left", "right", "roof", "floor", "bulkhead", "rear")


@dataclass(frozen=True)
class View:
    """How a wall is looked at.

    Attributes:
        wall: which.
        title: what is seen.
        across, up: which of a point's coordinates runs to the right and up the page, and with which sign: ``(0, -1)`` is x,
            turned round.
        sides: what lies to the left and to the right.
        ends: what lies at the top and at the bottom.
    """

    wall: str
    title: str
    across: tuple[int, int]
    up: tuple[int, int]
    sides: tuple[str, str]
    ends: tuple[str, str]

    def flat(self, point: Point) -> Flat:
        """A point of the van in the plane of the view.

        Args:
            point: x forward, y left, z up [m].

        Returns:
            To the right and up [m].
        """
        return point[self.across[0]] * self.across[1], point[self.up[0]] * self.up[1]


_VIEWS = (
    View("left", "Left wall, seen from inside", (0, 1), (2, 1), ("REAR", "FRONT"), ("roof", "floor")),
    View("right", "Right wall, seen from inside", (0, -1), (2, 1), ("FRONT", "REAR"), ("roof", "floor")),
    View("roof", "Roof, seen from below, looking up", (0, 1), (1, -1), ("REAR", "FRONT"), ("RIGHT side", "LEFT side")),
    View("floor", "Floor, seen from above", (0, 1), (1, 1), ("REAR", "FRONT"), ("LEFT side", "RIGHT side")),
    View("bulkhead", "Bulkhead, looking forward", (1, -1), (2, 1), ("LEFT", "RIGHT"), ("roof", "floor")),
    View("rear", "Back, looking to the rear", (1, 1), (2, 1), ("RIGHT", "LEFT"), ("roof", "floor")),
)
PLAN_VIEW = View("", "All places, seen from above", (0, 1), (1, 1), ("REAR", "FRONT"), ("LEFT side", "RIGHT side"))


def view_of(wall: str) -> View:
    """The view of a wall; one of another name is looked at from above.

    Args:
        wall: its name.
    """
    return next((one for one in _VIEWS if one.wall == wall), View(wall, wall, *_from_above()))


def _from_above() -> tuple[tuple[int, int], tuple[int, int], tuple[str, str], tuple[str, str]]:
    return PLAN_VIEW.across, PLAN_VIEW.up, PLAN_VIEW.sides, PLAN_VIEW.ends


def wall_outlines(plan: Plan, wall: str) -> tuple[tuple[Flat, ...], ...]:
    """The bays of a wall, as its view has them.

    Args:
        plan: the plan.
        wall: which; empty for the floor's and the roof's together.

    Returns:
        Closed outlines [m].
    """
    view = view_of(wall) if wall else PLAN_VIEW
    walls = (wall,) if wall else ("floor", "roof")
    return tuple(tuple(view.flat(point) for point in bay.outline) for bay in plan.bays if bay.wall in walls)


def wall_extent(plan: Plan, wall: str) -> Extent:
    """The rectangle that holds a wall with all its devices and holes, the floor and the datum with it.

    Args:
        plan: the plan.
        wall: which; empty for the plan view.
    """
    view = view_of(wall) if wall else PLAN_VIEW
    points = [point for outline in wall_outlines(plan, wall) for point in outline]
    points += [view.flat(one.point) for one in plan.devices if not wall or one.wall == wall]
    points += [view.flat(one.centre) for one in plan.openings if wall and one.wall == wall]
    if wall in ("left", "right", "bulkhead", "rear"):
        points += [(point[0], 0.0) for point in points[:1]]
    return extent_of(points)
