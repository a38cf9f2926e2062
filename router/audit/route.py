"""Routes and openings: each says the same of the other, in order, and what is drawn follows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanLeg, PlanRun
from ribway.router.audit.book import Book, Passage
from ribway.router.audit.findings import error
from ribway.router.audit.polylines import as_line, distance, distances_to_line

OFF_LINE_M: Final = 0.001
PASSING: Final = ("opening", "over", "duct", "inside", "outside", "furniture")


def check_route(book: Book) -> Iterator[Finding]:
    """Openings and legs of every run, and runs of every opening."""
    for run in book.plan.runs:
        passed = tuple(leg.name for leg in run.legs if leg.kind in PASSING)
        if passed != run.openings:
            yield error(
                "openings-and-legs", run.id,
                f"says it passes {', '.join(run.openings) or 'nothing'}; "
                f"its legs pass {', '.join(passed) or 'nothing'}",
            )  # fmt: skip
        yield from _stubs(run)
        yield from _lines(book, run)
    takers = _takers(book)
    for passage in book.passages.values():
        inside = takers.get(passage.id, Counter())
        if inside != Counter(passage.runs):
            yield error(
                "runs-in-opening", passage.id,
                f"lists {', '.join(sorted(passage.runs)) or 'nothing'}; "
                f"{', '.join(sorted(inside.elements())) or 'no run'} takes room in it on its route",
            )  # fmt: skip
        if passage.blocked and (passage.runs or inside):
            yield error(
                "blocked-used", passage.id, f"is blocked, but {', '.join(sorted({*inside, *passage.runs}))} uses it"
            )


def _takers(book: Book) -> dict[str, Counter[str]]:
    """How often each run takes room in each passage: where it passes, and in all that share their room with that."""
    shares = {way.id: way.shares for way in book.plan.ways}
    found: dict[str, Counter[str]] = {}
    for run in book.plan.runs:
        for name in run.openings:
            for room in (name, *shares.get(name, ())):
                found.setdefault(room, Counter())[run.id] += 1
    return found


def _stubs(run: PlanRun) -> Iterator[Finding]:
    for place, leg in enumerate(run.legs):
        ends = ([run.from_] if place == 0 else []) + ([run.to] if place == len(run.legs) - 1 else [])
        if leg.kind == "stub" and leg.name not in ends:
            yield error("stub", run.id, f"leg {place + 1} is a stub at {leg.name}, where the run does not end")


def _lines(book: Book, run: PlanRun) -> Iterator[Finding]:
    for leg in run.legs:
        if leg.kind not in PASSING:
            continue
        passage = book.passages.get(leg.name)
        if passage is None:
            yield error("unknown-name", run.id, f"a leg passes {leg.name}, which is neither an opening nor another way")
            continue
        off = _off_m(leg, passage)
        if off > OFF_LINE_M:
            yield error(
                "off-opening", run.id, f"its leg through {leg.name} lies {off * 1000:.1f} mm off the line of {leg.name}"
            )


def _off_m(leg: PlanLeg, passage: Passage) -> float:
    """How far a leg strays from its passage's line, which it follows from one mouth to the other [m]."""
    line, drawn = as_line(passage.line), as_line(leg.points)
    stray = max(float(distances_to_line(drawn, line).max()), float(distances_to_line(line, drawn).max()))
    same_way = max(distance(drawn[0], line[0]), distance(drawn[-1], line[-1]))
    other_way = max(distance(drawn[0], line[-1]), distance(drawn[-1], line[0]))
    return max(stray, min(same_way, other_way))
