"""Words over a rendered picture: names with leaders, scales. Pillow only."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from ribway.viewer import palette
from ribway.viewer.camera import Camera
from ribway.viewer.fonts import Font, font, line_height, text_size
from ribway.viewer.labels import Box, Placed, Wish, place_labels
from ribway.viewer.names import Name
from ribway.viewer.rulers import Ruler

Points = NDArray[np.float64]

PAD_X, PAD_Y = 6, 3
COLOURED = 40
UNUSED_WORTH = 2.0


def busy_pixels(image: Image.Image) -> NDArray[np.bool_]:
    """Pixels that show a cable, a ring or a mark rather than grey metal.

    Args:
        image: the rendered picture.

    Returns:
        ``(height, width)`` true where it is coloured or black.
    """
    pixels = np.asarray(image.convert("RGB")).astype(np.int16)
    busy: NDArray[np.bool_] = (np.ptp(pixels, axis=2) > COLOURED) | (pixels.max(axis=2) < 80)
    return busy


def ink_on(colour: str) -> str:
    """Black or white, whichever reads better on a colour.

    Source: WCAG 2.2, relative luminance and contrast ratio; equal contrast with both lies at luminance 0.179.

    Args:
        colour: ``#rrggbb``.

    Returns:
        ``#rrggbb``.
    """
    linear = [
        v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (c / 255 for c in palette.rgb_of(colour))
    ]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return palette.INK if luminance > 0.179 else palette.GROUND


def _face(name: Name, size_px: int) -> Font:
    return font(
        size_px if name.used else max(10, int(size_px * 0.8)), bold=name.what in ("loom", "opening") and name.used
    )


def _put_marks(image: Image.Image, names: Sequence[Name], size_px: int) -> None:
    """A dot at each device and a ring at each opening, over whatever would hide them."""
    draw = ImageDraw.Draw(image, "RGBA")
    for name in sorted(names, key=lambda one: one.what, reverse=True):
        x, y = name.spot
        if name.what == "opening":
            radius, width = size_px * (0.36 if name.used else 0.24), max(2, size_px // (6 if name.used else 9))
            draw.ellipse(_round(x, y, radius + 1.5), outline="#ffffff", width=width + 3)
            draw.ellipse(_round(x, y, radius), outline=name.colour, width=width)
        elif name.what in ("breakout", "place"):
            reach = size_px * 0.42
            corners = [(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)]
            draw.polygon(corners, fill=name.colour, outline="#ffffff", width=2)
        elif name.what == "device":
            draw.ellipse(_round(x, y, size_px * 0.36 + 2), fill="#ffffff")
            draw.ellipse(_round(x, y, size_px * 0.36), fill=palette.DEVICE)


def _round(x: float, y: float, radius: float) -> Box:
    """The box of a circle."""
    return x - radius, y - radius, x + radius, y + radius


def put_names(
    image: Image.Image, names: Sequence[Name], size_px: int, taken: Sequence[Box] = ()
) -> tuple[tuple[Placed, ...], tuple[str, ...]]:
    """Puts names on a picture, none over another, with dots at devices and rings at openings.

    Args:
        image: the rendered picture, drawn on.
        names: what to write.
        size_px: size of the type.
        taken: boxes that no name may cover.

    Returns:
        The places, and the names (not counting unused openings) for which there was no room.
    """
    wishes = []
    for name in names:
        width, height = text_size(name.text, _face(name, size_px))
        bar = size_px // 2 if name.what == "runs" else 0
        worth = math.inf if name.used else size_px * UNUSED_WORTH
        pad = 2 if name.used else 0
        wishes.append(Wish(name.spot, width + pad * PAD_X + bar, height + pad * PAD_Y, name.rank, worth))
    area = (2.0, 2.0, image.width - 2.0, image.height - 2.0)
    _put_marks(image, names, size_px)
    placed = place_labels(wishes, area, taken, busy_pixels(image))
    draw = ImageDraw.Draw(image, "RGBA")
    for one in placed:
        if not names[one.wish].used:
            continue
        colour = names[one.wish].colour if names[one.wish].what != "device" else palette.LEADER
        draw.line(one.leader, fill="#ffffffc0", width=max(3, size_px // 5))
        draw.line(one.leader, fill=colour or palette.LEADER, width=max(1, size_px // 11))
    _put_marks(image, names, size_px)
    for one in placed:
        _write(draw, names[one.wish], one.box, size_px)
    there = {one.wish for one in placed}
    return placed, tuple(name.text for i, name in enumerate(names) if i not in there and name.used)


def _write(draw: ImageDraw.ImageDraw, name: Name, box: Box, size_px: int) -> None:
    """One name: devices in a plain box, openings and runs in a coloured one, looms filled, unused openings without."""
    face = _face(name, size_px)
    if not name.used:
        draw.text(
            (box[0], box[1] - 1), name.text, font=face, fill=palette.QUIET_INK, stroke_width=2, stroke_fill="#ffffff"
        )
        return
    ground, ink, border = "#fffffff0", palette.INK, name.colour or palette.LEADER
    if name.what == "loom":
        ground, ink = name.colour, ink_on(name.colour)
    draw.rounded_rectangle(box, radius=4, fill=ground, outline=border, width=2 if name.colour else 1)
    left = box[0] + PAD_X
    if name.what == "runs":
        draw.rectangle((box[0], box[1], box[0] + size_px // 2, box[3]), fill=name.colour)
        left += size_px // 2
    for i, line in enumerate(name.text.split("\n")):
        draw.text((left, box[1] + PAD_Y + i * line_height(face) - 1), line, font=face, fill=ink, anchor="la")


def put_rulers(image: Image.Image, rulers: Sequence[Ruler], camera: Camera, middle: Points, size_px: int) -> list[Box]:
    """Draws scales along edges, figures outside.

    Args:
        image: the rendered picture, drawn on.
        rulers: the scales.
        camera: the camera of the picture.
        middle: ``(3,)`` the middle of what is shown; figures stand on the other side of the edge [m].
        size_px: size of the type.

    Returns:
        The boxes that the figures take.
    """
    draw = ImageDraw.Draw(image, "RGBA")
    face = font(size_px)
    boxes: list[Box] = []
    tick = size_px * 0.5
    inside = camera.pixels(middle[None], image.size)[0]
    for ruler in rulers:
        ends = camera.pixels(ruler.ends, image.size)
        along = ends[1] - ends[0]
        if np.linalg.norm(along) < 1.0:
            continue
        out = np.array([along[1], -along[0]]) / np.linalg.norm(along)
        out = out if out @ (ends.mean(axis=0) - inside) > 0 else -out
        draw.line([tuple(ends[0]), tuple(ends[1])], fill=palette.QUIET_INK, width=2)
        widest = max(text_size(text, face)[0] for text in ruler.figures) if ruler.figures else 0
        for spot, text in zip(camera.pixels(ruler.marks, image.size), ruler.figures, strict=True):
            draw.line([tuple(spot), tuple(spot + out * tick)], fill=palette.QUIET_INK, width=2)
            width, height = text_size(text, face)
            at = spot + out * (tick + 3.0 + abs(out[0]) * width / 2.0 + abs(out[1]) * height / 2.0)
            draw.text(tuple(at), text, font=face, fill=palette.QUIET_INK, anchor="mm")
            boxes.append((at[0] - width / 2, at[1] - height / 2, at[0] + width / 2, at[1] + height / 2))
        away = tick + 8.0 + abs(out[0]) * widest + abs(out[1]) * size_px
        boxes.append(_caption(image, _pointed(ruler, along), ends.mean(axis=0) + out * away, along, out, face))
    return boxes


def _pointed(ruler: Ruler, along: Points) -> str:
    """A scale's caption with an arrow towards its second end, as it reads from left to right or from below upward."""
    if not ruler.toward:
        return ruler.caption
    ahead = along[0] > 0.0 if abs(along[0]) > 1.0 else along[1] < 0.0
    return f"{ruler.caption}   {ruler.toward} →" if ahead else f"← {ruler.toward}   {ruler.caption}"


def _caption(image: Image.Image, text: str, at: Points, along: Points, out: Points, face: Font) -> Box:
    """A scale's caption, turned to lie along it."""
    width, height = text_size(text, face)
    sheet = Image.new("RGBA", (width + 2, height + 2), (255, 255, 255, 0))
    ImageDraw.Draw(sheet).text((1, 1), text, font=face, fill=palette.QUIET_INK)
    angle = float(np.degrees(np.arctan2(-along[1], along[0])))
    angle = 100.0 - (100.0 - angle) % 180.0
    sheet = sheet.rotate(angle, expand=True, resample=Image.Resampling.BICUBIC)
    middle = at + out * (height / 2.0 + 2.0)
    left = int(np.clip(middle[0] - sheet.width / 2.0, 0, max(image.width - sheet.width, 0)))
    top = int(np.clip(middle[1] - sheet.height / 2.0, 0, max(image.height - sheet.height, 0)))
    image.paste(sheet, (left, top), sheet)
    return (float(left), float(top), float(left + sheet.width), float(top + sheet.height))
