"""What a plan says it rests on: every value nobody confirmed is listed as such, and no other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ribway.models.plan.assumptions import PlanAssumption
from ribway.models.plan.results import Finding
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error


def check_assumed(book: Book) -> Iterator[Finding]:
    """Openings in use, plates and cables against the list of assumptions."""
    by_thing: dict[tuple[str, str], list[PlanAssumption]] = {}
    for one in book.plan.assumptions:
        by_thing.setdefault((one.whose, one.about), []).append(one)
        if not _known(book, one):
            yield error(
                "unknown-name", one.about, f"an assumption is about {one.whose} {one.about}, which is not there"
            )
    for opening in book.plan.openings:
        if opening.runs and opening.state in ("assumed", "measured"):
            yield from _once("opening", opening.id, opening.state == "measured", by_thing)
    for cable in book.plan.cables:
        yield from _once("cable", cable.id, not cable.assumed, by_thing)
    for device in book.plan.devices:
        if device.amps > 0.0:
            said = [one for one in by_thing.get(("device", device.id), []) if one.key in ("amps", "watts")]
            if not said or any(one.confirmed != device.confirmed for one in said):
                word = "confirmed" if device.confirmed else "not confirmed"
                yield error(
                    "assumption", device.id, f"its current is {word}, and the list of assumptions does not say so"
                )


def _known(book: Book, one: PlanAssumption) -> bool:
    known: Mapping[str, object] = {
        "shell": {"": None},
        "opening": book.passages,
        "device": book.devices,
        "circuit": {**book.circuits, **book.devices},
        "cable": book.cables,
    }[one.whose]
    return one.about in known


def _once(
    whose: str, about: str, confirmed: bool, by_thing: Mapping[tuple[str, str], list[PlanAssumption]]
) -> Iterator[Finding]:
    said = [one.confirmed for one in by_thing.get((whose, about), [])]
    if said != [confirmed]:
        word = "confirmed" if confirmed else "not confirmed"
        found = ", ".join("confirmed" if one else "not confirmed" for one in said) or "nothing"
        yield error("assumption", about, f"is {word}, and the list of assumptions says {found} of it")
