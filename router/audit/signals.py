"""Budgets of data circuits: lengths, decibels and volts reckoned anew, and that what is broken is told."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from ribway.models.plan.electric import PlanBudget
from ribway.models.plan.results import Finding
from ribway.router.audit.book import Book
from ribway.router.audit.catalogue import coax_losses, link_lengths
from ribway.router.audit.conductors import hot
from ribway.router.audit.drop import cold_ohm
from ribway.router.audit.findings import error

PLUG_DB: Final = 0.2
"""Loss of a sound plug: common practice, no source."""
SHARE: Final = 0.002
PLAY: Final = 0.006
TOLD: Final = {"length": "link-length", "loss": "coax-loss", "volts": "bus-volts", "lead": "lead-too-short"}


def check_signals(book: Book) -> Iterator[Finding]:
    """Every budget against its own figures, and against its bound."""
    for one in book.plan.budgets:
        if not all(name in book.runs for name in one.runs) or not one.runs or one.circuit not in book.circuits:
            yield error(
                "budget-runs", one.circuit, f"a budget of {', '.join(one.runs) or 'nothing'}: not laid, or unknown"
            )
            continue
        found = _found(book, one)
        if found is None or abs(found - one.value) > SHARE * abs(found) + PLAY:
            yield error(
                "budget",
                one.circuit,
                f"{one.kind} of {', '.join(one.runs)} said to be {one.value:g} {one.unit}; it is {found}",
            )
            continue
        bound = _bound(book, one)
        if bound is not None and abs(bound - one.bound) > SHARE * bound:
            yield error(
                "budget-bound", one.circuit, f"{one.of} is said to allow {one.bound:g} {one.unit}; it is {bound:g}"
            )
        over = found - one.bound if one.kind != "volts" else one.bound - found
        names = {name for told in book.plan.findings if told.code == TOLD[one.kind] for name in told.about.split(", ")}
        if over > SHARE * one.bound + PLAY and not set(one.runs) <= names:
            yield error(
                "budget-untold", one.circuit,
                f"{one.kind} of {', '.join(one.runs)} is {found:.3f} {one.unit}, {one.bound:g} allowed, and nothing says so",
            )  # fmt: skip


def _bound(book: Book, one: PlanBudget) -> float | None:
    if one.kind == "length":
        return link_lengths().get(one.of, 0.0)
    return book.runs[one.runs[0]].fixed_length_m or 0.0 if one.kind == "lead" else None


def _found(book: Book, one: PlanBudget) -> float | None:
    long_m = sum(book.runs[name].cut_m for name in one.runs)
    if one.kind in ("length", "lead"):
        return long_m
    if one.kind == "loss":
        return _lost_db(one, long_m)
    return _least_v(book, one)


def _lost_db(one: PlanBudget, long_m: float) -> float | None:
    """Skin effect grows with the root of the frequency, the dielectric with it: a line in root f through two points."""
    losses = coax_losses().get(one.of)
    if losses is None or one.frequency_mhz is None or one.plugs != 2 * len(one.runs):
        return None
    # loss / sqrt(f) = a + b sqrt(f)
    (x0, y0), (x1, y1) = ((math.sqrt(f), loss / math.sqrt(f)) for f, loss in zip((100.0, 1000.0), losses, strict=True))
    root = math.sqrt(one.frequency_mhz)
    per_100m = root * (y0 + (y1 - y0) / (x1 - x0) * (root - x0))
    return per_100m * long_m / 100.0 + one.plugs * PLUG_DB


def _least_v(book: Book, one: PlanBudget) -> float | None:
    """The least volts on a bus: what each piece loses is the current of all behind it."""
    runs = [book.runs[name] for name in one.runs]
    cable = book.cable_of(runs[0])
    ohm = cold_ohm(cable)
    if ohm <= 0.0 or len(one.drawn_a) != len(runs):
        return None
    drawn = one.drawn_a
    volts, least = book.circuits[one.circuit].volts, math.inf
    for place, run in enumerate(runs):
        volts -= 2.0 * run.cut_m * hot(cable, ohm, cable.insulation_c) * sum(drawn[place:])
        least = min(least, volts)
    return least
