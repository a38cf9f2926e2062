"""How openings of a draft are drawn: strokes round each, coloured by kind, broken where the survey is not sure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.models.palette import LOOM_COLOURS
from ribway.models.review.hole import Hole
from ribway.viewer import palette

Points = NDArray[np.float64]

KINDS = ("way", "access", "window", "door", "wheel arch", "tube")
KIND_COLOURS: Mapping[str, str] = dict(
    zip(KINDS, (LOOM_COLOURS[1], LOOM_COLOURS[0], LOOM_COLOURS[2], *LOOM_COLOURS[3:6]), strict=True)
)
GONE = palette.RING_EMPTY
AROUND = 32
DASH = 2
THIN_M, THICK_M = 0.002, 0.0042
KEY = (
    ("ring", "found, nobody has looked at it"),
    ("small dot, broken ring", "candidate: the survey is not sure"),
    ("full dot, thick ring", "confirmed"),
    ("grey dot, cross", "deleted: it is none"),
)
"""What the marks mean, in the words of the window and the page."""


@dataclass(frozen=True, eq=False)
class MarkShape:
    """One opening as it is drawn.

    Args:
        name: of the opening.
        wall: from where it is looked at.
        middle: ``(3,)`` [m].
        strokes: lines to draw, ``(n, 3)`` each [m].
        colour: ``#rrggbb``.
        radius_m: half the width of its strokes [m].
        dots_px: dots over its middle, one on the other: width [px] and colour of each. They face the eye, so that an
            opening is seen from its side too.
    """

    name: str
    wall: str
    middle: Points
    strokes: tuple[Points, ...]
    colour: str
    radius_m: float
    dots_px: tuple[tuple[float, str], ...]


def mark_of(hole: Hole) -> MarkShape:
    """How an opening is drawn.

    Args:
        hole: the opening.
    """
    rim = rim_of(hole)
    middle = rim.mean(axis=0)
    if hole.mark == "deleted":
        quarter = AROUND // 4
        eighth = AROUND // 8
        cross = tuple(rim[[eighth + k * quarter, eighth + (k + 2) * quarter]] for k in range(2))
        return MarkShape(hole.name, hole.wall, middle, cross, GONE, THIN_M, ((8.0, GONE),))
    colour = KIND_COLOURS.get(hole.kind, palette.INK)
    closed = np.concatenate([rim, rim[:2]])
    if hole.mark == "confirmed":
        return MarkShape(hole.name, hole.wall, middle, (closed,), colour, THICK_M, ((14.0, colour),))
    if hole.is_sure:
        return MarkShape(
            hole.name, hole.wall, middle, (closed,), colour, THIN_M, ((14.0, colour), (8.0, palette.GROUND))
        )
    dashes = tuple(closed[k : k + DASH + 1] for k in range(0, AROUND, 2 * DASH))
    return MarkShape(hole.name, hole.wall, middle, dashes, colour, THIN_M, ((7.0, colour),))


def rim_of(hole: Hole) -> Points:
    """An opening's outline in even steps.

    Args:
        hole: the opening; a circle of its bore is taken where its rim is not known.

    Returns:
        ``(AROUND, 3)`` points [m].
    """
    rim = np.array(hole.rim, dtype=np.float64).reshape(-1, 3)
    if len(rim) < 3:
        line = np.array(hole.line, dtype=np.float64)
        axis = line[1] - line[0]
        size = float(np.linalg.norm(axis))
        axis = axis / size if size > 0 else np.array([1.0, 0.0, 0.0])
        first = np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))])
        first /= np.linalg.norm(first)
        angle = np.arange(AROUND)[:, None] * 2 * np.pi / AROUND
        circle = np.cos(angle) * first + np.sin(angle) * np.cross(axis, first)
        return np.asarray(line[0] + hole.bore_m / 2 * circle)
    closed = np.concatenate([rim, rim[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    wanted = np.arange(AROUND) * along[-1] / AROUND
    return np.stack([np.interp(wanted, along, closed[:, k]) for k in range(3)], axis=1)


def nearest_mark(spots_px: Points, x: float, y: float, reach_px: float) -> int | None:
    """The mark that is meant by a click.

    Args:
        spots_px: ``(n, 2)`` where their middles are seen [px].
        x, y: of the click, counted alike [px].
        reach_px: how far off it may be [px].

    Returns:
        Its number, or None.
    """
    if len(spots_px) == 0:
        return None
    off = np.hypot(spots_px[:, 0] - x, spots_px[:, 1] - y)
    best = int(np.argmin(off))
    return best if off[best] <= reach_px else None
