"""What each run may carry where it lies, and that it carries no more."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.catalogue import bundle_steps
from ribway.router.audit.conductors import ambient_factor, base_amps
from ribway.router.audit.findings import error
from ribway.router.audit.surroundings import Stretch, least_share, stretches

SHARE: Final = 0.01
FACTOR_PLAY: Final = 0.0002
SHARE_PLAY: Final = 0.002


def check_ampacity(book: Book) -> Iterator[Finding]:
    """Base, ambient and bundle factors, and derated ampacity of every run that carries power."""
    around, told = book.once(stretches), set[str]()
    for run in book.plan.runs:
        if run.kind == "data" or run.purpose == "spare":
            continue
        rule = book.bundle_rule_of(run)
        steps = bundle_steps(rule)
        if steps:
            yield from _run(book, run, {1.0} | {step.factor for step in steps}, around[run.id])
        elif rule not in told:
            told.add(rule)
            yield error(
                "unknown-rule", "rules", f"there is no bundle rule {rule}", "33 CFR 183, NEC, IEC 60364 or none"
            )


def _run(book: Book, run: PlanRun, factors: set[float], around: set[Stretch]) -> Iterator[Finding]:
    cable = book.cable_of(run)
    base = base_amps(cable, book.base_of(run))
    if run.derated_a is None and not book.whole(book.circuits[run.circuit]):
        return  # nothing can be sized while part of its circuit has no route
    if base is None or run.derated_a is None:
        yield error(
            "no-ampacity", run.id, f"no ampacity is known of {cable.id}, {cable.size_name}, {cable.insulation_c:g} C"
        )
        return
    if min(abs(run.bundle_factor - factor) for factor in factors) > FACTOR_PLAY:
        listed = ", ".join(f"{factor:g}" for factor in sorted(factors))
        yield error("bundle-factor", run.id, f"bundle factor {run.bundle_factor:g} is none of the rule's: {listed}")
    airs = sorted({leg.ambient_c for leg in run.legs})
    if min(abs(run.ambient_factor - ambient_factor(cable.insulation_c, air)) for air in airs) > FACTOR_PLAY:
        listed = ", ".join(f"{ambient_factor(cable.insulation_c, air):.4f} at {air:g} C" for air in airs)
        yield error("ambient-factor", run.id, f"ambient factor {run.ambient_factor:g}; the formula gives {listed}")
    share_said = run.ambient_factor * run.bundle_factor * run.heat_factor
    product = base * share_said
    if not 0.0 <= run.heat_factor <= 1.0 or (book.plan.rules.derating == "factor" and run.heat_factor != 1.0):
        yield error("heat-factor", run.id, f"heat balance said to leave {run.heat_factor:g} of what it may carry")
    if abs(run.derated_a - product) > SHARE * product + 0.006:
        yield error(
            "derated", run.id,
            f"may carry {run.derated_a:g} A it says; {base:g} A x ambient {run.ambient_factor:g} x bundle "
            f"{run.bundle_factor:g} x heat {run.heat_factor:g} = {product:.2f} A",
        )  # fmt: skip
    share = least_share(book, run, around)
    if share_said > share + SHARE_PLAY or run.derated_a > base * share * (1.0 + SHARE) + 0.006:
        yield error(
            "derating-too-little", run.id,
            f"keeps {share_said:.3f} of its ampacity ({run.derated_a:g} A); air and loaded "
            f"conductors beside it leave {share:.3f} ({base * share:.2f} A)",
        )  # fmt: skip
    if run.design_a > run.derated_a * (1.0 + 1e-6):
        yield error(
            "overload", run.id, f"carries {run.design_a:g} A, may carry {run.derated_a:g} A",
            "a thicker cable, a cooler way or a smaller loom",
        )  # fmt: skip
