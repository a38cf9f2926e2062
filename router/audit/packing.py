"""Whether what goes through an opening fits side by side, and whether plugs pass beside what was pulled before.

The audit does not search for packings. It has bounds that hold for certain: what is below the lower one cannot be; what
is above the upper one surely fits; between them it says that it neither confirms nor refutes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from ribway.models.plan.results import Finding, PlanRun
from ribway.models.printed import counted
from ribway.router.audit.book import Book, Passage
from ribway.router.audit.fill import outline_mm2
from ribway.router.audit.findings import error, note, warning

SIZE_PLAY_MM: Final = 0.05
Outlines = Sequence[tuple[float, float]]
"""Width and thickness of each piece [mm]."""


def outlines(runs: Sequence[PlanRun], taken_mm: float) -> list[tuple[float, float]]:
    """Every piece of these runs, and what was there before, as one round thing."""
    found = [(run.outside_mm, run.thickness_mm) for run in runs for _ in range(run.pieces)]
    return [*found, (taken_mm, taken_mm)] if taken_mm > 0.0 else found


def surely_fits_mm(pieces: Outlines) -> float:
    """A circle that surely holds these pieces: its diameter [mm].

    In a row along a diameter each piece lies in the circle on its own width, so the sum of widths is enough. Circles of
    total area at most half of a circle always fit into it; a flat piece lies in the circle on its width.

    Source: Fekete, Keldenich, Scheffer 2019, Packing disks into disks with optimal worst-case density.
    """
    return min(sum(width for width, _ in pieces), math.sqrt(2.0 * sum(width**2 for width, _ in pieces)))


def needs_at_least_mm(pieces: Outlines) -> float:
    """No circle smaller than this holds these pieces: its diameter [mm].

    The widest piece must fit, the areas must fit, and the circles inscribed in the two thickest must lie side by side.
    """
    if not pieces:
        return 0.0
    thick = sorted((thickness for _, thickness in pieces), reverse=True)
    area = sum(outline_mm2(width, thickness) for width, thickness in pieces)
    return max(max(width for width, _ in pieces), math.sqrt(4.0 / math.pi * area), sum(thick[:2]))


def check_packing(book: Book) -> Iterator[Finding]:
    """Bundles and plugs of every passage."""
    unproven = []
    for passage in book.passages.values():
        if not passage.runs:
            if passage.bundle_mm:
                yield error(
                    "bundle", passage.id, f"a bundle of {passage.bundle_mm:g} mm in an opening that nothing uses"
                )
            continue
        runs = [book.runs[run] for run in passage.runs]
        pieces = outlines(runs, passage.taken_mm)
        yield from _bundle(passage, pieces)
        if not _surely_fits(passage, pieces):
            unproven.append(passage.id)
        yield from _plugs(passage, runs)
    if unproven:
        yield note(
            "fit-not-proven", ", ".join(unproven),
            f"in {counted(len(unproven), 'opening')} the cables fit by a packing of the planner that the audit does not try",
            "lay the cables side by side in a ring of the clear size before pulling them",
        )  # fmt: skip


def _bundle(passage: Passage, pieces: Outlines) -> Iterator[Finding]:
    least = needs_at_least_mm(pieces)
    if passage.shape == "round" and least > passage.bore_mm + SIZE_PLAY_MM:
        yield error(
            "bundle", passage.id, f"what goes through needs {least:.1f} mm at least, {passage.bore_mm:g} mm are clear",
            "lead a run another way, or open a larger hole",
        )  # fmt: skip
    if passage.bundle_mm is None:
        return
    if passage.bundle_mm < least - 2.0 * SIZE_PLAY_MM:
        yield error(
            "bundle", passage.id, f"bundle {passage.bundle_mm:g} mm; what goes through needs {least:.1f} mm at least"
        )
    too_big = passage.shape == "round" and passage.bundle_mm > passage.bore_mm + SIZE_PLAY_MM
    if too_big and not _surely_fits(passage, pieces):
        yield error(
            "bundle", passage.id, f"a bundle of {passage.bundle_mm:g} mm does not go through {passage.bore_mm:g} mm",
            "lead a run another way, or open a larger hole",
        )  # fmt: skip


def _surely_fits(passage: Passage, pieces: Outlines) -> bool:
    if passage.shape == "round":
        return surely_fits_mm(pieces) <= passage.bore_mm + 1e-6
    row = sum(width for width, _ in pieces) <= passage.room_mm + 1e-6
    flat = max(thickness for _, thickness in pieces) <= passage.bore_mm + 1e-6
    on_edge = sum(thickness for _, thickness in pieces) <= passage.room_mm + 1e-6
    narrow = max(width for width, _ in pieces) <= passage.bore_mm + 1e-6
    return (row and flat) or (on_edge and narrow)


def _plugs(passage: Passage, runs: Sequence[PlanRun]) -> Iterator[Finding]:
    """Plugs biggest first, cables without one after all of them."""
    order = sorted((run for run in runs if run.plug_mm > 0.0), key=lambda run: (-run.plug_mm, run.id))
    for place, run in enumerate(order):
        before = outlines(order[:place], passage.taken_mm)
        beside = max((thickness for _, thickness in before), default=0.0)
        if run.plug_mm + (beside if passage.shape == "round" else 0.0) > passage.bore_mm + SIZE_PLAY_MM:
            yield error(
                "plug", passage.id,
                f"the {run.plug_mm:g} mm plug of {run.id} does not go through {passage.bore_mm:g} mm"
                + (f" beside {beside:g} mm" if beside else ""),
                "fit the plug after pulling, or lead it another way",
            )  # fmt: skip
        elif not _plug_passes(passage, run.plug_mm, before):
            yield warning(
                "plug-not-proven", passage.id,
                f"that the {run.plug_mm:g} mm plug of {run.id} goes through {passage.bore_mm:g} mm beside what is "
                f"pulled before it ({surely_fits_mm(before):.1f} mm for certain) is not proven by the audit",
                "try the plug beside those cables in a ring of the clear size",
            )  # fmt: skip


def _plug_passes(passage: Passage, plug_mm: float, before: Outlines) -> bool:
    """Side by side: sufficient, so that yes is safe."""
    if passage.shape == "round":
        return plug_mm + surely_fits_mm(before) <= passage.bore_mm + SIZE_PLAY_MM
    return plug_mm + sum(width for width, _ in before) <= passage.room_mm + SIZE_PLAY_MM
