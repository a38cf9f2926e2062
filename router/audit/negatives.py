"""The negative side: one bond, earth points that are allowed, and every current with a way back."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.results import Finding, PlanCircuit
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.wiring import NEGATIVES


def check_negatives(book: Book) -> Iterator[Finding]:
    """Returns of all circuits, and the bond."""
    bonds = [one for one in book.plan.circuits if one.pattern == "bond"]
    if len(bonds) > 1:
        yield error("bonds", bonds[1].id, f"bonds the negative to the body, and so does {bonds[0].id}: one star point")
    for circuit in book.plan.circuits:
        if circuit.pattern == "bond":
            yield from _allowed(book, circuit, circuit.loads[-1])
        if circuit.return_ == "wired":
            if circuit.negative or circuit.earth:
                yield error("return", circuit.id, "comes back in its own cable, and names another way back")
            continue
        negative = book.circuits.get(circuit.negative)
        wanted = "bond" if circuit.return_ == "chassis" else "shared negative"
        if negative is None or negative.pattern != wanted or circuit.pattern in NEGATIVES:
            yield error("return", circuit.id, f"comes back by {circuit.negative or 'nothing'}, which is no {wanted}")
            continue
        if circuit.return_ == "chassis":
            yield from _allowed(book, circuit, circuit.earth)
        elif book.whole(negative) and book.whole(circuit):
            reached = {book.runs[name].to for name in negative.runs}
            missing = [load for load in circuit.loads if load not in reached]
            if missing or negative.source != circuit.source:
                yield error("return", circuit.id, f"{negative.id} does not lead {', '.join(missing) or 'it'} back")


def _allowed(book: Book, circuit: PlanCircuit, earth: str) -> Iterator[Finding]:
    point = book.devices.get(earth)
    if point is None or point.kind != "earth point" or not point.allowed_by_maker:
        yield error(
            "earth-not-allowed", circuit.id, f"goes to {earth or 'no earth point'}, which the vehicle maker is not said to allow",
            "a wired return, or the maker's word for that point",
        )  # fmt: skip
