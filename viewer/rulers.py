"""Scales along the van's edges: metres or feet back from the datum, up from the floor, left and right of the centre."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.models.printed import Units
from ribway.viewer.shapes import Scene
from ribway.viewer.units import mark_step, mark_text
from ribway.viewer.views import View

Points = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Ruler:
    """A scale.

    Args:
        marks: ``(n, 3)`` where its marks are [m].
        ends: ``(2, 3)`` the edge it lies along [m].
        figures: text at each mark.
        caption: what it measures.
        toward: where its second end lies, ``forward`` or ``left``; empty for up.
    """

    marks: Points
    ends: Points
    figures: tuple[str, ...]
    caption: str
    toward: str


def _ruler(axis: int, corner: Points, low: Points, high: Points, units: Units) -> Ruler:
    """A scale through a corner of the van's box, along one axis."""
    step = mark_step(units)
    sign = -1.0 if axis == 0 else 1.0
    ends = np.stack([corner, corner])
    ends[:, axis] = low[axis], high[axis]
    near, far = sorted((sign * low[axis], sign * high[axis]))
    counts = np.arange(np.ceil(near / step - 1e-6), np.floor(far / step + 1e-6) + 1).astype(int)
    marks = np.repeat(corner[None], len(counts), axis=0)
    marks[:, axis] = sign * counts * step
    unit = "m" if units == "metric" else "ft"
    caption = (f"{unit} back from the datum", f"{unit} from the centre line", f"{unit} up")[axis]
    toward = ("forward", "left", "")[axis]
    if axis == 1:
        counts = np.abs(counts)
    return Ruler(marks, ends, tuple(mark_text(int(count), units) for count in counts), caption, toward)


def rulers_of(view: View, scene: Scene) -> tuple[Ruler, ...]:
    """The scales of a view, along edges of the van's box where they hide nothing.

    Args:
        view: the view.
        scene: what is shown, already cut.

    Returns:
        Two scales for a wall, three for the overview.
    """
    low, high, units = scene.low, scene.high, scene.heading.units
    if view.slab is None:
        left_rear = np.array([low[0], high[1], low[2]])
        right_rear = np.array([low[0], low[1], low[2]])
        return (
            _ruler(0, left_rear, low, high, units),
            _ruler(1, left_rear, low, high, units),
            _ruler(2, right_rear, low, high, units),
        )
    forward, up = np.array(view.forward), np.array(view.up)
    right = np.cross(forward, up)
    # The lower left corner of the picture: least along right and up.
    corner = np.where(right + up > 0.5, low, high)
    corner = np.where(np.abs(forward) > 0.5, (low + high) / 2.0, corner)
    return tuple(_ruler(axis, corner, low, high, units) for axis in range(3) if abs(forward[axis]) < 0.5)
