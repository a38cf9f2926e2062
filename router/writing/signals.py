"""Data, coax, makers' leads and AC: what is broken of their budgets, and figures for whoever designs the AC."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.electric import PlanBudget
from ribway.models.plan.results import Finding
from ribway.router.circuits.runs import Feed
from ribway.router.writing.budgets import budgets_of, unknown_buses
from ribway.router.writing.outcome import Outcome
from ribway.sizing.ac_information import ac_information
from ribway.sizing.bases import base_table
from ribway.sizing.signals.fixed_lead import lead_reach
from ribway.sizing.signals.links import link_faults


def signal_findings(outcome: Outcome) -> Iterator[Finding]:
    """What is too long, too weak or too low in data circuits; leads that do not reach; figures of AC."""
    for one in budgets_of(outcome):
        yield from _lead(one) if one.kind == "lead" else _broken(outcome, one) if not one.holds else ()
    for runs in unknown_buses(outcome):
        says = "the copper of its cable is not known: take one whose cores are"
        yield _warning("bus-volts", ", ".join(runs), says)
    for feed in outcome.feeds:
        if feed.circuit.kind == "ac" and all(run in outcome.cuts for run in feed.runs):
            yield from _ac(outcome, feed)


def _broken(outcome: Outcome, one: PlanBudget) -> Iterator[Finding]:
    about = ", ".join(one.runs)
    if one.kind == "length":
        for says in link_faults(one.of, one.value):
            yield _warning("link-length", about, says)
    elif one.kind == "loss":
        yield Finding(
            level="warning",
            code="coax-loss",
            about=about,
            message=f"{one.of} loses {one.value:.2f} dB: {one.says}",
            remedy=f"{one.bound:g} dB are allowed: a shorter way, or a cable of less loss",
        )
    else:
        name = outcome.sizer.devices[one.of].name
        yield Finding(
            level="warning",
            code="bus-volts",
            about=about,
            message=f"{name} sees {one.value:.2f} V, it needs {one.bound:g} V: {one.says}",
            remedy="feed the bus nearer, or from both halves, or take thicker cores",
        )


def _lead(one: PlanBudget) -> Iterator[Finding]:
    reach = lead_reach(one.runs[0], one.bound, one.value)
    if reach.reaches:
        yield Finding(level="note", code="lead-coil", about=one.runs[0], message=reach.says, remedy="room for the coil")
        return
    message, _, remedy = reach.says.partition("; ")
    yield Finding(level="error", code="lead-too-short", about=one.runs[0], message=message, remedy=remedy)


def _ac(outcome: Outcome, feed: Feed) -> Iterator[Finding]:
    """Figures of an AC circuit for whoever designs it."""
    rules = outcome.sizer.ac_rules
    weakest: tuple[float, tuple[str, ...]] | None = None
    lost = 0.0
    for run in feed.runs:
        sized, conductor = outcome.sized.get(run), outcome.cable_of[run].conductor
        if sized is None or sized.demand is None or sized.verdict is None or conductor is None:
            return
        about = ac_information(
            conductor, feed.amps, feed.circuit.fuse, outcome.cuts[run].cut_m, feed.volts, sized.demand.stretches, rules
        )
        if weakest is None or about.derated_a < weakest[0]:
            weakest = about.derated_a, about.says
        lost = max(lost, 100.0 * max(sized.verdict.node_lost_v) / feed.volts)
    if weakest is not None:
        licensed, *more = weakest[1]
        rest = f"; {'; '.join(more)}" if more else ""
        yield Finding(
            level="note",
            code="ac-information",
            about=feed.circuit.id,
            message=f"{feed.circuit.name}: {feed.amps:.1f} A in all; {lost:.2f} % lost if all of it is drawn at the far end "
            f"of the worst run, by the rules {rules.name} ({base_table(rules.base).cites}, from memory: to be checked){rest}",
            remedy=licensed,
        )


def _warning(code: str, about: str, says: str) -> Finding:
    message, _, remedy = says.partition(": ") if says.count(": ") == 1 else _from_last(says)
    return Finding(level="warning", code=code, about=about, message=message, remedy=remedy or "see the message")


def _from_last(says: str) -> tuple[str, str, str]:
    """A sentence of several colons is cut at the last."""
    return says.rpartition(": ") if ": " in says else (says, "", "")
