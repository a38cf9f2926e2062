"""What a hole lets through: the largest circle inside its outline less whatever metal stands in it, its shape, its length."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.router.shell.parts import Points

HoleShape = Literal["round", "slot", "other"]

ROUND_ASPECT = 1.12
FIT = 0.10
"""Share by which a hole's area may differ from that of the circle or slot that it is called."""
TOLERANCE_SHARE = 1e-3


@dataclass(frozen=True)
class Clear:
    """The clear section of a hole.

    Args:
        bore_m: diameter of the largest circle inside it [m].
        length_m: its longest extent; the bore itself of a round hole [m].
        shape: round, slot (round ends, or square ones), or other.
        long: ``(3,)`` direction in which it is long; None of a round one.
        centre: ``(3,)`` middle of the clear section [m].
    """

    bore_m: float
    length_m: float
    shape: HoleShape
    long: Points | None
    centre: Points


def across(axis: Points) -> NDArray[np.float64]:
    """Two unit vectors square to an axis, ``(2, 3)``; with the axis third they are right-handed."""
    u = np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))])
    u = u / np.linalg.norm(u)
    return np.stack([u, np.cross(axis, u)])


def clear_section(outlines: list[Points], walls: Points, axis: Points, centre: Points) -> Clear | None:
    """The clear section of a passage seen along its axis.

    Args:
        outlines: ``(k, 3)`` rims [m]; what is inside of all of them counts.
        walls: ``(w, 3, 3)`` triangles of the passage's own wall [m].
        axis: ``(3,)`` unit.
        centre: ``(3,)`` on the axis [m].

    Returns:
        The clear section, or None where metal closes it.
    """
    frame = across(axis)
    rims = [shapely.make_valid(shapely.Polygon((rim - centre) @ frame.T)) for rim in outlines]
    free = rims[0]
    for rim in rims[1:]:
        free = free.intersection(rim)
    whole = max(rim.area for rim in rims)
    if len(walls):
        flat = (walls - centre) @ frame.T
        spread = np.abs(np.cross(_pad(flat[:, 1] - flat[:, 0]), _pad(flat[:, 2] - flat[:, 0]))[:, 2]) / 2
        if spread.sum() > 1e-3 * whole:
            shut = shapely.polygons(flat[spread > 1e-9 * whole])
            free = free.difference(shapely.union_all(shapely.make_valid(shut)))
    if free.geom_type != "Polygon":
        pieces = [part for part in getattr(free, "geoms", ()) if part.geom_type == "Polygon"]
        if not pieces:
            return None
        free = max(pieces, key=lambda part: part.area)
    if not isinstance(free, shapely.Polygon) or free.is_empty or free.area < 0.05 * whole:
        return None
    return _measured(free, frame, centre)


def _pad(flat: Points) -> Points:
    return np.concatenate([flat, np.zeros((len(flat), 1))], axis=1)


def _measured(free: shapely.Polygon, frame: Points, centre: Points) -> Clear:
    size = float(np.sqrt(free.area))
    circle = shapely.maximum_inscribed_circle(free, tolerance=TOLERANCE_SHARE * size)
    bore = 2.0 * float(shapely.length(circle))
    box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(free))
    sides = box[1:3] - box[0:2]
    long_side = int(np.argmax(np.linalg.norm(sides, axis=1)))
    length = float(np.linalg.norm(sides[long_side]))
    narrow = float(np.linalg.norm(sides[1 - long_side]))
    aspect = length / max(narrow, 1e-12)
    # An outline of few corners stands about its circle: compare with the polygon's own spread.
    disc = np.pi / 4 * bore * narrow
    stadium = disc + (length - narrow) * bore
    if aspect < ROUND_ASPECT and abs(free.area / disc - 1) < FIT + 0.05:
        shape: HoleShape = "round"
    elif aspect >= ROUND_ASPECT and narrow < 1.15 * bore and free.area > (1 - FIT) * stadium:
        shape = "slot"
    else:
        shape = "other"
    middle = np.array(free.centroid.coords[0])
    long = sides[long_side] / length @ frame if shape == "slot" else None
    return Clear(bore, bore if shape == "round" else length, shape, long, np.asarray(centre + middle @ frame))
