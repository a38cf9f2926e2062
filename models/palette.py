"""The colours of looms, told apart by colour-blind people too.

The first six are the set of M. Okabe and K. Ito, "Color Universal Design" (2008), without its black (text) and its yellow
(too pale on white paper). The other eight were searched so that any two of the fourteen stay apart by 12 or more in
CIEDE2000, seen with normal sight, without red cones and without green cones, and by 10 or more from the grey metal and the
white ground they are drawn on. ``tests/viewer/test_palette.py`` measures this afresh.
"""

from __future__ import annotations

LOOM_COLOURS: tuple[str, ...] = (
    "#0072b2",  # blue
    "#d55e00",  # vermilion
    "#009e73",  # green
    "#cc79a7",  # pink
    "#4b0000",  # oxblood
    "#e69f00",  # orange
    "#0000d2",  # ultramarine
    "#56b4e9",  # sky
    "#a51e00",  # brick
    "#3c004b",  # aubergine
    "#1ee1a5",  # mint
    "#2d7869",  # pine
    "#693c69",  # plum
    "#783c3c",  # umber
)


def loom_colour(index: int) -> str:
    """Colour of the loom with this number.

    Args:
        index: the loom's number, from 0; past the last colour they begin again, drawn with white bands.

    Returns:
        The colour as ``#rrggbb``.

    Raises:
        ValueError: if the number is negative.
    """
    if index < 0:
        raise ValueError(f"a loom's number is 0 or more, not {index}")
    return LOOM_COLOURS[index % len(LOOM_COLOURS)]
