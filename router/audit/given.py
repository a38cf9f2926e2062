"""Runs and ways that a person gave: ways by hand are those passed, taped lengths count in full, furniture is square."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.results import Finding, PlanLeg, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.polylines import as_line, length_of

TAPED = "taped"
SKETCHED = (TAPED, "outside")
"""Kinds of leg whose points are a sketch and whose length is a tape's."""
PLAY_M = 0.0002


def undrawn_m(run: PlanRun) -> float:
    """What the taped stretches of a run are longer than their sketches [m]."""
    return sum(max(0.0, leg.sharp_m - length_of(as_line(leg.points))) for leg in run.legs if is_sketch(leg))


def is_sketch(leg: PlanLeg) -> bool:
    """Whether a leg's points are a sketch."""
    return leg.kind in SKETCHED


def _stretches(book: Book) -> Iterator[Finding]:
    """Taped stretches outside the model, which count with the tape's length and with no less."""
    taped_m = {way.id: way.taped_m for way in book.plan.ways if way.kind == "outside"}
    for name, said in taped_m.items():
        if said is None:
            yield error("no-length", name, "lies outside the model, and no taped length is given")
    for run in book.plan.runs:
        for leg in run.legs:
            asked = taped_m.get(leg.name) if leg.kind == "outside" else None
            if asked is not None and leg.sharp_m < asked - PLAY_M:
                yield error(
                    "taped-short", run.id, f"{leg.name} counts {leg.sharp_m:.4f} m, the tape said {asked:.4f} m"
                )


def _square(book: Book) -> Iterator[Finding]:
    """In furniture cables run along its sides: no leg counts less than the three distances between its ends."""
    for run in book.plan.runs:
        for leg in run.legs:
            if leg.kind == "furniture":
                line = as_line(leg.points)
                asked = float(abs(line[-1] - line[0]).sum())
                if leg.sharp_m < asked - PLAY_M:
                    yield error(
                        "not-square",
                        run.id,
                        f"{leg.name} counts {leg.sharp_m:.4f} m, square it is {asked:.4f} m at least",
                    )


def check_given(book: Book) -> Iterator[Finding]:
    """What each run says of how it was measured, stretches that a tape gave, and legs in furniture."""
    yield from _stretches(book)
    yield from _square(book)
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
