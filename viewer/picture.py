"""Pictures on disk: the whole van or one wall, with legend, names, scales and cautions."""

from __future__ import annotations

import math
from collections.abc import Collection
from pathlib import Path

from PIL import Image, ImageDraw

from ribway.models.plan.plan import Plan
from ribway.viewer import draw, legend, overlay, palette
from ribway.viewer.loom_legend import draw_looms
from ribway.viewer.names import near_wall, overview_names, wall_names
from ribway.viewer.page import DESIGNED_FOR, SMALLEST_TYPE_PX, page_of
from ribway.viewer.ready import make_ready
from ribway.viewer.rulers import rulers_of
from ribway.viewer.saving import save_png
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import LegendLine, Scene
from ribway.viewer.views import OVERVIEW, View, camera_of, seen_in, shape_of, view_named, without_metal

SMALLEST = (600, 400)
OVERVIEW_THICKNESS = 2.5
WALL_THICKNESS = 2.0
CROWD = 40
CROWD_SHARE = 0.8


def draw_picture(
    plan: Plan,
    path: Path,
    *,
    wall: str | None = None,
    around: str = OVERVIEW,
    cut: Collection[str] = (),
    size: tuple[int, int] = DESIGNED_FOR,
    thickness: float | None = None,
) -> None:
    """Writes a picture of a plan as PNG; the file appears whole or not at all.

    Args:
        plan: the plan.
        path: where to.
        wall: left, right, roof, floor, bulkhead or rear for that wall straight on; None for the whole van.
        around: from where the whole van is seen: one of the standard views that cut nothing off.
        cut: walls whose metal is cut away, with their openings and keep-outs.
        size: width and height in pixels.
        thickness: how many times thicker than true cables are drawn; by default enough to see them.

    Raises:
        CannotDraw: if this machine cannot draw.
        NothingToShow: if there is no such wall or view.
        ValueError: if the picture would be too small to read.
        OSError: if the file cannot be written.
    """
    view_named(wall or around)
    if size[0] < SMALLEST[0] or size[1] < SMALLEST[1]:
        raise ValueError(f"a picture has {SMALLEST[0]} x {SMALLEST[1]} pixels or more, not {size[0]} x {size[1]}")
    thickness = thickness or (OVERVIEW_THICKNESS if wall is None else WALL_THICKNESS)
    scene = without_metal(scene_of(plan, exaggeration=thickness), cut)
    make_ready()
    image = picture_of(scene, wall, size, thickness, around)
    save_png(image, path)


def picture_of(
    scene: Scene, wall: str | None, size: tuple[int, int], thickness: float, around: str = OVERVIEW
) -> Image.Image:
    """Draws a scene with everything round it.

    Args:
        scene: the whole scene.
        wall: as in ``draw_picture``.
        size: width and height in pixels.
        thickness: how many times thicker than true its cables are, for the key.
        around: as in ``draw_picture``.

    Returns:
        The picture.
    """
    view = view_named(wall or around)
    shown = seen_in(view, scene)
    page = page_of(size, shape_of(view, shown), legend.KEY_ROWS)
    type_px, heading = page.type_px, scene.heading
    image = Image.new("RGB", size, palette.GROUND)
    pen = ImageDraw.Draw(image, "RGBA")
    body, missing = _body(shown, view, wall, (page.body[2] - page.body[0], page.body[3] - page.body[1]), type_px)
    image.paste(body, page.body[:2])
    legend.draw_title(pen, page.title, heading, view.title, type_px)
    draw_looms(pen, page.legend, legend_of(scene, shown, wall), heading.units, type_px)
    legend.draw_key(pen, page.key, thickness, type_px)
    legend.draw_caution(pen, page.caution, legend.cautions(heading, missing), type_px)
    return image


def legend_of(scene: Scene, shown: Scene, wall: str | None) -> tuple[LegendLine, ...]:
    """The looms that a picture lists.

    Args:
        scene: the whole scene.
        shown: what the picture shows of it.
        wall: as in ``draw_picture``.

    Returns:
        All looms for the whole van; for a wall those that come near it, so that they can be read.
    """
    if wall is None:
        return scene.legend
    there = {tube.loom for tube in shown.tubes if near_wall(wall, shown, tube.points).any()}
    return tuple(line for line in scene.legend if line.loom in there)


def _body(
    shown: Scene, view: View, wall: str | None, size: tuple[int, int], type_px: int
) -> tuple[Image.Image, tuple[str, ...]]:
    """The rendered picture with scales and names, and the names for which there was no room."""
    margin = (type_px * 5.0, type_px * 4.0) if wall else (type_px * 3.0, type_px * 3.0)
    camera = camera_of(view, shown, size, margin)
    body = Image.fromarray(draw.rendered(shown, camera, size))
    middle = (shown.low + shown.high) / 2.0
    taken = overlay.put_rulers(body, rulers_of(view, shown), camera, middle, int(type_px * 0.9))
    names = wall_names(shown, wall, camera, size) if wall else overview_names(shown, camera, size)
    _, missing = overlay.put_names(body, names, label_px(sum(name.used for name in names), type_px), taken)
    return body, missing


def label_px(count: int, type_px: int) -> int:
    """Size of names on a picture: smaller where many of them want room.

    Args:
        count: how many names.
        type_px: size of the plain type [px].

    Returns:
        The size [px].
    """
    share = min(1.0, max(CROWD_SHARE, math.sqrt(CROWD / max(count, 1))))
    return max(SMALLEST_TYPE_PX, int(0.95 * type_px * share))
