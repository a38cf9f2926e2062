"""Where nobody drills once the walls are closed: each wall with its cables in bands, and how deep they lie."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.plan.shell import Point
from ribway.sheets.drawing.clearing import cleared, on_paper
from ribway.sheets.drawing.scale import Flat, fit_scale, scale_words
from ribway.sheets.marks import Disc, Face, Frame, Mark, Page, Stroke, Text
from ribway.sheets.paper.paper import Paper
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.places import measured_from
from ribway.sheets.walls.depth import off_metal_m, skin_triangles
from ribway.sheets.walls.ground import FINE_M, RED, ground_marks
from ribway.sheets.walls.marking_out import title_marks
from ribway.sheets.walls.view import WALLS, View, view_of, wall_extent
from ribway.sheets.words import bare_length, glued, joined, left_length, place

BAND_M = 0.05
"""Kept clear to each side of a cable (common practice, no source) [m]."""
_AC_PT = 9.0
_BAND, _CABLE, _AC_CABLE = "#f6b8b8", "#404040", "#b00000"


def no_drill_pages(plan: Plan, _wishes: Wishes, frame: Frame, face: Face) -> tuple[Page, ...]:
    """A page for each wall that a cable lies on.

    Args:
        plan: the plan.
        frame: the part of a page that may be filled.
        face: the typeface.
    """
    pages = (_page(plan, view_of(wall), frame, face) for wall in WALLS)
    return tuple(page for page in pages if page is not None)


def lines_on(plan: Plan, wall: str) -> tuple[tuple[PlanRun, tuple[Point, ...]], ...]:
    """What lies on a wall: the lines of runs through its bays and its openings, and down to its devices.

    Args:
        plan: the plan.
        wall: which.

    Returns:
        Runs and lines [m].
    """
    bays = {bay.id for bay in plan.bays if bay.wall == wall}
    holes = {one.id for one in plan.openings if one.wall == wall}
    devices = {one.id for one in plan.devices if one.wall == wall}
    found = []
    for run in plan.runs:
        for number, leg in enumerate(run.legs):
            end = run.from_ if number == 0 else run.to
            here = leg.name in bays or leg.name in holes or (leg.kind == "stub" and end in devices)
            beside = leg.kind in ("over", "duct") and any(
                0 <= near < len(run.legs) and run.legs[near].name in bays for near in (number - 1, number + 1)
            )
            if (here or beside) and len(leg.points) > 1:
                found.append((run, leg.points))
    return tuple(found)


def depth_words(plan: Plan, wall: str) -> str:
    """How deep the cables of a wall lie: ``Cables lie 27 to 42 mm off the bare metal.``

    Args:
        plan: the plan.
        wall: which.
    """
    points = [point for _, line in lines_on(plan, wall) for point in line]
    distances = off_metal_m(points, skin_triangles(plan, wall))
    if not len(distances) or not math.isfinite(float(distances.max())):
        return "How deep the cables lie is not known here."
    least, most = float(distances.min()), float(distances.max())
    if plan.rules.units == "metric":
        near, far = f"{math.floor(1000.0 * least)}", f"{math.ceil(1000.0 * most)} mm"
    else:
        near, far = left_length(least, plan.rules.units), bare_length(most, plan.rules.units)
    return f"Cables lie {near} to {far} off the bare metal, behind the lining."


def _page(plan: Plan, view: View, frame: Frame, face: Face) -> Page | None:
    lines = lines_on(plan, view.wall)
    if not lines:
        return None
    extent = wall_extent(plan, view.wall)
    room = Frame(frame.left + 34.0, frame.right - 14.0, frame.bottom + 34.0, frame.top - 74.0)
    scaled = fit_scale(extent, room)
    title = f"Do not drill: {view.title[:1].lower()}{view.title[1:]}"
    units = plan.rules.units
    band = place(BAND_M, units)
    notes: tuple[str, ...] = (
        f"{depth_words(plan, view.wall)} Red bands: no drill, no screw longer than the lining is thick; {band} to each side of a "
        f"cable. AC is the thick line with AC on it. Thin lines stand "
        f"{place(FINE_M[units], units)} apart. {measured_from(plan)} {glued(scale_words(scaled.ratio).capitalize())}.",
    )
    unseen = tuple(run.id for run in plan.runs if any(leg.kind in ("outside", "taped") for leg in run.legs))
    if unseen:
        notes = (*notes, f"Not drawn where only a tape knows the way: {joined(unseen)}. Find them before you drill.")
    head, _ = title_marks(title, notes, frame, face)
    marks: list[Mark] = [*head, *ground_marks(plan, view, extent, scaled, face, fine=True)]
    drawn = [(run, [scaled.at(view.flat(point)) for point in line]) for run, line in lines]
    width = 2 * BAND_M * scaled.pt_per_m
    for _, flat in drawn:
        for a, b in itertools.pairwise(flat):
            marks.append(Stroke(*a, ((b[0] - a[0], b[1] - a[1]),), width, _BAND))
        marks += [Disc(*spot, width / 2, 0.0, fill=_BAND) for spot in flat]
    for run, flat in drawn:
        x, y = flat[0]
        steps = tuple((a - x, b - y) for a, b in flat[1:])
        ac = run.kind == "ac"
        marks.append(Stroke(x, y, steps, 3.0 if ac else 1.0, _AC_CABLE if ac else _CABLE))
        marks += _ac_word(flat, face) if ac else ()
    for device in plan.devices:
        if device.wall == view.wall:
            marks.append(Disc(*scaled.at(view.flat(device.point)), 3.0, 1.0, RED, "#ffffff"))
    return Page((title,), tuple(on_paper(cleared(marks, face), face)), drawing=True)


def _ac_word(flat: Sequence[Flat], face: Face) -> tuple[Text, ...]:
    """The letters that tell AC where a print has no colours: on the middle of its longest straight, if that is long enough."""
    a, b = max(itertools.pairwise(flat), key=lambda pair: math.dist(*pair))
    wide = face.measure("AC", _AC_PT, True)
    if math.dist(a, b) < 2 * wide:
        return ()
    x, y = (a[0] + b[0]) / 2 - wide / 2, (a[1] + b[1]) / 2 - 0.36 * _AC_PT
    return (Text(x, y, "AC", _AC_PT, True, x - 0.1, x + wide + 0.1, _AC_CABLE, give="drop"),)


NO_DRILL = Paper("no-drill", "Do not drill", drawn=no_drill_pages)
