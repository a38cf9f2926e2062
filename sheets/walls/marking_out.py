"""Marking out on the first day: every wall with its places and holes, to be written on the bare metal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice
from ribway.models.plan.shell import PlanOpening
from ribway.models.plan.unconfirmed import LEGEND, marked, open_assumptions
from ribway.models.surroundings import SURROUNDINGS
from ribway.sheets.drawing.callouts import Callout, callout_marks, place_callouts, shrink_to_fit
from ribway.sheets.drawing.clearing import cleared
from ribway.sheets.drawing.scale import Extent, Flat, fit_scale, scale_words
from ribway.sheets.marks import Disc, Face, Frame, Mark, Page, Stroke, Text
from ribway.sheets.openings_list import raw_size, used_openings
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.places import measured_from, sideways
from ribway.sheets.rows import NOTE_PT, TITLE_PT
from ribway.sheets.walls.ground import cross_mark, ground_marks
from ribway.sheets.walls.numbers import numbered
from ribway.sheets.walls.view import PLAN_VIEW, WALLS, View, view_of, wall_extent
from ribway.sheets.words import GLUE, glued, place
from ribway.sheets.wrap import ASCENT, LEADING, wrap

MOST_ON_A_PAGE = 12
LONG_M, FEW = 2.5, 4
"""A wall longer than this [m] with more than so many spots takes two pages, so that it is drawn larger."""
COLUMN = 168.0
_ROOM_BELOW, _ROOM_ABOVE, _ROOM_LEFT = 34.0, 18.0, 30.0
_FLAT = ("roof", "floor")


@dataclass(frozen=True)
class Spot:
    """Something with a place on a wall: where in its view, and what is said of it."""

    flat: Flat
    name: str
    lines: tuple[str, ...]
    hole: bool


def marking_out_pages(plan: Plan, _wishes: Wishes, frame: Frame, face: Face) -> tuple[Page, ...]:
    """The plan view, then each wall: first the places of devices, then the holes that are used.

    Args:
        plan: the plan.
        frame: the part of a page that may be filled.
        face: the typeface.
    """
    pages = list(_plan_view(plan, frame, face))
    for wall in walls_of(plan):
        view = view_of(wall)
        devices = [device_spot(plan, number, one) for number, one in numbered(plan) if one.wall == wall]
        holes = [hole_spot(plan, one) for one in used_openings(plan) if one.wall == wall]
        pages += wall_pages(plan, view, devices, "places", frame, face)
        pages += wall_pages(plan, view, holes, "holes used", frame, face)
    return tuple(pages)


def walls_of(plan: Plan) -> tuple[str, ...]:
    """The walls that carry a device or a hole in use, in the order of the drawings; what lies outside has none."""
    there = {one.wall for one in plan.devices} | {one.wall for one in used_openings(plan)}
    return (*(wall for wall in WALLS if wall in there), *sorted(there - set(WALLS) - set(SURROUNDINGS)))


def device_spot(plan: Plan, number: int, device: PlanDevice) -> Spot:
    """A device's place: its number and name, and its two distances."""
    rough = any(one.about == device.id and one.key == "place" for one in open_assumptions(plan))
    lines = _distances(plan, device.wall, device.back_m, device.up_m, device.left_m)
    return Spot(view_of(device.wall).flat(device.point), f"{number}  {marked(device.name, rough)}", lines, False)


def hole_spot(plan: Plan, opening: PlanOpening) -> Spot:
    """A hole: its name, its two distances, and what it must be like."""
    shape = "Ø" if opening.slot_length_mm is None else "slot"
    size = f"{shape} {raw_size(opening, plan.rules.units).replace(GLUE, ' ')}"
    state = "  DRILL" if opening.state == "drill" else ""
    lines = (*_distances(plan, opening.wall, opening.back_m, opening.up_m, opening.centre[1]), size + state)
    return Spot(view_of(opening.wall).flat(opening.centre), marked(opening.id, opening.state == "assumed"), lines, True)


def _distances(plan: Plan, wall: str, back_m: float, up_m: float, left_m: float) -> tuple[str, ...]:
    units = plan.rules.units
    back, up = f"back {place(back_m, units)}", f"up {place(up_m, units)}"
    if wall in _FLAT:
        return (back, sideways(left_m, units))
    return (sideways(left_m, units), up) if wall in ("bulkhead", "rear") else (back, up)


def wall_pages(plan: Plan, view: View, spots: Sequence[Spot], what: str, frame: Frame, face: Face) -> Iterator[Page]:
    """A wall's spots on as many pages as they need, each page a stretch of the wall.

    Args:
        plan: the plan.
        view: how the wall is looked at.
        spots: what is on it.
        what: what they are, for the title.
        frame: the part of a page that may be filled.
        face: the typeface.
    """
    ordered = sorted(spots, key=lambda one: one.flat)
    whole = wall_extent(plan, view.wall)
    count = -(-len(ordered) // MOST_ON_A_PAGE)
    if whole.width > LONG_M and len(ordered) > FEW:
        count = max(2, count)
    size = -(-len(ordered) // max(1, count))
    for number in range(count):
        here = ordered[number * size : (number + 1) * size]
        extent = whole if count == 1 else _stretch(ordered, number * size, (number + 1) * size, whole)
        part = f", part {number + 1} of {count}" if count > 1 else ""
        yield _wall_page(plan, view, here, extent, f"{view.title}: {what}{part}", frame, face)


def _stretch(ordered: Sequence[Spot], start: int, end: int, whole: Extent) -> Extent:
    """The stretch of a wall between halfway to the last spot before and halfway to the first one behind."""
    margin = 0.12
    left = whole.left if start == 0 else max(whole.left, ordered[start].flat[0] - margin)
    right = whole.right if end >= len(ordered) else min(whole.right, ordered[end - 1].flat[0] + margin)
    return Extent(left, right, whole.bottom, whole.top)


def title_marks(title: str, notes: Sequence[str], frame: Frame, face: Face) -> tuple[tuple[Mark, ...], float]:
    """A drawing's title with sentences below it.

    Returns:
        The marks, and how far down they reach [pt].
    """
    y = frame.top - ASCENT * TITLE_PT
    marks: list[Mark] = [Text(frame.left, y, face.printable(title), TITLE_PT, True, frame.left, frame.right)]
    y = frame.top - LEADING * TITLE_PT
    for note in notes:
        for line in wrap(note, frame.width, NOTE_PT, False, face):
            marks.append(Text(frame.left, y - ASCENT * NOTE_PT, line, NOTE_PT, False, frame.left, frame.right))
            y -= LEADING * NOTE_PT
    return tuple(marks), y


def _wall_page(
    plan: Plan, view: View, spots: Sequence[Spot], extent: Extent, title: str, frame: Frame, face: Face
) -> Page:
    inner = Frame(frame.left + COLUMN, frame.right - COLUMN, frame.bottom, frame.top)
    room = Frame(
        inner.left + _ROOM_LEFT, inner.right - 10.0, frame.bottom + _ROOM_BELOW, frame.top - 44.0 - _ROOM_ABOVE
    )
    scaled = fit_scale(extent, room)
    note = f"{measured_from(plan)} To the middle of each. {glued(scale_words(scaled.ratio).capitalize())}."
    head, y = title_marks(title, (note, LEGEND), frame, face)
    left = Frame(frame.left, frame.left + COLUMN - 8.0, frame.bottom, y - 8.0)
    right = Frame(frame.right - COLUMN + 8.0, frame.right, frame.bottom, y - 8.0)
    callouts = [Callout(scaled.at(one.flat), one.name, one.lines) for one in spots]
    shrink = shrink_to_fit(callouts, left, right, face)
    placed = place_callouts(callouts, left, right, shrink, face)
    marks: list[Mark] = [*head, *ground_marks(plan, view, extent, scaled, face)]
    marks += callout_marks(placed, left, right, shrink, face)
    for one in spots:
        spot = scaled.at(one.flat)
        marks += (Disc(*spot, 4.0, 1.6, fill="#ffffff"),) if one.hole else cross_mark(spot, 7.0, "#000000")
    return Page((title,), cleared(marks, face), drawing=True)


def _plan_view(plan: Plan, frame: Frame, face: Face) -> Iterator[Page]:
    """All devices by their numbers, from above."""
    if not plan.devices:
        return
    extent = wall_extent(plan, "")
    room = Frame(frame.left + 40.0, frame.right - 20.0, frame.bottom + 44.0, frame.top - 66.0)
    scaled = fit_scale(extent, room)
    title = PLAN_VIEW.title
    notes = (
        f"The numbers are those of the list of places and of the walls' drawings. {measured_from(plan)} "
        f"{scale_words(scaled.ratio).capitalize()}.",
    )
    head, _ = title_marks(title, notes, frame, face)
    marks: list[Mark] = [*head, *ground_marks(plan, PLAN_VIEW, extent, scaled, face, above=26.0)]
    taken: list[Flat] = []
    tags: list[Mark] = []
    for number, device in numbered(plan):
        spot = scaled.at(PLAN_VIEW.flat(device.point))
        marks.append(Disc(*spot, 2.5, 1.0, fill="#000000"))
        tag = _free_spot(spot, taken)
        taken.append(tag)
        tags += _tag(number, spot, tag, face)
    yield Page((title,), cleared((*marks, *tags), face), drawing=True)


def _free_spot(spot: Flat, taken: Sequence[Flat]) -> Flat:
    """The nearest place beside a spot that no other number has: tried on rings about it."""
    for ring in range(1, 12):
        for across, up in ((0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (-1, 1), (1, -1), (-1, -1)):
            there = (spot[0] + 19.0 * ring * across, spot[1] + 17.0 * ring * up)
            if all(abs(there[0] - one[0]) > 18.0 or abs(there[1] - one[1]) > 16.0 for one in taken):
                return there
    return spot


def _tag(number: int, spot: Flat, tag: Flat, face: Face) -> tuple[Mark, ...]:
    text = str(number)
    wide = face.measure(text, 12.0, True)
    return (
        Stroke(*spot, ((tag[0] - spot[0], tag[1] - spot[1]),), 0.6, "#555555"),
        Disc(*tag, 9.0, 1.0, fill="#ffffff"),
        Text(tag[0] - wide / 2, tag[1] - 4.2, text, 12.0, True, tag[0] - wide, tag[0] + wide),
    )
