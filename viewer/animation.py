"""The pull plan as moving pictures: one frame a pull, what is in already in its loom's colour, what is pulled in black."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.camera import Camera, Size
from ribway.viewer.draw import rendered
from ribway.viewer.draw_live import CHOSEN
from ribway.viewer.errors import NothingToShow
from ribway.viewer.fonts import font, line_height
from ribway.viewer.legend import fitted
from ribway.viewer.ready import make_ready
from ribway.viewer.saving import save_gif
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Heading, Scene, Tube
from ribway.viewer.showing import WHOLE, Showing
from ribway.viewer.steps import PullStep
from ribway.viewer.views import OVERVIEW, camera_of, seen_in, view_named

SIZE = (960, 720)
THICKNESS = 2.5
SEEN_THROUGH = 0.4
TYPE_PX = 15
EDGE_PX = 14
HEAD_LINES = 4.4
SHOWN_MS, REST_MS = 1400, 4000
MOST_COLOURS = 48
FINER, MARK_PX, LEAST_PX = 2, 8, 2


def draw_animation(plan: Plan, steps: Sequence[PullStep], path: Path, *, size: Size = SIZE) -> int:
    """Writes the order of pulling as an animated GIF; the file appears whole or not at all.

    Args:
        plan: the plan.
        steps: its pull plan, in order.
        path: where to.
        size: width and height in pixels.

    Returns:
        How many frames it has: one a pull, and the finished van.

    Raises:
        CannotDraw: if this machine cannot draw.
        NothingToShow: if the plan has nothing to pull.
        OSError: if the file cannot be written.
    """
    scene = scene_of(plan, exaggeration=THICKNESS)
    showings = pulls_of(steps, scene)
    if len(showings) == 1:
        raise NothingToShow("the plan has no run with a route, so there is nothing to pull")
    make_ready()
    frames = [_framed(body, one, scene.heading) for one, body in _drawn(scene, showings, size)]
    # One palette for all frames keeps what stands still from flickering.
    colours = palette_of(tuple(tube.colour for tube in scene.tubes))
    flat = [frame.quantize(palette=colours, dither=Image.Dither.NONE) for frame in frames]
    save_gif(flat, path, [SHOWN_MS] * (len(flat) - 1) + [REST_MS])
    return len(flat)


def pulls_of(steps: Sequence[PullStep], scene: Scene) -> tuple[Showing, ...]:
    """What each frame shows.

    Args:
        steps: the pull plan, in order.
        scene: everything there is.

    Returns:
        One entry for each step that pulls a run which is drawn, then the finished van.
    """
    drawn = {tube.run for tube in scene.tubes}
    every = tuple(steps)
    pulls = tuple(Showing(every, at) for at, step in enumerate(every) if step.run in drawn)
    return (*pulls, Showing(every, WHOLE))


def palette_of(colours: Sequence[str]) -> Image.Image:
    """The colours that frames are made of: every cable's own, lighter at its edges, and greys for the metal.

    Args:
        colours: of the cables, ``#rrggbb``.

    Returns:
        A picture that holds the palette; fewer than 256 colours.
    """
    own = [*dict.fromkeys(colours)][:MOST_COLOURS]
    marks = [palette.KEEP_OUT, palette.RING_EASY, palette.RING_NEAR, palette.RING_FULL, CHOSEN, palette.QUIET_INK]
    shades = [(value, value, value) for value in range(255, 30, -3)]
    shades += [palette.rgb_of(one) for one in (*own, *marks)]
    for red, green, blue in [palette.rgb_of(one) for one in (*own, palette.KEEP_OUT, palette.QUIET_INK)]:
        shades += [((red + other) // 2, (green + other) // 2, (blue + other) // 2) for other in (255, 175)]
    holder = Image.new("P", (1, 1))
    holder.putpalette([value for shade in shades for value in shade])
    return holder


def _drawn(scene: Scene, showings: Sequence[Showing], size: Size) -> Iterator[tuple[Showing, Image.Image]]:
    """Each frame's picture of the van: the metal is rendered once, cables are laid over it as lines."""
    view = view_named(OVERVIEW)
    seen = seen_in(view, scene)
    parts = tuple(replace(part, opacity=min(part.opacity, SEEN_THROUGH)) for part in seen.parts)
    body = (size[0], size[1] - int(TYPE_PX * HEAD_LINES * 1.4))
    camera = camera_of(view, seen, body, (TYPE_PX * 1.0, TYPE_PX * 1.0))
    fine = (body[0] * FINER, body[1] * FINER)
    metal = Image.fromarray(rendered(replace(seen, parts=parts, tubes=()), camera, body)).resize(fine)
    pen = ImageDraw.Draw(metal)
    lines = {tube.run: _line(tube, camera, fine) for tube in scene.tubes}
    for x, y in camera.pixels(np.array([mark.point for mark in scene.markers]).reshape(-1, 3), fine):
        pen.ellipse((x - MARK_PX, y - MARK_PX, x + MARK_PX, y + MARK_PX), fill=palette.DEVICE)
    laid: frozenset[str] = frozenset()
    for one in showings:
        shown = one.runs_shown(scene)
        for tube in scene.tubes:
            if tube.run in shown - laid:
                spots, width = lines[tube.run]
                pen.line(spots, fill=tube.colour, width=width, joint="curve")
        laid = shown
        frame, pulled = metal, one.pulled_now(scene)
        if pulled is not None:
            frame = metal.copy()
            spots, width = lines[pulled.run]
            top = ImageDraw.Draw(frame)
            top.line(spots, fill="#ffffff", width=width + 6 * FINER, joint="curve")
            top.line(spots, fill=CHOSEN, width=width + 2 * FINER, joint="curve")
        yield one, frame.resize(body, Image.Resampling.BOX)


def _line(tube: Tube, camera: Camera, size: Size) -> tuple[list[tuple[float, float]], int]:
    """Where a run lies in the picture, and how wide it is there [px]."""
    spots = camera.pixels(tube.points, size)
    depth = (tube.points - camera.place) @ camera.axes()[2]
    half = float(depth.mean()) * np.tan(np.radians(camera.angle_deg) / 2.0)
    width = max(LEAST_PX * FINER, round(2.0 * tube.radius_m * size[1] / 2.0 / half))
    return [(float(x), float(y)) for x, y in spots], width


def _framed(body: Image.Image, showing: Showing, heading: Heading) -> Image.Image:
    """A frame: what is done over the van."""
    head = int(TYPE_PX * HEAD_LINES * 1.4)
    image = Image.new("RGB", (body.width, body.height + head), palette.GROUND)
    image.paste(body, (0, head))
    pen = ImageDraw.Draw(image)
    room = body.width - 2 * EDGE_PX
    for number, (line, strong) in enumerate(frame_words(showing, heading)):
        face = font(TYPE_PX + (3 if strong else 0), bold=strong)
        y = EDGE_PX // 2 + int(number * line_height(font(TYPE_PX)) * 1.15)
        pen.text((EDGE_PX, y), fitted(line, room, face), font=face, fill=palette.INK if strong else palette.QUIET_INK)
    return image


def frame_words(showing: Showing, heading: Heading) -> tuple[tuple[str, bool], ...]:
    """What stands over a frame.

    Args:
        showing: what it shows.
        heading: of the plan.

    Returns:
        Up to four lines, each with whether it is set in bold.
    """
    project = f"{heading.project}, revision {heading.revision}"
    warning = "" if heading.complete else "NOT READY: this plan is not complete.  "
    step = showing.now
    if step is None:
        return ((f"{warning}{project}: all cables are in", True),)
    title = f"{warning}{step.number} of {showing.steps[-1].number}: {step.title}"
    return ((title, True), *((line, False) for line in step.lines[:2]), (project, False))
