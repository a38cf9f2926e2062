"""Lengths of each run: which may not be longer than which, and legs that hang together from device to device."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.given import undrawn_m
from ribway.router.audit.polylines import as_line, distance, length_of, length_play_m

PLAY_M: Final = 0.0002
"""Lengths are saved to 0.1 mm: two of them may disagree by this."""
JOINT_M: Final = 0.001
"""Two legs that meet, or a leg and its device, may be drawn this far apart."""
CURVE_M: Final = 0.0005
"""The drawn centreline is chords of its arcs."""


def check_lengths(book: Book) -> Iterator[Finding]:
    """Every run's lengths against each other and against what is drawn."""
    for run in book.plan.runs:
        yield from _order(book, run)
        yield from _legs(run)
        yield from _ends(book, run)
        yield from _centreline(run)


def _order(book: Book, run: PlanRun) -> Iterator[Finding]:
    straight = distance(book.devices[run.from_].point, book.devices[run.to].point)
    if abs(straight - run.straight_m) > PLAY_M:
        yield error(
            "straight",
            run.id,
            f"{book.called(run.from_)} and {book.called(run.to)} are {straight:.4f} m apart, "
            f"the plan says {run.straight_m:.4f} m",
        )
    if straight > run.taut_m + PLAY_M:
        yield error("taut", run.id, f"taut {run.taut_m:.4f} m is shorter than the straight {straight:.4f} m")
    if run.taut_m > run.sharp_m + PLAY_M:
        yield error("sharp", run.id, f"sharp {run.sharp_m:.4f} m is shorter than the taut {run.taut_m:.4f} m")
    if run.rounded_m > run.sharp_m + PLAY_M:
        yield error("rounded", run.id, f"rounded {run.rounded_m:.4f} m is longer than the sharp {run.sharp_m:.4f} m")


def _legs(run: PlanRun) -> Iterator[Finding]:
    for leg in run.legs:
        line = as_line(leg.points)
        drawn = length_of(line)
        short = drawn - PLAY_M - leg.sharp_m
        if short > 0.0 and short > length_play_m(line):
            yield error(
                "leg-short", run.id, f"{leg.kind} {leg.name} counts {leg.sharp_m:.4f} m but is drawn {drawn:.4f} m long"
            )
    total = sum(leg.sharp_m for leg in run.legs)
    if abs(total - run.sharp_m) > PLAY_M:
        yield error("leg-sum", run.id, f"the legs add up to {total:.4f} m, the plan says sharp {run.sharp_m:.4f} m")


def _ends(book: Book, run: PlanRun) -> Iterator[Finding]:
    for before, after in pairwise(run.legs):
        gap = distance(before.points[-1], after.points[0])
        if gap > JOINT_M:
            yield error(
                "leg-gap",
                run.id,
                f"{gap * 1000:.1f} mm between {before.kind} {before.name} and {after.kind} {after.name}",
            )
    for device, drawn, line in (
        (run.from_, run.legs[0].points[0], "first leg"),
        (run.to, run.legs[-1].points[-1], "last leg"),
        (run.from_, run.centreline[0], "centreline"),
        (run.to, run.centreline[-1], "centreline"),
    ):
        gap = distance(book.devices[device].point, drawn)
        if gap > JOINT_M:
            yield error("end-off-device", run.id, f"the {line} ends {gap * 1000:.1f} mm from {book.called(device)}")


def _centreline(run: PlanRun) -> Iterator[Finding]:
    line = as_line(run.centreline)
    drawn = length_of(line)
    taped = undrawn_m(run)
    off = abs(drawn + taped - run.rounded_m) - CURVE_M
    if off > 0.0 and off > length_play_m(line):
        more = f" and {taped:.4f} m more are taped" if taped else ""
        yield error(
            "centreline", run.id, f"the centreline is {drawn:.4f} m long{more}, the plan says {run.rounded_m:.4f} m"
        )
