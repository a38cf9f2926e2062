"""Where things stand on a picture's sheet: body, legend, key, title and caution."""

from __future__ import annotations

from dataclasses import dataclass

Area = tuple[int, int, int, int]

DESIGNED_FOR = (1800, 1200)
TYPE_PX = 20
SMALLEST_TYPE_PX = 10
WIDE = 1.6


@dataclass(frozen=True)
class Page:
    """Areas of a sheet, each as left, top, right, bottom in pixels.

    Args:
        title: for the title.
        body: for the rendered picture.
        legend: for the looms.
        key: for the marks.
        caution: for the line at the bottom.
        below: whether legend and key stand below the body, side by side, rather than one over the other at its right.
        type_px: size of the plain type.
    """

    title: Area
    body: Area
    legend: Area
    key: Area
    caution: Area
    below: bool
    type_px: int


def page_of(size: tuple[int, int], shape: float, key_px: float) -> Page:
    """Lays out a sheet.

    Args:
        size: width and height in pixels.
        shape: width by height of what the body shows; a wide body takes the sheet's whole width.
        key_px: height of the key, in heights of the plain type.

    Returns:
        The sheet's areas; none overlaps another.
    """
    scale = min(size[0] / DESIGNED_FOR[0], size[1] / DESIGNED_FOR[1])
    type_px = max(SMALLEST_TYPE_PX, round(TYPE_PX * scale))
    edge, side = int(type_px * 1.4), type_px * 20
    head, foot, key = int(type_px * 4.8), int(type_px * 2.4), int(type_px * key_px)
    left, right, top, bottom = edge, size[0] - edge, head, size[1] - foot
    title, caution = (left, edge // 2, right, top), (left, bottom, right, size[1])
    if shape >= WIDE:
        middle = bottom - key
        body, legend = (
            (edge // 2, top, size[0] - edge // 2, middle - type_px // 2),
            (left, middle, right - side, bottom),
        )
        return Page(title, body, legend, (right - side + edge, middle, right, bottom), caution, True, type_px)
    body = (edge // 2, top, right - side - edge, bottom)
    legend = (right - side, top + edge // 2, right, bottom - key - type_px)
    return Page(title, body, legend, (right - side, bottom - key, right, bottom), caution, False, type_px)
