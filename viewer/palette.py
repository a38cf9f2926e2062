"""The colours of pictures: looms, metal, marks, and openings by how full they are."""

from __future__ import annotations

from ribway.models.palette import LOOM_COLOURS, loom_colour

__all__ = [
    "LOOM_COLOURS",
    "fill_colour",
    "loom_colour",
    "rgb_of",
]

GROUND = "#ffffff"
INK = "#1b2026"
QUIET_INK = "#5b646e"
LEADER = "#7b858f"
CAUTION = "#9a3b00"

SKIN = "#dfe5ea"
MEMBER = "#c4c8cc"
OBSTACLE = "#cfd4d9"
PANEL = "#dfe5ea"
EDGE = "#6f7881"
DEVICE = "#1b2026"
FOCUS = "#0000d2"
KEEP_OUT = "#b3261e"

RING_EMPTY = "#8b949c"
RING_EASY = "#2c7fb8"
RING_NEAR = "#f0a500"
RING_FULL = "#a50026"
NEARLY_FULL = 0.75


def fill_colour(fill_percent: float, limit_percent: float) -> str:
    """Colour of an opening's ring by how full the plan makes it.

    Args:
        fill_percent: share of the clear area that is taken [%].
        limit_percent: share that may be taken [%].

    Returns:
        Grey when empty, blue when there is room, amber from three quarters of the limit, dark red above the limit.
    """
    if fill_percent <= 0.0:
        return RING_EMPTY
    if fill_percent > limit_percent:
        return RING_FULL
    return RING_NEAR if fill_percent >= NEARLY_FULL * limit_percent else RING_EASY


def rgb_of(colour: str) -> tuple[int, int, int]:
    """Splits ``#rrggbb`` into its three bytes.

    Args:
        colour: as ``#rrggbb``.

    Returns:
        Red, green, blue, 0 to 255.
    """
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
