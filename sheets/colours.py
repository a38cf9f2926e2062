"""Words for the colours of looms, since a paper may be printed in black and white."""

from __future__ import annotations

_NAMES = (
    (0x0072B2, "blue"),
    (0xD55E00, "vermilion"),
    (0x009E73, "green"),
    (0xCC79A7, "pink"),
    (0x4B0000, "oxblood"),
    (0xE69F00, "orange"),
    (0x0000D2, "ultramarine"),
    (0x56B4E9, "sky blue"),
    (0xA51E00, "brick red"),
    (0x3C004B, "aubergine"),
    (0x1EE1A5, "mint"),
    (0x2D7869, "pine green"),
    (0x693C69, "plum"),
    (0x783C3C, "umber"),
    (0xFFFFFF, "white"),
    (0x808080, "grey"),
    (0x000000, "black"),
)


def colour_name(colour: str) -> str:
    """The word for a colour: that of the nearest colour that has one.

    Args:
        colour: ``#rrggbb``.

    Returns:
        The word.

    Raises:
        ValueError: not of that form.
    """
    red, green, blue = rgb(colour)

    def apart(number: int) -> int:
        return (number // 65536 - red) ** 2 + (number // 256 % 256 - green) ** 2 + (number % 256 - blue) ** 2

    return min(_NAMES, key=lambda named: apart(named[0]))[1]


def rgb(colour: str) -> tuple[int, int, int]:
    """A colour's three parts.

    Args:
        colour: ``#rrggbb``.

    Returns:
        Red, green and blue, each 0 to 255.

    Raises:
        ValueError: not of that form.
    """
    if len(colour) != 7 or not colour.startswith("#"):
        raise ValueError(f"a colour is written #rrggbb, found {colour!r}")
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
