"""AC, DC and data: which may lie together in an opening, in a loom, and along a bay."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, pairwise
from typing import Final

import numpy as np

from ribway.models.plan.results import Finding, PlanRun
from ribway.models.plan.shell import Point
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error, warning
from ribway.router.audit.polylines import as_line, distances_to_line

GAP_M: Final = 0.013
"""AC and DC that are neither sheathed nor in separate ways keep 13 mm apart (ABYC E-11; NEC 552.10(C)(3))."""
CROSSING_M: Final = 0.10
"""Side by side for less than this is a crossing, not lying together: our choice."""
STEP_M: Final = 0.02


def may_lie_together(book: Book, one: PlanRun, other: PlanRun) -> bool:
    """Whether the plan's rules let two runs share an opening or a loom."""
    kinds = {one.kind, other.kind}
    if len(kinds) == 1:
        return True
    if kinds == {"dc", "data"}:
        return book.plan.rules.data_power == "together"
    if kinds == {"ac", "dc"}:
        sheathed = "single" not in (book.cable_of(one).form, book.cable_of(other).form)
        return book.plan.rules.ac_dc == "together when sheathed" and sheathed
    return False


def check_apart(book: Book) -> Iterator[Finding]:
    """Openings with their labels, loom sections, and AC beside other cables along bays."""
    for passage in book.passages.values():
        yield from _together(book, "in the same opening", passage.id, passage.runs)
        if passage.separation is not None:
            kinds = sorted({book.runs[run].kind for run in passage.runs})
            label = "mixed" if len(kinds) > 1 else (kinds[0] if kinds else "")
            if passage.separation != label:
                yield error(
                    "separation-label",
                    passage.id,
                    f"is marked {passage.separation or 'unused'}, what goes through is {label}",
                )
    for loom in book.plan.looms:
        yield from _together(book, "in the same loom", loom.id, loom.runs)
    if book.plan.rules.ac_dc == "apart":
        yield from _alongside(book)


def _together(book: Book, where: str, about: str, names: Iterable[str]) -> Iterator[Finding]:
    for a, b in combinations(sorted(set(names)), 2):
        one, other = book.runs[a], book.runs[b]
        if not may_lie_together(book, one, other):
            yield error(
                "separation", about, f"{a} ({one.kind}) and {b} ({other.kind}) lie {where}",
                "lead one of them another way; AC and data never lie together",
            )  # fmt: skip


def _alongside(book: Book) -> Iterator[Finding]:
    """AC that lies beside other cables in a bay, though both keep out of each other's openings."""
    others: dict[str, list[PlanRun]] = {}
    for run in book.plan.runs:
        for name in {leg.name for leg in run.legs if leg.kind == "bay"} if run.kind != "ac" else ():
            others.setdefault(name, []).append(run)
    for ac in book.plan.runs:
        if ac.kind != "ac":
            continue
        for leg in ac.legs:
            for other in others.get(leg.name, ()) if leg.kind == "bay" else ():
                reach = GAP_M + (ac.outside_mm + other.outside_mm) / 2000.0
                beside = sum(
                    _beside_m(leg.points, theirs.points, reach)
                    for theirs in other.legs
                    if theirs.kind == "bay" and theirs.name == leg.name
                )
                if beside > CROSSING_M:
                    yield warning(
                        "ac-alongside", ac.id,
                        f"AC lies within {GAP_M * 1000:.0f} mm of {other.id} for {beside:.2f} m in {leg.name}",
                        "clip them on different lines there, or put the AC in a tube of its own",
                    )  # fmt: skip


def _beside_m(mine: Sequence[Point], theirs: Sequence[Point], reach_m: float) -> float:
    """Length of a polyline that lies within reach of another [m], to 2 cm."""
    line, near = as_line(mine), 0.0
    other = as_line(theirs)
    for start, end in pairwise(line):
        size = float(np.linalg.norm(end - start))
        count = max(1, round(size / STEP_M))
        at = (np.arange(count) + 0.5) / count
        near += size * float((distances_to_line(start + at[:, None] * (end - start), other) <= reach_m).mean())
    return near
