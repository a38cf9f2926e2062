"""The stock: reels that are not what they claim, and runs far thicker than they need because nothing lies between."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from ribway.models.plan.results import Finding
from ribway.router.writing.outcome import Outcome
from ribway.sizing.needed import needed_area

WIDE_STEP: Final = 2.1
"""Neighbours of the standard series of sizes, metric or gauge, are at most 1.67 times each other."""
FAR_TOO_THICK: Final = 2.0


def held_findings(outcome: Outcome) -> Iterator[Finding]:
    """Reels that are used and are not what they claim.

    Args:
        outcome: what was decided.
    """
    runs: dict[tuple[str, str], list[str]] = {}
    for run in outcome.layout.laid:
        stock = outcome.cable_of[run].stock
        if stock.held:
            runs.setdefault((stock.spelling, stock.held), []).append(run)
    for (spelling, held), names in runs.items():
        yield Finding(
            level="warning",
            code="held-reel",
            about=", ".join(names),
            message=f"the reel sold as {spelling} is {held}, and is reckoned as that",
            remedy="mark the reel; end aluminium and clad aluminium only in terminals made for it",
        )


def gap_findings(outcome: Outcome) -> Iterator[Finding]:
    """Runs above a gap of the stock that they would have needed a size out of.

    Args:
        outcome: what was decided.
    """
    for run in outcome.runs:
        sized = outcome.sized.get(run.id)
        cables = outcome.sizer.cables[run.id]
        if sized is None or sized.demand is None or sized.verdict is None or outcome.cable_of[run.id] not in cables:
            continue
        place = cables.index(outcome.cable_of[run.id])
        if place == 0:
            continue
        below, taken = cables[place - 1].stock, cables[place].stock
        if taken.area_mm2 <= WIDE_STEP * below.area_mm2:
            continue
        circuit = next(feed.circuit for feed in outcome.feeds if feed.circuit.id == run.circuit)
        asked, wire = replace(sized.demand, fuse_a=circuit.fuse), sized.verdict.conductor
        needed = needed_area(asked, outcome.sizer.rules_of(run.id), wire.insulation_c, wire.sheath).area_mm2
        if needed is not None and taken.area_mm2 >= FAR_TOO_THICK * needed:
            yield Finding(
                level="note",
                code="stock-gap",
                about=run.id,
                message=f"{taken.size} is taken where {needed:.3g} mm2 would do: the stock for it has nothing between "
                f"{below.size} and {taken.size}",
                remedy="keep a size between them, or name one under only",
            )
