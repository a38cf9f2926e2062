"""A picture of one loom: its runs alone in the van, where each leaves or joins, and how far along that is."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.plan import Plan
from ribway.models.printed import Units
from ribway.viewer import draw, legend, overlay, palette
from ribway.viewer.camera import Camera, Size
from ribway.viewer.errors import NothingToShow
from ribway.viewer.labels import Box
from ribway.viewer.loom_table import draw_table
from ribway.viewer.names import Name, by_run, device_names, near_wall
from ribway.viewer.page import DESIGNED_FOR, page_of
from ribway.viewer.parts import WALLS
from ribway.viewer.ready import make_ready
from ribway.viewer.report.words import place
from ribway.viewer.rulers import rulers_of
from ribway.viewer.saving import save_png
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Scene
from ribway.viewer.views import OVERVIEW, camera_of, seen_in, view_named, without_metal

THICKNESS = 2.5
ROUND_M = 0.12
SEEN_THROUGH = 0.3
ON_ONE_WALL = 0.8


def loom_named(plan: Plan, name: str) -> PlanLoom:
    """A loom by its id.

    Args:
        plan: the plan.
        name: the id.

    Returns:
        The loom.

    Raises:
        NothingToShow: if the plan has no such loom.
    """
    for loom in plan.looms:
        if loom.id == name:
            return loom
    raise NothingToShow(f"the plan has no loom {name!r}; it has {', '.join(one.id for one in plan.looms) or 'none'}")


def draw_loom(
    plan: Plan, name: str, path: Path, *, around: str = "", cut: Collection[str] = (), size: Size = DESIGNED_FOR
) -> None:
    """Writes a picture of one loom as PNG; the file appears whole or not at all.

    Args:
        plan: the plan.
        name: the loom's id.
        path: where to.
        around: the standard view that it is seen in; from where it is seen best if empty.
        cut: walls whose metal is cut away, with their openings.
        size: width and height in pixels.

    Raises:
        CannotDraw: if this machine cannot draw.
        NothingToShow: if the plan has no such loom, none of its runs has a route, or there is no such view or wall.
        OSError: if the file cannot be written.
    """
    loom = loom_named(plan, name)
    van = scene_of(plan, exaggeration=THICKNESS)
    alone = only_loom(van, plan, loom)
    view = view_named(around or loom_view(alone))
    alone = without_metal(alone, cut)
    make_ready()
    page = page_of(size, 1.0, legend.KEY_ROWS)
    type_px = page.type_px
    image = Image.new("RGB", size, palette.GROUND)
    pen = ImageDraw.Draw(image, "RGBA")
    room = (page.body[2] - page.body[0], page.body[3] - page.body[1])
    shown = boxed(seen_in(view, alone))
    camera = camera_of(view, shown, room, (type_px * 7.0, type_px * 5.0))
    body = Image.fromarray(draw.rendered(shown, camera, room))
    taken: list[Box] = []
    if view.slab is not None:
        middle = (shown.low + shown.high) / 2.0
        taken = overlay.put_rulers(body, rulers_of(view, shown), camera, middle, int(type_px * 0.9))
    names = loom_names(shown, loom, plan.rules.units, camera, room)
    _, missing = overlay.put_names(body, names, int(type_px * 0.95), taken)
    image.paste(body, page.body[:2])
    title = f"Loom {loom.id}, {loom.zone}" if loom.zone != loom.id else f"Loom {loom.id}"
    legend.draw_title(pen, page.title, van.heading, f"{title}: {view.title[0].lower()}{view.title[1:]}", type_px)
    draw_table(pen, page.legend, plan, loom, type_px)
    legend.draw_key(pen, page.key, THICKNESS, type_px)
    legend.draw_caution(pen, page.caution, legend.cautions(van.heading, missing), type_px)
    save_png(image, path)


def only_loom(van: Scene, plan: Plan, loom: PlanLoom) -> Scene:
    """The van with nothing but one loom in it.

    Args:
        van: the whole scene.
        plan: the plan.
        loom: one of its looms.

    Returns:
        The loom's runs, its openings and devices, in metal that is seen through.

    Raises:
        NothingToShow: if none of its runs has a route.
    """
    tubes = tuple(tube for tube in van.tubes if tube.loom == loom.id)
    if not tubes:
        raise NothingToShow(f"no run of loom {loom.id} has a route")
    ends = {end for run in plan.runs if run.id in loom.runs for end in (run.from_, run.to)}
    through = {name for tube in tubes for name in tube.openings}
    return replace(
        van,
        parts=tuple(replace(part, opacity=min(part.opacity, SEEN_THROUGH)) for part in van.parts),
        tubes=tubes,
        markers=tuple(mark for mark in van.markers if mark.device in ends),
        rings=tuple(ring for ring in van.rings if ring.opening in through),
    )


def loom_view(alone: Scene) -> str:
    """From where a loom is seen best.

    Args:
        alone: the van with this loom alone.

    Returns:
        A wall straight on if nearly all of the loom lies on it; else the van from the side that most of it is not on.
    """
    cloud = np.concatenate([tube.points for tube in alone.tubes])
    shares = {wall: float(near_wall(wall, alone, cloud).mean()) for wall in WALLS}
    wall = max(WALLS, key=lambda name: shares[name])
    if shares[wall] >= ON_ONE_WALL:
        return wall
    return "other side" if float(cloud[:, 1].mean()) > 0.0 else OVERVIEW


def boxed(alone: Scene) -> Scene:
    """The same, framed about its cables.

    Args:
        alone: the van with one loom, cut as it is to be seen.

    Returns:
        The scene with the box about its cables in place of the van's; the metal beyond it stays and is not framed.
    """
    cloud = np.concatenate([tube.points for tube in alone.tubes])
    low, high = cloud.min(axis=0) - ROUND_M, cloud.max(axis=0) + ROUND_M
    low[2] = max(low[2], min(alone.low[2], cloud[:, 2].min()))
    return replace(alone, low=low, high=high)


def loom_names(scene: Scene, loom: PlanLoom, units: Units, camera: Camera, size: Size) -> list[Name]:
    """Names for a picture of one loom: breakouts with their distance, openings, runs where they lie alone, devices.

    Args:
        scene: the loom's scene.
        loom: the loom.
        units: how lengths are written.
        camera: from where.
        size: the picture's width and height in pixels.

    Returns:
        The names.
    """
    names = [
        Name(text, "breakout", (float(x), float(y)), loom.colour, rank=0)
        for text, (x, y) in zip(
            breakout_words(loom, units),
            camera.pixels(np.array([one.point for one in loom.breakouts]).reshape(-1, 3), size),
            strict=True,
        )
    ]
    for ring in scene.rings:
        x, y = camera.pixels(ring.points, size).mean(axis=0)
        names.append(Name(ring.opening, "opening", (float(x), float(y)), ring.colour, rank=1))
    names += by_run(scene, camera, size)
    return names + device_names(scene.markers, camera, size)


def breakout_words(loom: PlanLoom, units: Units) -> Sequence[str]:
    """What happens at each breakout, and how far along the trunk it is.

    Args:
        loom: the loom.
        units: how lengths are written.

    Returns:
        ``0.40 m: spare-3 leaves``, or which runs join.
    """
    lines = []
    for one in loom.breakouts:
        leaving = [run for run in one.runs if run not in one.joining]
        parts = [f"{_few(leaving)} {'leaves' if len(leaving) == 1 else 'leave'}"] if leaving else []
        parts += [f"{_few(one.joining)} {'joins' if len(one.joining) == 1 else 'join'}"] if one.joining else []
        lines.append(f"{place(one.at_m - loom.begins_m, units)}: {', '.join(parts)}")
    return lines


def _few(runs: Sequence[str], most: int = 4) -> str:
    """Names of runs, the last ones counted where there are many."""
    if len(runs) <= most:
        return ", ".join(runs)
    return f"{', '.join(runs[: most - 1])} and {len(runs) - most + 1} more"
