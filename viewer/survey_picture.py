"""A picture of a survey: each wall straight on, what stands on it, and the found openings numbered and coloured by kind.

Drawn flat with Pillow, so that it needs no OpenGL.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from ribway.models.palette import LOOM_COLOURS
from ribway.viewer import palette
from ribway.viewer.fonts import font, text_size
from ribway.viewer.labels import Box, Placed, Wish, place_labels
from ribway.viewer.saving import save_png

Points = NDArray[np.float64]
Faces = NDArray[np.int32]

SIZE = (2200, 1900)
MARGIN = 34
TITLE_PX = 30
TEXT_PX = 13
LEAST_RADIUS_PX, MOST_RADIUS_PX = 5.0, 16.0
LEADER_PX = 12.0
SURE = 0.9
CREASE = np.cos(np.radians(15.0))
KINDS = ("way", "access", "window", "door", "wheel arch", "tube")
KIND_COLOURS = dict(zip(KINDS, (LOOM_COLOURS[1], LOOM_COLOURS[0], LOOM_COLOURS[2], *LOOM_COLOURS[3:6]), strict=True))
# (skin, the two van axes that run to the right and up in the picture, with their signs)
VIEWS = (
    ("left", (0, 1.0), (2, 1.0)),
    ("right", (0, -1.0), (2, 1.0)),
    ("roof", (0, 1.0), (1, 1.0)),
    ("floor", (0, -1.0), (1, 1.0)),
    ("bulkhead", (1, -1.0), (2, 1.0)),
)


@dataclass(frozen=True, eq=False)
class Sheet:
    """A mesh to draw.

    Args:
        name: of the skin; empty for what stands on skins.
        vertices, faces: ``(n, 3)`` [m] and ``(m, 3)``.
    """

    name: str
    vertices: Points
    faces: Faces


@dataclass(frozen=True, eq=False)
class Spot:
    """A found opening.

    Args:
        name, kind: of the opening.
        rim: ``(r, 3)`` outline [m].
        centre: ``(3,)`` [m].
        skin: on whose view it is drawn.
        sure: 0 to 1; candidates are drawn thin.
    """

    name: str
    kind: str
    rim: Points
    centre: Points
    skin: str
    sure: float


def draw_survey(skins: Sequence[Sheet], metal: Sequence[Sheet], spots: Sequence[Spot], path: Path, title: str) -> None:
    """Draw the survey to a PNG file.

    Args:
        skins: found skins.
        metal: members and obstacles.
        spots: openings; those whose skin is none of the views are listed only.
        path: where to.
        title: what was surveyed.

    Raises:
        OSError: the file cannot be written.
    """
    save_png(picture_of(skins, metal, spots, title), path)


def picture_of(skins: Sequence[Sheet], metal: Sequence[Sheet], spots: Sequence[Spot], title: str) -> Image.Image:
    """The picture itself; see `draw_survey`."""
    image = Image.new("RGB", SIZE, palette.GROUND)
    pen = ImageDraw.Draw(image)
    counts = {kind: sum(spot.kind == kind for spot in spots) for kind in KINDS}
    pen.text((MARGIN, 10), f"Openings found in {title}: check each on the van", fill=palette.INK, font=font(TITLE_PX))
    x = float(MARGIN)
    for kind in KINDS:
        if counts[kind]:
            pen.ellipse((x, 56, x + 16, 72), outline=KIND_COLOURS[kind], width=4)
            text = f"{kind} ({counts[kind]})"
            pen.text((x + 22, 54), text, fill=palette.INK, font=font(TEXT_PX + 4))
            x += 60 + text_size(text, font(TEXT_PX + 4))[0]
    shown = [view for view in VIEWS if any(skin.name == view[0] for skin in skins)]
    edges = [_edges(sheet) for sheet in metal]
    boxes = _boxes(len(shown))
    for (name, right, up), box in zip(shown, boxes, strict=True):
        skin = next(one for one in skins if one.name == name)
        _view(pen, box, name, skin, edges, [spot for spot in spots if spot.skin == name], right, up)
    return image


def _boxes(count: int) -> list[Box]:
    """Rooms for the views: two across."""
    top, wide, rows = 90.0, (SIZE[0] - 3 * MARGIN) / 2, max(1, -(-count // 2))
    high = (SIZE[1] - top - MARGIN * rows) / rows
    return [
        (MARGIN + (k % 2) * (wide + MARGIN), top + (k // 2) * (high + MARGIN),
         MARGIN + (k % 2) * (wide + MARGIN) + wide, top + (k // 2) * (high + MARGIN) + high)
        for k in range(count)
    ]  # fmt: skip


def _view(
    pen: ImageDraw.ImageDraw, box: Box, name: str, skin: Sheet, edges: Sequence[Points], spots: Sequence[Spot],
    right: tuple[int, float], up: tuple[int, float],
) -> None:  # fmt: skip
    """One wall straight on."""

    def flat(points: Points) -> Points:
        return np.stack([points[..., right[0]] * right[1], -points[..., up[0]] * up[1]], axis=-1)

    corners = flat(skin.vertices)
    low, high = corners.min(axis=0) - 0.05, corners.max(axis=0) + 0.05
    scale = min((box[2] - box[0]) / (high[0] - low[0]), (box[3] - box[1] - 24) / (high[1] - low[1]))

    def px(points: Points) -> Points:
        return np.asarray((flat(points) - low) * scale + np.array([box[0], box[1] + 24]))

    pen.text((box[0], box[1]), name, fill=palette.INK, font=font(TEXT_PX + 5))
    for tri in px(skin.vertices[skin.faces]):
        pen.polygon([tuple(point) for point in tri.tolist()], fill="#e9ecef")
    depth_axis = ({0, 1, 2} - {right[0], up[0]}).pop()
    level = float(np.median(skin.vertices[:, depth_axis]))
    for lines in [_edges(skin), *edges]:
        inside = ((flat(lines) >= low) & (flat(lines) <= high)).all(axis=(1, 2))
        near = np.abs(lines[:, :, depth_axis] - level).max(axis=1) < 0.35
        for a, b in px(lines[near & inside]).tolist():
            pen.line((*a, *b), fill="#adb5bd", width=1)
    centres = [px(spot.centre) for spot in spots]
    radii = [_radius_px(spot, scale) for spot in spots]
    for spot, centre, radius in zip(spots, centres, radii, strict=True):
        width = 3 if spot.sure >= SURE else 1
        ring = (*(centre - radius).tolist(), *(centre + radius).tolist())
        pen.ellipse(ring, outline=KIND_COLOURS.get(spot.kind, palette.INK), width=width)
    marks = [(*centre.tolist(), radius) for centre, radius in zip(centres, radii, strict=True)]
    for placed in labels_of([spot.name for spot in spots], marks, (box[0], box[1] + 24.0, box[2], box[3])):
        spot = spots[placed.wish]
        colour = KIND_COLOURS.get(spot.kind, palette.INK)
        (x, y), (x_end, y_end) = placed.leader
        length, radius = math.hypot(x_end - x, y_end - y), radii[placed.wish]
        if length > radius + LEADER_PX:
            share = 1.0 - radius / length
            pen.line((x, y, x + share * (x_end - x), y + share * (y_end - y)), fill=colour, width=1)
        pen.text((placed.box[0] + 1, placed.box[1] - 1), spot.name, fill=colour, font=font(TEXT_PX))


def _radius_px(spot: Spot, scale: float) -> float:
    """Of the circle that marks an opening: its own size, but to be seen, and not over its neighbours."""
    own = float(np.linalg.norm(spot.rim - spot.rim.mean(axis=0), axis=1).max()) * scale
    return min(max(LEAST_RADIUS_PX, own), MOST_RADIUS_PX)


def labels_of(names: Sequence[str], marks: Sequence[tuple[float, float, float]], room: Box) -> tuple[Placed, ...]:
    """Places for the names of marked openings: none lies on another, on a mark or outside.

    Args:
        names: what to write, one for each mark.
        marks: centre and radius of each circle [px].
        room: left, top, right, bottom within which all must lie [px].

    Returns:
        Places in the order of the names; a name for which there is no room is left out.
    """
    face = font(TEXT_PX)
    wishes = []
    for name, (x, y, _) in zip(names, marks, strict=True):
        width, height = text_size(name, face)
        wishes.append(Wish((x, y), width + 2.0, height))
    circles = [(x - radius, y - radius, x + radius, y + radius) for x, y, radius in marks]
    return place_labels(wishes, room, circles)


def _edges(sheet: Sheet) -> Points:
    """Creases and free edges, ``(e, 2, 3)``."""
    tri = sheet.vertices[sheet.faces]
    cross = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    normal = cross / np.maximum(np.linalg.norm(cross, axis=1, keepdims=True), 1e-300)
    starts, ends = sheet.faces.reshape(-1).astype(np.int64), sheet.faces[:, [1, 2, 0]].reshape(-1).astype(np.int64)
    key = np.minimum(starts, ends) * len(sheet.vertices) + np.maximum(starts, ends)
    order = np.argsort(key, kind="stable")
    first = np.flatnonzero(np.concatenate([[True], np.diff(key[order]) != 0]))
    count = np.diff(np.append(first, len(order)))
    drawn = count != 2
    two = first[count == 2]
    bend = np.einsum("ij,ij->i", normal[order[two] // 3], normal[order[two + 1] // 3])
    drawn[count == 2] = bend < CREASE
    chosen = order[first[drawn]]
    return np.stack([sheet.vertices[starts[chosen]], sheet.vertices[ends[chosen]]], axis=1)
