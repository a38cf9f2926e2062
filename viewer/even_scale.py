"""A colour scale whose steps look equal, from dark to light; told apart by colour-blind people too.

Source: S. van der Walt, N. Smith, "viridis", released for matplotlib in 2015 under CC0; ten of its 256 entries, straight
lines between them.
"""

from __future__ import annotations

from itertools import pairwise

ANCHORS: tuple[tuple[int, int, int], ...] = (
    (68, 1, 84),
    (72, 40, 120),
    (62, 73, 137),
    (49, 104, 142),
    (38, 130, 142),
    (31, 158, 137),
    (53, 183, 121),
    (110, 206, 88),
    (181, 222, 43),
    (253, 231, 37),
)


def even_colour(share: float) -> str:
    """The colour of a place on the scale.

    Args:
        share: 0 for the dark end to 1 for the light one; what lies outside counts as the end.

    Returns:
        ``#rrggbb``.
    """
    at = min(max(share, 0.0), 1.0) * (len(ANCHORS) - 1)
    step = min(int(at), len(ANCHORS) - 2)
    low, high = list(pairwise(ANCHORS))[step]
    mixed = (round(a + (b - a) * (at - step)) for a, b in zip(low, high, strict=True))
    return "#" + "".join(f"{value:02x}" for value in mixed)


def shares_of(values: list[float]) -> list[float]:
    """Where values stand between the least and the greatest of them.

    Args:
        values: finite numbers.

    Returns:
        0 for the least to 1 for the greatest; 0 for all if they are alike.
    """
    if not values:
        return []
    low, high = min(values), max(values)
    return [(value - low) / (high - low) if high > low else 0.0 for value in values]
