"""The copper map: what every place of a device would cost the van in copper, drawn on the shell from two sides."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from ribway.models.plan.plan import Plan
from ribway.models.printed import Units, grams_down
from ribway.viewer import draw, overlay, palette
from ribway.viewer.camera import Camera, Size
from ribway.viewer.errors import NothingToShow
from ribway.viewer.even_scale import even_colour, shares_of
from ribway.viewer.flat import outward
from ribway.viewer.fonts import font, line_height
from ribway.viewer.frames import across
from ribway.viewer.legend import fitted
from ribway.viewer.names import Name, device_names
from ribway.viewer.ready import make_ready
from ribway.viewer.saving import save_png
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Scene
from ribway.viewer.views import OVERVIEW, camera_of, seen_in, view_named

Points = NDArray[np.float64]

SIZE = (1800, 1050)
TYPE_PX, EDGE_PX = 18, 26
SEEN_THROUGH = 0.22
SCALE_STEPS = 60
MOST_MARKS = 5
FILL = 0.92
BEST = "#c1121f"
SIDES = (OVERVIEW, "other side", "above")


@dataclass(frozen=True)
class MarkedPlace:
    """A place worth naming.

    Args:
        at: which of the map's places.
        words: what is said of it.
    """

    at: int
    words: str


@dataclass(frozen=True, eq=False)
class CopperMap:
    """What is drawn.

    Args:
        device: the name of the device that is placed.
        points: ``(n, 3)`` its places [m].
        walls: the skin that each lies on.
        kg: ``(n,)`` least copper of the van with the device there [kg]; nan where it cannot stand.
        step_m: distance between places along the tape [m].
        marks: the best places, best first.
        note: what the colours mean.
    """

    device: str
    points: Points
    walls: tuple[str, ...]
    kg: NDArray[np.float64]
    step_m: float
    marks: tuple[MarkedPlace, ...]
    note: str


def draw_copper_map(plan: Plan, shown: CopperMap, path: Path, *, size: Size = SIZE) -> None:
    """Writes a copper map as PNG; the file appears whole or not at all.

    Args:
        plan: the plan of the van as it is.
        shown: the places and what each costs.
        path: where to.
        size: width and height in pixels.

    Raises:
        CannotDraw: if this machine cannot draw.
        NothingToShow: if the device can stand at none of the places.
        OSError: if the file cannot be written.
    """
    known = np.flatnonzero(np.isfinite(shown.kg))
    if len(known) == 0:
        raise NothingToShow(f"{shown.device} can stand at none of the {len(shown.points)} places: there is no map")
    make_ready()
    image = Image.new("RGB", size, palette.GROUND)
    pen = ImageDraw.Draw(image, "RGBA")
    big = font(int(TYPE_PX * 1.7), bold=True)
    title = f"{plan.name}: copper by place of {shown.device}"
    pen.text((EDGE_PX, EDGE_PX // 2), fitted(title, size[0] - 2 * EDGE_PX, big), font=big, fill=palette.INK)
    top, foot = EDGE_PX + int(TYPE_PX * 2.6), int(TYPE_PX * 8.0)
    scene = _bare(scene_of(plan))
    sides = [side for side in SIDES if tiles(shown, seen_walls(shown, side))]
    wide = (size[0] - (len(sides) + 1) * EDGE_PX) // len(sides)
    for number, side in enumerate(sides):
        body = _side(scene, side, shown, (wide, size[1] - top - foot))
        image.paste(body, (EDGE_PX + number * (wide + EDGE_PX), top))
    _scale(pen, shown, plan.rules.units, (EDGE_PX, size[1] - foot + TYPE_PX, size[0] // 2 - EDGE_PX, size[1]))
    _list(pen, shown, (size[0] // 2 + EDGE_PX, size[1] - foot + TYPE_PX, size[0] - EDGE_PX, size[1]))
    save_png(image, path)


def seen_walls(shown: CopperMap, side: str) -> tuple[str, ...]:
    """The skins whose places are drawn from one side.

    Args:
        shown: the map.
        side: name of a view of the whole van.

    Returns:
        From the rear all that are seen from inside; the roof by itself, from above.
    """
    walls = tuple(dict.fromkeys(shown.walls))
    if side == "above":
        return tuple(wall for wall in walls if wall == "roof")
    return tuple(wall for wall in walls if wall not in view_named(side).near)


def tiles(shown: CopperMap, walls: Sequence[str]) -> list[tuple[Points, str, int]]:
    """A square on the skin for each place.

    Args:
        shown: the map.
        walls: only places on these skins.

    Returns:
        ``(4, 3)`` corners [m], colour, and which place; those where the device cannot stand are left out.
    """
    known = [int(at) for at in np.flatnonzero(np.isfinite(shown.kg))]
    shares = dict(zip(known, shares_of([float(shown.kg[at]) for at in known]), strict=True))
    low, high = shown.points.min(axis=0), shown.points.max(axis=0)
    out = outward(shown.points, low - 1e-3, high + 1e-3)
    half = shown.step_m * FILL / 2.0
    made = []
    for at in known:
        if shown.walls[at] in walls:
            first, second = across(_upright(shown.walls[at], out[at]))
            steps = ((-1, -1), (1, -1), (1, 1), (-1, 1))
            corners = np.stack([shown.points[at] + half * (a * first + b * second) for a, b in steps])
            made.append((corners, even_colour(shares[at]), at))
    return made


def _upright(wall: str, out: Points) -> Points:
    """The direction through a skin: walls are taken as upright, roof and floor as level."""
    axis = {"left": 1, "right": 1, "roof": 2, "floor": 2, "bulkhead": 0, "rear": 0}.get(wall)
    return out if axis is None else np.eye(3)[axis]


def _bare(scene: Scene) -> Scene:
    """The van as thin metal, no cables in it."""
    parts = tuple(replace(part, opacity=min(part.opacity, SEEN_THROUGH)) for part in scene.parts)
    return replace(scene, parts=parts, tubes=(), rings=(), patches=())


def _side(scene: Scene, side: str, shown: CopperMap, size: Size) -> Image.Image:
    """The map from one side: places on the walls that are seen from inside, the best ones numbered."""
    view = view_named(side)
    seen = seen_in(view, scene)
    camera = camera_of(view, seen, size, (TYPE_PX * 1.0, TYPE_PX * 1.0))
    body = Image.fromarray(draw.rendered(seen, camera, size))
    pen = ImageDraw.Draw(body, "RGBA")
    inside = tiles(shown, seen_walls(shown, side))
    far = sorted(inside, key=lambda tile: -float((tile[0].mean(axis=0) - camera.place) @ camera.axes()[2]))
    for corners, colour, _ in far:
        pen.polygon([tuple(spot) for spot in camera.pixels(corners, size)], fill=f"{colour}d0")
    there = {at for _, _, at in inside}
    overlay.put_names(body, _marks(shown, there, camera, size) + _others(scene, shown, camera, size), TYPE_PX - 2)
    return body


def _marks(shown: CopperMap, there: set[int], camera: Camera, size: Size) -> list[Name]:
    names = []
    for number, mark in enumerate(shown.marks[:MOST_MARKS], start=1):
        if mark.at in there:
            x, y = camera.pixels(shown.points[[mark.at]], size)[0]
            names.append(Name(f"{number}", "place", (float(x), float(y)), BEST, rank=0))
    return names


def _others(scene: Scene, shown: CopperMap, camera: Camera, size: Size) -> list[Name]:
    return [
        name if name.text == shown.device else replace(name, used=False)
        for name in device_names(scene.markers, camera, size)
    ]


def _scale(pen: ImageDraw.ImageDraw, shown: CopperMap, units: Units, area: tuple[int, int, int, int]) -> None:
    """The colours with their figures."""
    left, top, right, _ = area
    face, strong = font(TYPE_PX), font(TYPE_PX, bold=True)
    pen.text((left, top), fitted("copper of the whole van, at least", right - left, strong), font=strong,
             fill=palette.INK)  # fmt: skip
    top += line_height(strong) + 4
    step = (right - left) / SCALE_STEPS
    for number in range(SCALE_STEPS):
        box = (left + number * step, top, left + (number + 1) * step, top + TYPE_PX)
        pen.rectangle(box, fill=even_colour(number / (SCALE_STEPS - 1)))
    low, high = float(np.nanmin(shown.kg)), float(np.nanmax(shown.kg))
    top += TYPE_PX + 4
    for share, anchor in ((0.0, "la"), (0.5, "ma"), (1.0, "ra")):
        text = grams_down(low + share * (high - low), units)
        pen.text((left + share * (right - left), top), text, font=face, fill=palette.INK, anchor=anchor)
    top += line_height(face)
    room = math.floor(right - left)
    pen.text((left, top), fitted(shown.note, room, face), font=face, fill=palette.QUIET_INK)


def _list(pen: ImageDraw.ImageDraw, shown: CopperMap, area: tuple[int, int, int, int]) -> None:
    """The best places in words."""
    left, top, right, bottom = area
    face, strong = font(TYPE_PX), font(TYPE_PX, bold=True)
    pen.text((left, top), "best places that were planned", font=strong, fill=BEST)
    for number, mark in enumerate(shown.marks[:MOST_MARKS], start=1):
        y = top + number * line_height(face) + 2
        if y + line_height(face) <= bottom:
            pen.text((left, y), fitted(f"{number}  {mark.words}", right - left, face), font=face, fill=palette.INK)
