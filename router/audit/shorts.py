"""Shorts: what a fuse has to break, and what a short at the far end of a run still draws."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanCircuit
from ribway.router.audit.book import Book
from ribway.router.audit.catalogue import fuse_kinds, fuse_ohm
from ribway.router.audit.findings import error
from ribway.router.audit.fuses import MOST_OF_AMPACITY
from ribway.router.audit.short_heat import heat_findings
from ribway.router.audit.sources import driving, fed_from_behind, weakest_ohm
from ribway.router.audit.volts import Tree

CHARGING: Final = 1.2
"""Highest over nominal voltage: common practice, no source."""
TWICE: Final = 2.0
"""A short is asked to draw twice the fuse's rating (ISO 8820-3)."""
OPENS_FROM: Final = 1.35
"""Below this many times its rating a fuse need not open at all (ISO 8820-3 and 8820-5)."""
SHARE: Final = 0.01


def check_shorts(book: Book) -> Iterator[Finding]:
    """Every DC fuse: its kind and what it breaks, the short at it, the short at the far end of its runs."""
    tree = book.once(Tree)
    for circuit in book.plan.circuits:
        if circuit.kind == "dc" and circuit.fuse_a is not None and book.whole(circuit) and circuit.fuse_kind:
            yield from _breaks(book, circuit)
            yield from _near(book, circuit, tree)
            yield from _far(book, circuit, tree)
    yield from _behind(book, tree)


def _behind(book: Book, tree: Tree) -> Iterator[Finding]:
    """Cables that a battery behind their board can feed: they bear the fuses on its way, or an error says so."""
    most = MOST_OF_AMPACITY.get(book.plan.rules.fuse_rule, 1.0)
    told = [one.about for one in book.plan.findings if one.code == "step-down" and one.level == "error"]
    for name, battery, amps in fed_from_behind(tree):
        bears = most * (book.runs[name].derated_a or 0.0)
        if amps > bears * (1.0 + SHARE) and not any(f"{name} (from {battery})" in about for about in told):
            yield error(
                "fed-from-behind", name,
                f"{battery} behind it can drive {amps:g} A through its fuses into it; it bears {bears:.2f} A, and no error "
                "says so",
            )  # fmt: skip


def _told(book: Book, code: str, name: str, *, as_error: bool) -> bool:
    return any(
        one.code == code and name in one.about.split(", ") and (one.level == "error" or not as_error)
        for one in book.plan.findings
    )


def _can(kind: str, volts: float) -> float:
    """What a kind of fuse breaks at a system's highest voltage [A]."""
    return max((amps for most_v, amps in fuse_kinds().get(kind, ()) if most_v >= CHARGING * volts), default=0.0)


def _breaks(book: Book, circuit: PlanCircuit) -> Iterator[Finding]:
    can, said = _can(circuit.fuse_kind, circuit.volts), circuit.fuse_breaks_a or 0.0
    if not circuit.fuse_breaks_given and said > can * (1.0 + SHARE):
        yield error(
            "fuse-breaks", circuit.id,
            f"a {circuit.fuse_kind or 'nameless'} fuse is said to break {said:g} A; the table has {can:g} A at "
            f"{CHARGING * circuit.volts:g} V",
        )  # fmt: skip
    backed = _backed_a(book, circuit)
    if (circuit.fuse_backed_to_a or 0.0) > backed * (1.0 + SHARE):
        yield error(
            "fuse-backed", circuit.id,
            f"said to stand {circuit.fuse_backed_to_a:g} A behind {circuit.fuse_backed_by or 'no fuse'}; what its board and "
            f"that fuse say comes to {backed:g} A",
        )  # fmt: skip
    holds = max(said, backed)
    near = circuit.short_near_a
    told = _told(book, "breaking-capacity", circuit.source, as_error=True) or _sun(book, circuit)
    if near is not None and near > holds and not told:
        yield error(
            "breaking-untold", circuit.id,
            f"a short drives {near:g} A through a fuse that breaks {holds:g} A, and no error says so",
        )  # fmt: skip


def _backed_a(book: Book, circuit: PlanCircuit) -> float:
    """Up to which short the fuse before a board makes the board's own safe, as their maker says [A]."""
    board = book.devices[circuit.source]
    feeder = book.circuits.get(circuit.fuse_backed_by)
    if feeder is None or board.id not in feeder.loads or board.backed_to_a is None or feeder.fuse_a is None:
        return 0.0
    strong = feeder.short_near_a is not None and (feeder.fuse_breaks_a or 0.0) >= feeder.short_near_a
    small = feeder.fuse_a <= (board.backed_fuse_a or 0.0) and feeder.fuse_kind == board.backed_kind
    return board.backed_to_a if strong and small else 0.0


def _sun(book: Book, circuit: PlanCircuit) -> bool:
    """Whether a solar field stands at its head."""
    head = book.devices[circuit.source]
    return head.kind == "source" and head.gives_a is not None


def _near(book: Book, circuit: PlanCircuit, tree: Tree) -> Iterator[Finding]:
    found, amps = driving(tree, circuit)
    said = circuit.short_near_a
    if amps is None:
        if said is not None:
            yield error("short-near", circuit.id, "a short is stated, and the battery behind it is not known")
        return
    if said is None and found.by_plate_a > 0.0 and not found.batteries:
        return  # what a charger gives is guessed from its plate, and a plan may say that it is not known
    if said is None or abs(said - amps) > SHARE * amps + found.by_plate_a:
        count = len(found.batteries)
        with_all = (
            f" with {count} batteries and {found.given_a:g} A of what charges" if count > 1 or found.given_a else ""
        )
        yield error(
            "short-near", circuit.id, f"a short at its fuse said to draw {said} A; it draws {amps:.1f} A{with_all}"
        )


def _far(book: Book, circuit: PlanCircuit, tree: Tree) -> Iterator[Finding]:
    fuse = circuit.fuse_a or 0.0
    head = book.devices[tree.heads[circuit.runs[0]]]
    if head.kind == "charger" or (head.kind == "source" and head.gives_a is not None):
        return  # what the sun or a charger drives need not open a fuse: the cable carries more than its fuse
    inside = fuse_ohm(circuit.fuse_kind, fuse)
    far = {
        name: circuit.volts / (inside + weakest_ohm(tree, circuit, name))
        for name in circuit.runs
        if circuit.return_ != "chassis" or book.runs[name].to == circuit.earth
    }
    yield from heat_findings(book, circuit, far)
    least = min(far.values())
    if circuit.short_far_a is None or abs(circuit.short_far_a - least) > SHARE * least:
        yield error(
            "short-far",
            circuit.id,
            f"a short at a far end said to draw {circuit.short_far_a} A; it draws {least:.2f} A",
        )
    for name, amps in far.items():
        never = amps < OPENS_FROM * fuse * (1.0 - SHARE)
        if amps < TWICE * fuse * (1.0 - SHARE) and not _told(book, "far-end-short", name, as_error=never):
            yield error(
                "far-short-untold", name,
                f"a short at its end draws {amps:.2f} A, its fuse is of {fuse:g} A, and no "
                f"{'error' if never else 'finding'} says so",
            )  # fmt: skip
