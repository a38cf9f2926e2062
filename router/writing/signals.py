"""Data, coax, makers' leads and AC: budgets held, and what is broken of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ribway.models.plan.results import Finding
from ribway.router.drawn import own_amps
from ribway.router.runs import Feed
from ribway.router.writing.outcome import Outcome
from ribway.sizing.ac_information import ac_information
from ribway.sizing.resistance import hot_ohm_per_m
from ribway.sizing.rules import rule_set
from ribway.sizing.signals.coax import coax_budget, coax_named
from ribway.sizing.signals.fixed_lead import lead_reach
from ribway.sizing.signals.links import link_faults
from ribway.sizing.signals.powered_bus import bus_volts

LINES = frozenset({"chain", "stated"})
"""Patterns in which one cable goes on from device to device."""


def signal_findings(outcome: Outcome) -> Iterator[Finding]:
    """What is too long, too weak or too low in data circuits; leads that do not reach; figures of AC."""
    for feed in outcome.feeds:
        if any(run not in outcome.cuts for run in feed.runs):
            continue
        if feed.circuit.kind == "data":
            yield from _data(outcome, feed)
        elif feed.circuit.kind == "ac":
            yield from _ac(outcome, feed)
    yield from _leads(outcome)


def _ways(outcome: Outcome, feed: Feed) -> list[tuple[str, ...]]:
    """Runs that make one link: all of a chain, or each home run by itself."""
    if feed.circuit.pattern in LINES:
        return [feed.runs]
    return [(run,) for run in feed.runs]


def _data(outcome: Outcome, feed: Feed) -> Iterator[Finding]:
    circuit = feed.circuit
    for runs in _ways(outcome, feed):
        long_m = [outcome.cuts[run].cut_m for run in runs]
        if circuit.link is not None:
            for says in link_faults(circuit.link, sum(long_m)):
                yield _warning("link-length", ", ".join(runs), says)
        if circuit.coax is not None and circuit.frequency is not None and circuit.loss_allowed is not None:
            budget = coax_budget(
                coax_named(circuit.coax), sum(long_m), circuit.frequency, circuit.loss_allowed, 2 * len(runs)
            )
            if not budget.holds:
                yield _warning(
                    "coax-loss",
                    ", ".join(runs),
                    f"{circuit.coax} of {sum(long_m):.2f} m loses {budget.lost_db:.2f} dB at {circuit.frequency:g} MHz, plugs "
                    f"counted; {budget.allowed_db:g} dB are allowed: {budget.longest_m:.2f} m at most, or a cable of less loss",
                )
        if circuit.bus_least_volts is not None:
            yield from _bus(outcome, feed, runs, long_m, circuit.bus_least_volts)


def _bus(
    outcome: Outcome, feed: Feed, runs: Sequence[str], long_m: Sequence[float], least_v: float
) -> Iterator[Finding]:
    devices, by_id = outcome.sizer.devices, outcome.run_by_id
    conductor = outcome.cable_of[runs[0]].conductor
    volts = feed.circuit.volts or outcome.project.shop.volts
    if conductor is None:
        yield _warning("bus-volts", ", ".join(runs), "the copper of its cable is not known: take one whose cores are")
        return
    drawn = [own_amps(devices[by_id[run].b], volts)[0] for run in runs]
    bus = bus_volts(volts, hot_ohm_per_m(conductor, conductor.insulation_c), long_m, drawn, least_v)
    if bus.fails_at is not None:
        name = devices[by_id[runs[bus.fails_at]].b].name
        yield _warning(
            "bus-volts",
            ", ".join(runs),
            f"{name} sees {bus.volts[bus.fails_at]:.2f} V of the {volts:g} V fed, it needs {least_v:g} V: feed the bus "
            "nearer, or from both halves, or take thicker cores",
        )


def _leads(outcome: Outcome) -> Iterator[Finding]:
    """Leads of fixed length against their ways."""
    for run, lead_m in fixed_lengths(outcome).items():
        if run not in outcome.cuts:
            continue
        reach = lead_reach(run, lead_m, outcome.cuts[run].cut_m)
        says = reach.says.partition("; ")
        if reach.reaches:
            yield Finding(level="note", code="lead-coil", about=run, message=reach.says, remedy="room for the coil")
        else:
            yield Finding(
                level="warning", code="lead-too-short", about=run, message=says[0], remedy=says[2] or "move a device"
            )


def fixed_lengths(outcome: Outcome) -> dict[str, float]:
    """Length of makers' leads by run [m]."""
    said = {
        (entry.circuit, entry.a, entry.b): entry.fixed_length
        for entry in outcome.project.runs
        if entry.fixed_length is not None
    }
    lengths = {run.id: said.get((run.circuit, run.a, run.b)) for run in outcome.runs}
    return {run: length for run, length in lengths.items() if length is not None}


def _ac(outcome: Outcome, feed: Feed) -> Iterator[Finding]:
    """Figures of an AC circuit for whoever designs it."""
    rules = rule_set("NEC-AC")
    weakest: tuple[float, float, tuple[str, ...]] | None = None
    lost = 0.0
    for run in feed.runs:
        sized, conductor = outcome.sized.get(run), outcome.cable_of[run].conductor
        if sized is None or sized.demand is None or conductor is None:
            return
        about = ac_information(
            conductor, feed.amps, feed.circuit.fuse, outcome.cuts[run].cut_m, feed.volts, sized.demand.stretches, rules
        )
        lost = max(lost, about.drop_percent)
        if weakest is None or about.derated_a < weakest[0]:
            weakest = about.derated_a, about.drop_percent, about.says
    if weakest is not None:
        licensed, *more = weakest[2]
        rest = f"; {'; '.join(more)}" if more else ""
        carries = f"its weakest cable may carry {weakest[0]:.1f} A where it lies (NEC 310.16)"
        if weakest[0] <= 0.0:
            carries = "NEC 310.16 has no value for its weakest cable where it lies"
            rest = ""
        yield Finding(
            level="note",
            code="ac-information",
            about=feed.circuit.id,
            message=f"{feed.circuit.name}: {feed.amps:.1f} A flow, {carries}, {lost:.2f} % lost in its longest{rest}",
            remedy=licensed,
        )


def _warning(code: str, about: str, says: str) -> Finding:
    message, _, remedy = says.partition(": ") if says.count(": ") == 1 else _from_last(says)
    return Finding(level="warning", code=code, about=about, message=message, remedy=remedy or "see the message")


def _from_last(says: str) -> tuple[str, str, str]:
    """A sentence of several colons is cut at the last."""
    return says.rpartition(": ") if ": " in says else (says, "", "")
