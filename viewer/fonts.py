"""Type for pictures: the DejaVu fonts that come with matplotlib, which pyvista brings; else Pillow's own."""

from __future__ import annotations

import importlib.util
from functools import cache
from pathlib import Path

from PIL import ImageFont

Font = ImageFont.FreeTypeFont | ImageFont.ImageFont


def _folder() -> Path | None:
    """Where matplotlib keeps its fonts, found without loading it."""
    spec = importlib.util.find_spec("matplotlib")
    places = spec.submodule_search_locations if spec else None
    return Path(next(iter(places))) / "mpl-data" / "fonts" / "ttf" if places else None


def font_file(bold: bool = False) -> Path | None:
    """The file of the pictures' font.

    Args:
        bold: heavy letters.

    Returns:
        Its path, or None if it is missing.
    """
    folder = _folder()
    file = folder / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf") if folder else None
    return file if file is not None and file.is_file() else None


@cache
def font(size_px: int, bold: bool = False) -> Font:
    """A font.

    Args:
        size_px: height of its letters' box, in pixels.
        bold: heavy letters.

    Returns:
        The font; Pillow's own, which knows no accents, if the others are missing.
    """
    file = font_file(bold)
    if file is not None:
        return ImageFont.truetype(str(file), size_px)
    return ImageFont.load_default(size=size_px)


def text_size(text: str, face: Font) -> tuple[int, int]:
    """Room that a text needs.

    Args:
        text: one or more lines.
        face: its font.

    Returns:
        Width and height in pixels, height counted by whole lines.
    """
    lines = text.split("\n")
    width = max(face.getlength(line) for line in lines)
    return int(width + 0.999), line_height(face) * len(lines)


def line_height(face: Font) -> int:
    """Height of a line of type.

    Args:
        face: its font.

    Returns:
        Pixels from one line to the next.
    """
    box = face.getbbox("Åg|")
    return int(box[3] - box[1] + 3)
