"""Openings and other ways: clear area, fill, and bodies that must go through."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book, Passage
from ribway.router.audit.findings import error

SIZE_PLAY_MM: Final = 0.05
"""Sizes are saved to 0.1 mm."""
PERCENT_PLAY: Final = 0.02
LIMIT_PLAY: Final = 1e-6
MOST_PERCENT: Final = 50.0
"""Greatest fill limit that any opening may have; 31 and 40 % are NEC chapter 9 table 1."""


def outline_mm2(width_mm: float, thickness_mm: float) -> float:
    """Area of a round cable, or of a flat one with half-round edges [mm2]."""
    return math.pi / 4.0 * thickness_mm**2 + (width_mm - thickness_mm) * thickness_mm


def clear_mm2(passage: Passage, more_mm: float = 0.0) -> float:
    """Clear area of a passage, its sizes taken larger by so much [mm2]."""
    bore, room = passage.bore_mm + more_mm, passage.room_mm + more_mm
    if passage.shape == "round":
        return math.pi / 4.0 * bore**2
    if passage.shape == "slot":
        return math.pi / 4.0 * bore**2 + bore * (room - bore)
    return bore * room


def filled_mm2(book: Book, passage: Passage) -> float:
    """Area of everything in a passage, what was there before included [mm2]."""
    inside = [book.runs[run] for run in passage.runs]
    cables = sum(run.pieces * outline_mm2(run.outside_mm, run.thickness_mm) for run in inside)
    return cables + math.pi / 4.0 * passage.taken_mm**2


def check_fill(book: Book) -> Iterator[Finding]:
    """Clear area, fill and bodies of every passage."""
    for passage in book.passages.values():
        if passage.area_mm2 > clear_mm2(passage, SIZE_PLAY_MM) + 0.01:
            yield error(
                "clear-area", passage.id,
                f"says {passage.area_mm2:.2f} mm2 are clear; its sizes leave {clear_mm2(passage):.2f} mm2",
            )  # fmt: skip
        if passage.limit_percent > MOST_PERCENT + LIMIT_PLAY:
            yield error(
                "fill-limit", passage.id, f"its limit of {passage.limit_percent:g} % is above {MOST_PERCENT:g} %"
            )
        if passage.runs:
            yield from _filled(book, passage)
            for run in passage.runs:
                yield from _body(passage, book.runs[run])


def _filled(book: Book, passage: Passage) -> Iterator[Finding]:
    used = filled_mm2(book, passage)
    if passage.area_mm2 <= 0.0:
        yield error("overfull", passage.id, f"{used:.2f} mm2 of cable in no clear area")
        return
    percent = 100.0 * used / passage.area_mm2
    if abs(percent - passage.fill_percent) > PERCENT_PLAY:
        yield error("fill", passage.id, f"fill {passage.fill_percent:.2f} %; its cables fill {percent:.2f} %")
    # An area rounded down to 0.01 mm2 must not turn exactly 40 % into a little more.
    exact = clear_mm2(passage)
    area = max(passage.area_mm2, exact) if abs(exact - passage.area_mm2) <= 0.0051 else passage.area_mm2
    if 100.0 * used / area > passage.limit_percent + LIMIT_PLAY:
        yield error(
            "overfull", passage.id, f"{100.0 * used / area:.2f} % full, allowed {passage.limit_percent:g} %",
            "lead a run another way, or open a larger hole",
        )  # fmt: skip


def _body(passage: Passage, run: PlanRun) -> Iterator[Finding]:
    """What cannot be otherwise: a body no wider than the room, no thicker than the bore less what lies in it."""
    across, deep = passage.room_mm + SIZE_PLAY_MM, passage.bore_mm + SIZE_PLAY_MM
    beside = passage.taken_mm if passage.shape == "round" else 0.0
    if run.outside_mm > across or run.thickness_mm > deep - beside:
        size = (
            f"{run.outside_mm:g} x {run.thickness_mm:g} mm"
            if run.outside_mm != run.thickness_mm
            else f"{run.outside_mm:g} mm"
        )
        yield error(
            "body", passage.id,
            f"{run.id} is {size}; the clear size is {passage.room_mm:g} x {passage.bore_mm:g} mm"
            + (f" with {passage.taken_mm:g} mm taken" if beside else ""),
            "lead it another way, or open a larger hole",
        )  # fmt: skip
