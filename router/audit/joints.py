"""Joints and moving cables: contacts that bear their current, joints in reach, loops where something moves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error, warning

PLAY_M: Final = 0.0002
PLAY_A: Final = 0.002


def check_joints(book: Book) -> Iterator[Finding]:
    """Every joint, and every run that ends at one or moves."""
    for device in book.plan.devices:
        if device.kind == "joint" and device.behind == "fixed panel":
            yield error("joint-hidden", device.id, "sits behind a fixed panel, where nobody can part it or look at it")
    for run in book.plan.runs:
        for end in (run.from_, run.to):
            rating = book.devices[end].contact_a if book.devices[end].kind == "joint" else None
            if rating is not None and run.kind != "data" and run.purpose != "spare" and run.design_a > rating + PLAY_A:
                yield error(
                    "joint-overloaded", end, f"{run.id} carries {run.design_a:g} A through contacts of {rating:g} A",
                    "a joint with larger contacts",
                )  # fmt: skip
        yield from _moving(book, run)


def _moving(book: Book, run: PlanRun) -> Iterator[Finding]:
    if run.measured == "taped":
        return
    ways = {way.id: way for way in book.plan.ways}
    crossed = [ways[name] for name in run.openings if name in ways and ways[name].moving]
    moves = {way.moving for way in crossed} | {book.devices[end].moving for end in (run.from_, run.to)} - {""}
    if set(run.moving) != moves:
        said, found = ", ".join(run.moving) or "nothing", ", ".join(sorted(moves)) or "nothing"
        yield error("moving", run.id, f"is said to move with {said}; it crosses to {found}")
    least = sum(way.loop_m for way in crossed) + sum(book.devices[end].loop_m for end in (run.from_, run.to))
    if run.loop_m < least - PLAY_M:
        yield error("loop", run.id, f"has loops of {run.loop_m:g} m; where it crosses they are {least:g} m")
    if moves and book.cable_of(run).system != "metric":
        yield warning(
            "coarse-strand", run.id, f"moves with {', '.join(sorted(moves))}, and nobody says that its strand is fine",
            "a cable of class 5 or 6 of IEC 60228",
        )  # fmt: skip
