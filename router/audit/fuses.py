"""Fuses: at least the load with a margin, at most what the weakest conductor behind them may carry."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanCircuit
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error, warning
from ribway.router.audit.wiring import NEGATIVES

LOAD_FACTOR: Final = 1.25
"""Continuous load and a quarter: common practice, no source."""
MOST_OF_AMPACITY: Final = {"careful": 1.0, "33 CFR 183 limit": 1.5}
"""100 % of the derated ampacity; 150 % is the legal maximum of 33 CFR 183.455 below 50 V."""
SHARE: Final = 1e-6
PLAY_A: Final = 0.006


def check_fuses(book: Book) -> Iterator[Finding]:
    """Every circuit's fuse against its load and every run behind it."""
    most = MOST_OF_AMPACITY.get(book.plan.rules.fuse_rule)
    if most is None:
        yield error(
            "unknown-rule", "rules", f"there is no fuse rule {book.plan.rules.fuse_rule}", "careful or 33 CFR 183 limit"
        )
        return
    for circuit in book.plan.circuits:
        if circuit.pattern in NEGATIVES and book.whole(circuit):
            yield from _negative(book, circuit, most)
        elif circuit.kind == "dc" and book.whole(circuit):
            yield from _dc(book, circuit, most)
        elif circuit.kind == "ac" and circuit.fuse_a is not None:
            yield from _ac(book, circuit, circuit.fuse_a)


def _dc(book: Book, circuit: PlanCircuit, most: float) -> Iterator[Finding]:
    ratings = {name: book.runs[name].derated_a for name in circuit.runs}
    known = [rating for rating in ratings.values() if rating is not None]
    weakest = min(known, default=0.0)
    if circuit.weakest_derated_a is None or abs(circuit.weakest_derated_a - weakest) > PLAY_A:
        yield error(
            "weakest",
            circuit.id,
            f"weakest conductor said to carry {circuit.weakest_derated_a} A; its runs say {weakest:g} A",
        )
    fuse, least = circuit.fuse_a, circuit.design_a * LOAD_FACTOR
    if fuse is None:
        if circuit.design_a > 0.0:
            yield error(
                "no-fuse", circuit.id, f"carries {circuit.design_a:g} A and has no fuse", "a fuse close to its source"
            )
        return
    if fuse < least * (1.0 - SHARE) - PLAY_A:
        yield error(
            "fuse-below-load", circuit.id, f"fuse {fuse:g} A; at least {least:.2f} A for {circuit.design_a:g} A running, "
            f"{circuit.start_a:g} A starting",
            "the next larger fuse that the wire allows",
        )  # fmt: skip
    for name, rating in ratings.items():
        if rating is None or fuse > most * rating * (1.0 + SHARE) + PLAY_A:
            allowed = "nothing known" if rating is None else f"{most * rating:.2f} A"
            yield error(
                "fuse-above-wire", name, f"behind a fuse of {fuse:g} A, which may be {allowed} at most here",
                "a thicker cable to its thinnest tail, or a smaller fuse of its own",
            )  # fmt: skip
    if circuit.load_can_feed:
        far = circuit.far_fuse_a
        if far is None or far < least * (1.0 - SHARE) - PLAY_A or far > most * weakest * (1.0 + SHARE) + PLAY_A:
            told = any(one.code == "step-down" and one.level == "error" for one in book.plan.findings)
            if far is None or not told:
                yield error(
                    "far-fuse", circuit.id,
                    f"its far end can feed it, with a fuse of {far} A there; {least:.2f} to {most * weakest:.2f} A are right",
                )  # fmt: skip
    # A fuse that the planner chooses may be chosen to carry the starting current too.
    lows = (least, max(least, circuit.start_a))
    if (
        all(abs(circuit.fuse_low_a - low) > PLAY_A for low in lows)
        or abs(circuit.fuse_high_a - most * weakest) > 2.0 * PLAY_A
    ):
        yield error(
            "fuse-window", circuit.id,
            f"window said to be {circuit.fuse_low_a:g} to {circuit.fuse_high_a:g} A; "
            f"it is {least:.2f} to {most * weakest:.2f} A",
        )  # fmt: skip


def _negative(book: Book, circuit: PlanCircuit, most: float) -> Iterator[Finding]:
    """No fuse is in it: it carries what all fuses of its circuits let through."""
    if circuit.fuse_a is not None:
        yield error("fused-negative", circuit.id, f"has a fuse of {circuit.fuse_a:g} A, and only leads current back")
    served = [one for one in book.plan.circuits if one.negative == circuit.id]
    fuses = sum(one.fuse_a or 0.0 for one in served)
    for name in circuit.runs:
        rating = book.runs[name].derated_a
        if fuses > most * (rating or 0.0) * (1.0 + SHARE) + PLAY_A:
            yield error(
                "negative-too-thin", name, f"may carry {rating or 0.0:g} A; the fuses of its circuits let {fuses:g} A pass",
                "a thicker negative, or fewer circuits that share it",
            )  # fmt: skip


def _ac(book: Book, circuit: PlanCircuit, fuse: float) -> Iterator[Finding]:
    """AC is designed by someone else: the plan only says what does not look right."""
    for name in circuit.runs:
        rating = book.runs[name].derated_a if name in book.runs else None
        if rating is not None and fuse > rating + PLAY_A:
            yield warning(
                "ac-breaker", name, f"behind a breaker of {fuse:g} A may carry {rating:g} A where it lies",
                "ask the licensed person who designs the AC",
            )  # fmt: skip
