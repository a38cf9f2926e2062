"""Whether bundles bend as their corners ask and lie within their bays, worked out again from the saved lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.looms import LoomSection, PlanLoom
from ribway.models.plan.results import Finding
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.polylines import as_line, turns_deg, without_repeats

Array = NDArray[np.float64]

SLANT_M: Final = 0.01
"""A side step of so much is slanted over and is no corner (common practice, no source)."""
PLAY_MM: Final = 0.11
_SAME_M: Final = 2e-4
_TIE_M: Final = 1e-6
"""Points so little nearer than the farthest are as far; the first of them stays."""
_STRAIGHT_DEG: Final = 179.0


def check_bundles(book: Book) -> Iterator[Finding]:
    """Every section of every loom: its figures, and that the plan says where a bundle does not bend or does not fit."""
    said = {code: _named(book, code) for code in ("bundle-bend", "bundle-deep")}
    for loom in book.plan.looms:
        for section in loom.sections:
            cables = [book.runs[name] for name in section.runs if book.runs[name].cores]
            if not cables:
                continue
            needs_mm = max(run.least_bend_radius_mm for run in cables)
            room_mm, depth_mm = corner_room_mm(book, section), _depth_mm(book, section)
            yield from _figures(loom, section, needs_mm, room_mm, depth_mm)
            tight = room_mm[1] < needs_mm - PLAY_MM
            if len(cables) > 1 and tight and section.name not in said["bundle-bend"]:
                yield error(
                    "bundle-bend", loom.id,
                    f"section {section.name} bends to {needs_mm:.1f} mm, its corners leave {_shown(room_mm[1])}, and the "
                    "plan does not say so",
                )  # fmt: skip
            if (
                depth_mm is not None
                and section.diameter_mm > depth_mm + PLAY_MM
                and section.name not in said["bundle-deep"]
            ):
                yield error(
                    "bundle-deep", loom.id,
                    f"section {section.name} is {section.diameter_mm:.1f} mm thick in a bay {depth_mm:.1f} mm deep, and the plan "
                    "does not say so",
                )  # fmt: skip


def _figures(
    loom: PlanLoom, section: LoomSection, needs_mm: float, room_mm: tuple[float, float], depth_mm: float | None
) -> Iterator[Finding]:
    """What the plan states of a section errs to neither side; a plan of before these fields states nothing."""
    if section.bends_to_mm is None:
        return
    stated = np.inf if section.corner_room_mm is None else section.corner_room_mm
    off = not room_mm[0] - PLAY_MM <= stated <= room_mm[1] + PLAY_MM
    if off or abs(section.bends_to_mm - needs_mm) > PLAY_MM:
        yield error(
            "section-bends", loom.id,
            f"section {section.name} is said to bend to {section.bends_to_mm:g} mm where its corners leave "
            f"{_shown(stated)}; it bends to {needs_mm:.1f} mm, they leave {_shown(room_mm[1])}",
        )  # fmt: skip
    deep = section.bay_depth_mm
    if (deep is None) != (depth_mm is None) or (
        deep is not None and depth_mm is not None and deep > depth_mm + PLAY_MM
    ):
        yield error(
            "section-deep", loom.id,
            f"section {section.name} is said to lie in {'no bay' if deep is None else f'{deep:g} mm'}; "
            f"its bays have {'no depth' if depth_mm is None else f'{depth_mm:.1f} mm'}",
        )  # fmt: skip


def _shown(room_mm: float) -> str:
    return "any radius" if np.isinf(room_mm) else f"{room_mm:.1f} mm"


def _named(book: Book, code: str) -> set[str]:
    """Names of sections that the findings of a kind tell of."""
    words: set[str] = set()
    for one in book.plan.findings:
        if one.code == code:
            words |= {word.strip(":;,") for word in one.message.split()}
    return words


def corner_room_mm(book: Book, section: LoomSection) -> tuple[float, float]:
    """Least and greatest radius that a section's tightest corner may leave.

    A fillet of radius r takes r tan(turn / 2) of both sides of a corner (plane geometry); a side between two corners is shared
    by halves. Whether a step of just the slant's size is a corner is a matter of the last digit, so both are taken.

    Args:
        book: the plan.
        section: of a loom.

    Returns:
        [mm]; infinite without a corner.
    """
    line = without_repeats(as_line(section.points))
    rooms = []
    for slant_m in (SLANT_M - _SAME_M, SLANT_M + _SAME_M):
        kept = line[straight_over(line, slant_m)]
        turn, _ = turns_deg(kept)
        corner = turn > book.plan.rules.bend_counts_above_deg
        side = np.linalg.norm(np.diff(kept, axis=0), axis=1)
        shared = (
            np.concatenate(([False], corner)) & np.concatenate((corner, [False])) if len(side) else np.zeros(0, bool)
        )
        free = np.where(shared, side / 2.0, side)
        leg = np.minimum(free[:-1], free[1:])[corner]
        half = np.radians(np.minimum(turn[corner], _STRAIGHT_DEG)) / 2.0
        rooms.append(1000.0 * float((leg / np.tan(half)).min(initial=np.inf)))
    return min(rooms), max(rooms)


def straight_over(line: Array, slant_m: float) -> NDArray[np.bool_]:
    """Which points of a polyline stay when it goes straight over side steps.

    Args:
        line: `(n, 3)` [m].
        slant_m: points nearer to the straight between those that stay go [m].

    Returns:
        `(n,)`; both ends stay.

    Source: Douglas and Peucker 1973, Cartographica 10:112-122.
    """
    keep = np.zeros(len(line), dtype=bool)
    keep[[0, -1]] = True
    open_ = [(0, len(line) - 1)]
    while open_:
        first, last = open_.pop()
        if last - first < 2:
            continue
        start, along = line[first], line[last] - line[first]
        inner = line[first + 1 : last] - start
        square = float(along @ along)
        share = np.clip(inner @ along / square, 0.0, 1.0) if square > 0.0 else np.zeros(len(inner))
        off = np.linalg.norm(inner - share[:, None] * along, axis=1)
        far = int(np.argmax(off >= off.max() - _TIE_M))
        if off.max() >= slant_m:
            keep[first + 1 + far] = True
            open_ += [(first, first + 1 + far), (first + 1 + far, last)]
    return keep


def _depth_mm(book: Book, section: LoomSection) -> float | None:
    """The least depth of the bays in which runs lie along a section: those legs whose ends are on its line [mm]."""
    path = as_line(section.points)
    depths = {one.id: one.depth_m for one in book.plan.bays}
    found = []
    for name in section.runs:
        for leg in book.runs[name].legs:
            depth_m = depths.get(leg.name)
            if leg.kind != "bay" or depth_m is None:
                continue
            ends = as_line((leg.points[0], leg.points[-1]))
            near = np.linalg.norm(path[None, :, :] - ends[:, None, :], axis=2).min(axis=1)
            if bool((near < _SAME_M).all()):
                found.append(1000.0 * depth_m)
    return min(found, default=None)
