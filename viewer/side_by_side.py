"""Alternatives in one picture: the van of each, and its figures below."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from pathlib import Path

from PIL import Image, ImageDraw

from ribway.models.plan.plan import Plan
from ribway.models.printed import Units, length, mass, rounded_up
from ribway.viewer import draw, palette
from ribway.viewer.camera import Size
from ribway.viewer.errors import NothingToShow
from ribway.viewer.fonts import font, line_height, text_size
from ribway.viewer.legend import draw_caution, fitted
from ribway.viewer.names import overview_names
from ribway.viewer.overlay import put_names
from ribway.viewer.page import Area
from ribway.viewer.ready import make_ready
from ribway.viewer.saving import save_png
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Scene
from ribway.viewer.views import OVERVIEW, View, camera_of, seen_in, view_named, without_metal

SIZE = (1800, 1200)
THICKNESS = 2.5
TYPE_PX = 18
EDGE_PX = 26
MOST = 6
BASE = "base"
FEWEST_NAMED = 2
LETTERS = "Letters and colours are the looms of each plan by itself"

Figure = tuple[str, Callable[[Plan], float], Callable[[float, Units], str]]


def draw_side_by_side(
    plans: Sequence[Plan], path: Path, *, around: str = OVERVIEW, cut: Collection[str] = (), size: Size = SIZE
) -> None:
    """Writes alternatives side by side as PNG; the file appears whole or not at all.

    Args:
        plans: two to six plans of one van, the base first.
        path: where to.
        around: the standard view that all are seen in.
        cut: walls whose metal is cut away.
        size: width and height in pixels.

    Raises:
        CannotDraw: if this machine cannot draw.
        NothingToShow: if there are fewer than two plans, or more than six, or there is no such view or wall.
        OSError: if the file cannot be written.
    """
    if not FEWEST_NAMED <= len(plans) <= MOST:
        raise NothingToShow(f"a picture holds {FEWEST_NAMED} to {MOST} alternatives side by side, not {len(plans)}")
    view = view_named(around)
    scenes = [without_metal(scene_of(plan, exaggeration=THICKNESS), cut) for plan in plans]
    make_ready()
    image = Image.new("RGB", size, palette.GROUND)
    pen = ImageDraw.Draw(image, "RGBA")
    big = font(int(TYPE_PX * 1.7), bold=True)
    small = font(TYPE_PX)
    room = size[0] - 3 * EDGE_PX - text_size(LETTERS, small)[0]
    pen.text((EDGE_PX, EDGE_PX // 2), fitted(f"{plans[0].name}: alternatives", room, big), font=big, fill=palette.INK)
    pen.text((size[0] - EDGE_PX, EDGE_PX), LETTERS, font=small, fill=palette.QUIET_INK, anchor="ra")
    for number, (scene, cell) in enumerate(zip(scenes, cells_of(len(plans), size), strict=True)):
        _draw_cell(image, pen, seen_in(view, scene), view, plans, number, cell)
    draw_caution(pen, (EDGE_PX, size[1] - TYPE_PX * 2, size[0] - EDGE_PX, size[1]), _caution(plans), TYPE_PX)
    save_png(image, path)


def cells_of(count: int, size: Size) -> tuple[Area, ...]:
    """Where each alternative stands.

    Args:
        count: how many there are.
        size: width and height of the picture in pixels.

    Returns:
        Areas as left, top, right, bottom in pixels, row by row; none overlaps another.
    """
    columns = count if count <= 3 else math.ceil(count / 2)
    rows = math.ceil(count / columns)
    top, bottom = EDGE_PX + int(TYPE_PX * 2.4), size[1] - int(TYPE_PX * 2.4)
    wide, high = (size[0] - EDGE_PX * (columns + 1)) / columns, (bottom - top - EDGE_PX * (rows - 1)) / rows
    out = []
    for number in range(count):
        left = EDGE_PX + number % columns * (wide + EDGE_PX)
        upper = top + number // columns * (high + EDGE_PX)
        out.append((int(left), int(upper), int(left + wide), int(upper + high)))
    return tuple(out)


def figures(plans: Sequence[Plan]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What is set side by side.

    Args:
        plans: the alternatives, the base first.

    Returns:
        For each figure its name and how it is written for each plan; behind it how far it is from the base's. Of the
        complete plans the one with least copper says so.
    """
    units = plans[0].rules.units
    known: tuple[Figure, ...] = (
        ("copper", lambda plan: plan.totals.copper_kg, mass),
        ("cable cut", lambda plan: plan.totals.cable_m, length),
        ("greatest drop", lambda plan: plan.totals.worst_drop_percent, lambda value, _: f"{rounded_up(value, 1)} %"),
        ("holes to drill", lambda plan: plan.totals.holes_drilled, lambda value, _: f"{value:g}"),
        ("openings used", lambda plan: plan.totals.openings_used, lambda value, _: f"{value:g}"),
    )
    whole = [plan.totals.copper_kg for plan in plans if plan.complete]
    rows = []
    for name, value, written in known:
        base = value(plans[0])
        texts = []
        for plan in plans:
            apart = value(plan) - base
            sign = "+" if apart > 0.0 else "−"
            text = written(value(plan), units) + (f" ({sign}{written(abs(apart), units)})" if abs(apart) > 1e-9 else "")
            least = name == "copper" and plan.complete and value(plan) <= min(whole) + 1e-9 and len(whole) > 1
            texts.append(f"{text}, least" if least else text)
        rows.append((name, tuple(texts)))
    return tuple(rows)


def _draw_cell(
    image: Image.Image,
    pen: ImageDraw.ImageDraw,
    shown: Scene,
    view: View,
    plans: Sequence[Plan],
    number: int,
    cell: Area,
) -> None:
    """One alternative: its name, its van, its figures."""
    plan, (left, top, right, bottom) = plans[number], cell
    strong, plain = font(int(TYPE_PX * 1.2), bold=True), font(TYPE_PX)
    lines = figures(plans)
    foot = line_height(plain) * len(lines) + TYPE_PX // 2
    head = line_height(strong) + TYPE_PX // 2
    name = plan.alternative or BASE
    text = name if plan.complete else f"{name}: NOT READY"
    pen.text((left, top), fitted(text, right - left, strong), font=strong,
             fill=palette.INK if plan.complete else palette.CAUTION)  # fmt: skip
    room = (right - left, bottom - top - head - foot)
    camera = camera_of(view, shown, room, (TYPE_PX * 1.0, TYPE_PX * 1.0))
    body = Image.fromarray(draw.rendered(shown, camera, room))
    looms = [one for one in overview_names(shown, camera, room) if one.what == "loom"]
    put_names(body, looms, int(TYPE_PX * 0.8))
    image.paste(body, (left, top + head))
    y = bottom - foot + TYPE_PX // 4
    widest = max(text_size(label, plain)[0] for label, _ in lines) + TYPE_PX
    for label, texts in lines:
        pen.text((left, y), label, font=plain, fill=palette.QUIET_INK)
        pen.text((left + widest, y), fitted(texts[number], right - left - widest, plain), font=plain, fill=palette.INK)
        y += line_height(plain)


def _caution(plans: Sequence[Plan]) -> str:
    """What a reader must know before choosing."""
    parts = []
    if not all(plan.complete for plan in plans):
        parts.append("NOT READY: not every plan is complete.")
    used = [one for plan in plans for one in plan.openings if one.runs]
    if any(one.state == "assumed" for one in used):
        parts.append("Openings are assumed until checked on the van.")
    if any(run.kind == "ac" for plan in plans for run in plan.runs):
        parts.append("AC: to be designed and connected by a licensed person.")
    return " ".join(parts)
