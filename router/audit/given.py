"""Runs that a person gave: the ways named by hand are those passed, and a taped length stands for a whole run."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.results import Finding, PlanLeg, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.polylines import as_line, length_of

TAPED = "taped"
SKETCHED = (TAPED, "outside")
"""Kinds of leg whose points are a sketch and whose length is a tape's."""


def undrawn_m(run: PlanRun) -> float:
    """What the taped stretches of a run are longer than their sketches [m]."""
    return sum(max(0.0, leg.sharp_m - length_of(as_line(leg.points))) for leg in run.legs if is_sketch(leg))


def is_sketch(leg: PlanLeg) -> bool:
    """Whether a leg's points are a sketch."""
    return leg.kind in SKETCHED


def check_given(book: Book) -> Iterator[Finding]:
    """What each run says of how it was measured."""
    for run in book.plan.runs:
        legs = [leg.kind for leg in run.legs]
        if (run.measured == TAPED) != (TAPED in legs) or (TAPED in legs and len(legs) > 1):
            yield error(
                "measured", run.id,
                f"is said to be {run.measured}, its legs are {', '.join(legs)}: a taped run is one taped leg and no more",
            )  # fmt: skip
        if run.measured != "by hand" and run.by_hand:
            yield error("by-hand", run.id, f"names ways by hand, but is said to be {run.measured}")
        if run.measured == "by hand" and run.by_hand != run.openings:
            yield error(
                "by-hand", run.id,
                f"passes {', '.join(run.openings) or 'nothing'}; by hand it was to pass "
                f"{', '.join(run.by_hand) or 'nothing'}",
            )  # fmt: skip
