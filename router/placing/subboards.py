"""Where to put a second fuse board fed by the first, and which circuits to feed from it.

For every place, every division of the circuits between the two boards is bounded at once: the feeder in each of its sizes, with
the volts that the divided current loses in it at least, and each circuit from where it is fed, with the best sizes behind.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.models.placing import PlacingField
from ribway.models.project import Project
from ribway.router.placing.device import field_of
from ribway.router.placing.dividing import Asked, asked, divided
from ribway.router.placing.division import Division, least_of
from ribway.router.placing.moving import moved_to
from ribway.router.placing.spots import Spots
from ribway.router.placing.trying import Trying

Array = NDArray[np.float64]


@dataclass(frozen=True)
class SubBoard:
    """What was found.

    Args:
        field: places of the second board; its first planned place is not the present one.
        without_kg: copper of the van as it stands before rounding; infinite if it has no complete plan [kg].
        moved: by place, ids of the circuits that are fed from the second board there.
        divided: circuits that were divided.
    """

    field: PlacingField
    without_kg: float
    moved: tuple[tuple[str, ...], ...]
    divided: tuple[str, ...]


def sub_board_for(
    project: Project,
    trying: Trying,
    board: str,
    walls: Sequence[str] = (),
    step_m: float = 0.2,
    most: int = 8,
) -> SubBoard:
    """Bound every place of a second board and plan the best.

    Args:
        project: what the user said.
        trying: plans its variants.
        board: id of the board that feeds it.
        walls: skins to look at; that of the board if none are named.
        step_m: between places along the tape [m].
        most: places to plan at most.

    Raises:
        RouterFaults: no such board, or no circuits to divide.
    """
    ask = asked(project, trying, board, walls, step_m)
    (new,) = ask.new
    bounds, moved = _bounds(ask)
    order = np.argsort(bounds, kind="stable")  # the most hopeful place is planned first
    spots = Spots(ask.spots.device, tuple(ask.spots.found[k] for k in order), ask.spots.refused)
    bounds, moved = bounds[order], [moved[k] for k in order]

    def variant(at: int) -> Project:
        return moved_to(divided(project, ask.main, new, moved[at]), new[0], spots.found[at].place)

    device = next(one for one in ask.all_moved.devices if one.id == new[0])
    found = field_of(ask.all_moved, device, [new[0]], spots, bounds, variant, trying.plan, step_m, most)
    return SubBoard(found, trying.plan(project).kg, tuple(tuple(one) for one in moved), ask.circuits)


def _bounds(ask: Asked) -> tuple[Array, list[tuple[str, ...]]]:
    """Bound of each place over all divisions, and the division that its bound is of."""
    division = Division(ask)
    bounds = least_of(ask, division.kg, len(ask.spots.found))
    return bounds, [division.named(int(mask)) for mask in division.which]


def saved_kg(found: SubBoard) -> float:
    """Copper that the best second board saves before rounding; negative if it costs [kg]."""
    best = found.field.best[0].planned_kg if found.field.best else None
    return -math.inf if best is None or math.isinf(found.without_kg) else found.without_kg - best
