"""Bends counted again on the sharp polyline, and what a bundle's outside adds."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.polylines import as_line, sharp_line, turns_deg, without_repeats

ANGLE_PLAY_DEG: Final = 0.06
SIDE_PLAY_M: Final = 0.0005
SIZE_PLAY_MM: Final = 0.05


def check_bends(book: Book) -> Iterator[Finding]:
    """Number and sum of bends of every run, and the length for lying on the outside of its loom's bends."""
    above = book.plan.rules.bend_counts_above_deg
    for run in book.plan.runs:
        angle, play = turns_deg(sharp_line(run))
        surely, perhaps = angle - play > above, angle + play > above
        least, most = int(surely.sum()), int(perhaps.sum())
        if not least <= run.bends <= most:
            found = f"{least}" if least == most else f"{least} to {most}"
            yield error("bends", run.id, f"{run.bends} bends; {found} changes of direction are above {above:g} degrees")
        low = float((angle - play)[surely].sum()) - ANGLE_PLAY_DEG
        high = float((angle + play)[perhaps].sum()) + ANGLE_PLAY_DEG
        if not low <= run.bend_angle_deg <= high:
            yield error(
                "bend-angle",
                run.id,
                f"bends of {run.bend_angle_deg:.1f} degrees in all; {low:.1f} to {high:.1f} are drawn",
            )
        yield from _loom_side(book, run)


def _loom_side(book: Book, run: PlanRun) -> Iterator[Finding]:
    """Concentric arcs: a wire on the outside is longer by (bundle radius - own radius) x angle."""
    asked = 0.0
    for section in book.looms[run.loom].sections if run.loom else ():
        if run.id not in section.runs:
            continue
        angle, play = turns_deg(without_repeats(as_line(section.points)))
        bent = float(np.radians((angle - play)[angle - play > book.plan.rules.bend_counts_above_deg]).sum())
        asked += max(0.0, section.diameter_mm - SIZE_PLAY_MM - run.outside_mm) / 2000.0 * bent
    if run.loom_side_m < asked - SIDE_PLAY_M:
        yield error(
            "loom-side",
            run.id,
            f"{run.loom_side_m:.4f} m added for the outside of its loom's bends, {asked:.4f} m needed",
        )
