"""White bands that tell looms apart whose colour was used before: there are more looms than colours for all eyes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.frames import distances_along
from ribway.viewer.shapes import Tube

EVERY_M, BAND_M = 0.12, 0.04


def banded_looms(plan: Plan) -> frozenset[str]:
    """The looms that share their colour with one before them.

    Args:
        plan: the plan.

    Returns:
        Their ids; they are drawn with white bands.
    """
    seen: set[str] = set()
    found = set()
    for loom in plan.looms:
        if loom.colour in seen:
            found.add(loom.id)
        seen.add(loom.colour)
    return frozenset(found)


def colours_of_faces(tube: Tube, faces: int, sides: int) -> NDArray[np.uint8]:
    """The colour of each triangle of a run's surface.

    Args:
        tube: the run as it is drawn.
        faces: how many triangles its surface has: two for each side of each stretch in two rounds, then the ends.
        sides: corners of its cross-section.

    Returns:
        ``(faces, 3)`` red, green, blue; white where a band lies, else the run's colour.
    """
    colours = np.tile(np.array(palette.rgb_of(tube.colour), dtype=np.uint8), (faces, 1))
    if not tube.banded:
        return colours
    at = distances_along(tube.points)
    middle = (at[1:] + at[:-1]) / 2.0
    white = np.repeat(middle % EVERY_M < BAND_M, sides)
    walls = np.flatnonzero(np.concatenate([white, white]))
    colours[walls[walls < faces]] = 255
    return colours
