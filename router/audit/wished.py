"""Grouping by hand: runs that were asked to go together or apart do, and each zone has the spares it was to get."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error


def check_wished(book: Book) -> Iterator[Finding]:
    """Everything that the plan says a person asked of its looms."""
    wishes = book.plan.loom_wishes
    strange = sorted(
        {name for runs in (*wishes.together, *(one for sets in wishes.apart for one in sets)) for name in runs}
        - set(book.runs)
    )
    if strange:
        yield error("unknown-name", "looms", f"a wish names {', '.join(strange)}, which is no run")
        return
    loom_of = {run: loom.id for loom in book.plan.looms for run in loom.runs}
    for runs in wishes.together:
        for one, other in combinations(runs, 2):
            a, b = book.runs[one], book.runs[other]
            in_loom = one in loom_of and other in loom_of
            if in_loom and loom_of[one] != loom_of[other] and a.cores and b.cores and _beside(a, b):
                yield error(
                    "loom-together", one, f"was to share a loom with {other}, shares a stretch with it, and does not"
                )
    for sets in wishes.apart:
        for left, right in combinations(sets, 2):
            for one in left:
                for other in right:
                    if one != other and one in loom_of and loom_of[one] == loom_of.get(other):
                        yield error(
                            "loom-apart", one, f"was to go apart from {other}, and both lie in loom {loom_of[one]}"
                        )
    zones = {device.id: device.zone for device in book.plan.devices}
    there = Counter(zones.get(run.to, "") for run in book.plan.runs if run.purpose == "spare")
    for zone, count in wishes.spares.items():
        if there[zone] != count:
            yield error("spares-wished", zone, f"was to get {count} spares and has {there[zone]}")


def _beside(a: PlanRun, b: PlanRun) -> bool:
    """Whether two runs pass a way or lie on one line in a bay: no stub counts, a device is no stretch."""
    mine = {(leg.kind, leg.name, frozenset((leg.points[0], leg.points[-1]))) for leg in a.legs if leg.kind != "stub"}
    yours = {(leg.kind, leg.name, frozenset((leg.points[0], leg.points[-1]))) for leg in b.legs if leg.kind != "stub"}
    return not mine.isdisjoint(yours)
