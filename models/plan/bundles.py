"""Whether each stretch of a loom bends as tightly as its corners ask, and lies within its bay's depth."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from ribway.models.plan.looms import LoomSection, PlanLoom
from ribway.models.plan.results import PlanRun
from ribway.models.plan.shell import PlanBay, Point

_SAME_M = 2e-4
SLANT_M = 0.01
_TIE_M = 1e-6  # points as far off as the farthest: the first of them is taken, whatever the last digits say


@dataclass(frozen=True)
class BundleCheck:
    """One section of a loom against the van.

    Attributes:
        loom, section: ids.
        cables: how many lie in it.
        needs_mm: least bend radius of the cable in it that bends least [mm].
        room_mm: radius that its tightest corner leaves [mm]; None if it has no corner.
        thick_mm: diameter of the bundle [mm].
        depth_mm: least depth of the bays that it passes [mm]; None where no member gives one.
    """

    loom: str
    section: str
    cables: int
    needs_mm: float
    room_mm: float | None
    thick_mm: float
    depth_mm: float | None

    @property
    def bends(self) -> bool:
        """Whether its corners leave the radius that its stiffest cable needs."""
        return self.room_mm is None or self.room_mm >= self.needs_mm - 0.05

    @property
    def fits(self) -> bool:
        """Whether it lies within the depth of its bays."""
        return self.depth_mm is None or self.thick_mm <= self.depth_mm + 0.05


def bundle_checks(
    looms: Sequence[PlanLoom], runs: Mapping[str, PlanRun], bays: Sequence[PlanBay], above_deg: float
) -> Iterator[BundleCheck]:
    """Every section of every loom.

    A taped bundle bends as one: round its inner side runs the same radius for whichever cable lies there, so the cable with
    the greatest least radius decides. A corner's rounding may use half of a straight that another corner follows on.

    Args:
        looms: of the plan.
        runs: of the plan, by id.
        bays: of the plan.
        above_deg: a change of direction above this is a bend [deg].

    Source: tangent length of a fillet, r tan(angle / 2), plane geometry; that a bundle bends no tighter than its stiffest cable:
    common practice, no source.
    """
    depths = {bay.id: bay.depth_m for bay in bays}
    for loom in looms:
        for section in loom.sections:
            cables = [runs[name] for name in section.runs if name in runs and runs[name].cores]
            if not cables:
                continue
            room_m = corner_room_m(section.points, above_deg)
            passed = [depths.get(name) for name in _bays_of(section, runs)]
            known = [depth for depth in passed if depth is not None]
            yield BundleCheck(
                loom=loom.id,
                section=section.name,
                cables=len(cables),
                needs_mm=max(run.least_bend_radius_mm for run in cables),
                room_mm=None if room_m is None else round(1000.0 * room_m, 1),
                thick_mm=section.diameter_mm,
                depth_mm=round(1000.0 * min(known), 1) if known else None,
            )


@lru_cache(maxsize=4096)
def corner_room_m(points: tuple[Point, ...], above_deg: float) -> float | None:
    """The radius that the tightest corner of a polyline leaves.

    Args:
        points: the line; side steps that a cable slants over are no corners.
        above_deg: a change of direction above this is a corner [deg].

    Returns:
        The radius [m]; None without a corner.
    """
    line = straightened(points)
    angles = {index: _angle(line[index - 1], line[index], line[index + 1]) for index in range(1, len(line) - 1)}
    corners = {index: angle for index, angle in angles.items() if angle > math.radians(above_deg)}
    rooms = []
    for index, angle in corners.items():
        before, after = math.dist(line[index - 1], line[index]), math.dist(line[index], line[index + 1])
        leg = min(before / 2 if index - 1 in corners else before, after / 2 if index + 1 in corners else after)
        rooms.append(leg / math.tan(min(angle, math.radians(179.0)) / 2.0))
    return min(rooms, default=None)


def straightened(points: Sequence[Point]) -> list[Point]:
    """A polyline without the side steps that a cable slants over: points nearer than 10 mm to the line beside them go.

    Args:
        points: the line [m].

    Source: Douglas and Peucker 1973, Cartographica 10:112-122; the 10 mm: common practice, no source.
    """
    if len(points) < 3:
        return list(points)
    first, last = points[0], points[-1]
    offs = [_off(point, first, last) for point in points[1:-1]]
    far = max(offs)
    index = next(number for number, off in enumerate(offs, start=1) if off >= far - _TIE_M)
    if far < SLANT_M:
        return [first, last]
    return [*straightened(points[: index + 1])[:-1], *straightened(points[index:])]


def _off(point: Point, start: Point, end: Point) -> float:
    """Distance of a point from a segment."""
    along = [b - a for a, b in zip(start, end, strict=True)]
    square = sum(one * one for one in along)
    share = sum((p - a) * d for p, a, d in zip(point, start, along, strict=True)) / square if square > 0.0 else 0.0
    share = max(0.0, min(1.0, share))
    foot = tuple(a + share * d for a, d in zip(start, along, strict=True))
    return math.dist(point, foot)


def _bays_of(section: LoomSection, runs: Mapping[str, PlanRun]) -> set[str]:
    """The bays in which its runs lie along it: those legs that begin and end on its line."""
    return {
        leg.name
        for name in section.runs
        if name in runs
        for leg in runs[name].legs
        if leg.kind == "bay" and all(_on(end, section.points) for end in (leg.points[0], leg.points[-1]))
    }


def _on(point: Point, line: Sequence[Point]) -> bool:
    return any(math.dist(point, one) < _SAME_M for one in line)


def _angle(before: Point, here: Point, after: Point) -> float:
    one = [b - a for a, b in zip(before, here, strict=True)]
    two = [b - a for a, b in zip(here, after, strict=True)]
    dot = sum(a * b for a, b in zip(one, two, strict=True))
    norm = math.dist(before, here) * math.dist(here, after)
    return math.acos(max(-1.0, min(1.0, dot / norm)))


def with_bundle_checks(
    looms: Sequence[PlanLoom], runs: Mapping[str, PlanRun], bays: Sequence[PlanBay], above_deg: float
) -> tuple[PlanLoom, ...]:
    """The looms, each section with what it bends to, what its corners leave and how deep its bays are.

    Args:
        looms, runs, bays, above_deg: as in `bundle_checks`.
    """
    checks = {(one.loom, one.section): one for one in bundle_checks(looms, runs, bays, above_deg)}

    def told(loom: str, section: LoomSection) -> LoomSection:
        check = checks.get((loom, section.name))
        if check is None:
            return section
        told = {"bends_to_mm": check.needs_mm, "corner_room_mm": check.room_mm, "bay_depth_mm": check.depth_mm}
        return section.model_copy(update=told)

    return tuple(
        loom.model_copy(update={"sections": tuple(told(loom.id, one) for one in loom.sections)}) for loom in looms
    )
