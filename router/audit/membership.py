"""Completeness: circuits have their runs, devices their circuits, looms their runs, and loom sections agree."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from ribway.models.plan.looms import LoomSection, PlanLoom
from ribway.models.plan.results import Finding
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.packing import needs_at_least_mm, outlines
from ribway.router.audit.surroundings import sections_by_leg

PLAY_M: Final = 0.0002
SIZE_PLAY_MM: Final = 0.11


def check_membership(book: Book) -> Iterator[Finding]:
    """Circuits and devices name each other, and so do looms and runs."""
    for circuit in book.plan.circuits:
        listed = {run for run in circuit.runs if run in book.runs}
        own = {run.id for run in book.plan.runs if run.circuit == circuit.id}
        if listed != own or len(circuit.runs) != len(set(circuit.runs)):
            odd = ", ".join(sorted(listed ^ own)) or "a run twice"
            yield error("circuit-runs", circuit.id, f"the circuit and its runs do not agree about {odd}")
        if book.plan.complete and not circuit.runs:
            yield error(
                "circuit-runs", circuit.id, "the plan is said to be complete, but nothing is laid for this circuit"
            )
        for name in own:
            if book.runs[name].kind != circuit.kind:
                yield error("kind", name, f"is {book.runs[name].kind} in a circuit that is {circuit.kind}")
    errors = [one for one in book.plan.findings if one.level == "error"]
    if book.plan.complete and errors:
        yield error(
            "ready-with-errors", errors[0].about,
            f"the plan is said to be complete, and {errors[0].code} is an error in it: {errors[0].message}",
        )  # fmt: skip
    for device in book.plan.devices:
        feeds = {circuit.id for circuit in book.plan.circuits if circuit.source == device.id}
        if feeds != set(device.feeds):
            yield error(
                "feeds",
                device.id,
                f"is said to feed {', '.join(device.feeds) or 'nothing'}, "
                f"it feeds {', '.join(sorted(feeds)) or 'nothing'}",
            )
    yield from _looms(book)


def _looms(book: Book) -> Iterator[Finding]:
    lying = book.once(sections_by_leg)
    count = Counter(run for loom in book.plan.looms for run in loom.runs)
    for run in book.plan.runs:
        if not run.loom and not count[run.id]:
            continue  # a draw cord by itself, or on a board; any other run without a loom was found among the names
        if not run.loom or count[run.id] != 1 or run.id not in book.looms[run.loom].runs:
            yield error(
                "loom-of-run",
                run.id,
                f"is in {count[run.id]} looms and says {run.loom or 'none'}: it must be in that one and no other",
            )
            continue
        loom = book.looms[run.loom]
        for place, leg in enumerate(run.legs):
            if leg.kind != "stub" and (loom.id, run.id, place) not in lying:
                yield error("loom-gap", run.id, f"its {leg.kind} {leg.name} lies in no section of loom {loom.id}")
    for loom in book.plan.looms:
        for section in loom.sections:
            yield from _section(book, loom, section)
        yield from _whole(book, loom)


def _section(book: Book, loom: PlanLoom, section: LoomSection) -> Iterator[Finding]:
    strangers = set(section.runs) - set(loom.runs)
    if strangers or not section.runs or len(section.runs) != len(set(section.runs)):
        yield error(
            "section-runs",
            loom.id,
            f"section {section.name} holds {', '.join(sorted(strangers)) or 'no run, or one twice'}",
        )
    if section.to_m < section.from_m - PLAY_M:
        yield error("section-order", loom.id, f"section {section.name} ends at {section.to_m:g} m, before it begins")
    for name in section.runs:
        missing = [opening for opening in section.openings if opening not in book.runs[name].openings]
        if missing:
            yield error(
                "section-openings", loom.id, f"section {section.name} passes {', '.join(missing)}, {name} does not"
            )
    loaded = sum(book.loaded(book.runs[name]) for name in section.runs)
    if section.loaded_conductors != loaded:
        yield error(
            "loaded-conductors",
            loom.id,
            f"section {section.name} counts {section.loaded_conductors} loaded conductors, there are {loaded}",
        )
    least = needs_at_least_mm(outlines([book.runs[name] for name in section.runs], 0.0))
    if section.diameter_mm < least - SIZE_PLAY_MM:
        yield error(
            "section-size",
            loom.id,
            f"section {section.name} is {section.diameter_mm:g} mm thick, its runs need {least:.1f} mm at least",
        )


def _whole(book: Book, loom: PlanLoom) -> Iterator[Finding]:
    thickest = max((section.diameter_mm for section in loom.sections), default=0.0)
    if abs(loom.diameter_mm - thickest) > SIZE_PLAY_MM:
        yield error(
            "loom-size",
            loom.id,
            f"is said to be {loom.diameter_mm:g} mm thick, its thickest section is {thickest:g} mm",
        )
    at = [breakout.at_m for breakout in loom.breakouts]
    if at != sorted(at) or any(not -PLAY_M <= one <= loom.length_m + PLAY_M for one in at):
        yield error(
            "breakouts", loom.id, f"breakouts at {', '.join(f'{one:g}' for one in at)} m of {loom.length_m:g} m"
        )
    for breakout in loom.breakouts:
        if not set(breakout.runs) <= set(loom.runs):
            yield error("breakouts", loom.id, f"runs of other looms leave it at {breakout.at_m:g} m")
        trunk = [section for section in loom.sections if section.branch == 0]
        before = {run for one in trunk if abs(one.to_m - breakout.at_m) <= PLAY_M for run in one.runs}
        after = {run for one in trunk if abs(one.from_m - breakout.at_m) <= PLAY_M for run in one.runs}
        joining, leaving = set(breakout.joining), set(breakout.runs) - set(breakout.joining)
        if joining != (after - before) & set(breakout.runs) or not leaving <= before - after:
            yield error("breakouts", loom.id, f"who leaves and who joins at {breakout.at_m:g} m is not what lies there")
    cords = {run for run in loom.runs if book.runs[run].cores == 0}
    if cords and len(loom.runs) - len(cords) < 2:
        yield error(
            "loom-of-cords", loom.id, f"{', '.join(sorted(cords))}: draw cords go along with two cables or more"
        )
    branches = [section.branch for section in loom.sections]
    if branches != sorted(branches):
        yield error("section-order", loom.id, "its sections do not stand trunk first, then branch by branch")
    for one, other in pairwise(section for section in loom.sections if section.branch == 0):
        if abs(one.to_m - other.from_m) > PLAY_M:
            yield error("section-order", loom.id, f"section {other.name} does not begin where {one.name} ends")
