"""Budgets of data circuits: how long a link is, what a coax loses, the volts along a bus, whether a maker's lead reaches."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ribway.models.plan.electric import PlanBudget
from ribway.router.circuits.drawn import own_amps
from ribway.router.circuits.runs import Feed
from ribway.router.writing.outcome import Outcome
from ribway.sizing.resistance import hot_ohm_per_m
from ribway.sizing.signals.coax import CONNECTOR_DB, coax_budget, coax_db_per_m, coax_named
from ribway.sizing.signals.links import data_link
from ribway.sizing.signals.powered_bus import bus_volts

LINES = frozenset({"chain", "stated"})
"""Patterns in which one cable goes on from device to device."""
ENDS_OF_A_RUN = 2


def budgets_of(outcome: Outcome) -> tuple[PlanBudget, ...]:
    """All budgets of circuits that are laid as a whole.

    Args:
        outcome: what was decided.
    """
    out: list[PlanBudget] = []
    for feed in outcome.feeds:
        if feed.circuit.kind == "data" and all(run in outcome.cuts for run in feed.runs):
            for runs in _ways(feed):
                out += [*_link(outcome, feed, runs), *_coax(outcome, feed, runs), *_bus(outcome, feed, runs)]
    return (*out, *_leads(outcome))


def fixed_lengths(outcome: Outcome) -> dict[str, float]:
    """Length of makers' leads by run [m]."""
    said = {
        (entry.circuit, entry.a, entry.b): entry.fixed_length
        for entry in outcome.project.runs
        if entry.fixed_length is not None
    }
    lengths = {run.id: said.get((run.circuit, run.a, run.b)) for run in outcome.runs}
    return {run: length for run, length in lengths.items() if length is not None}


def _ways(feed: Feed) -> list[tuple[str, ...]]:
    """Runs that make one link: all of a chain, or each home run by itself."""
    return [tuple(feed.runs)] if feed.circuit.pattern in LINES else [(run,) for run in feed.runs]


def _long_m(outcome: Outcome, runs: Sequence[str]) -> float:
    return sum(outcome.cuts[run].cut_m for run in runs)


def _link(outcome: Outcome, feed: Feed, runs: tuple[str, ...]) -> Iterator[PlanBudget]:
    name = feed.circuit.link
    if name is not None:
        yield PlanBudget(
            kind="length",
            circuit=feed.circuit.id,
            runs=runs,
            of=name,
            value=round(_long_m(outcome, runs), 4),
            bound=data_link(name).longest_m,
            sense="at most",
            unit="m",
            says="cut lengths from end to end, slack and coils in them",
        )


def _coax(outcome: Outcome, feed: Feed, runs: tuple[str, ...]) -> Iterator[PlanBudget]:
    said = feed.circuit
    if said.coax is None or said.frequency is None or said.loss_allowed is None:
        return
    cable, plugs, long_m = coax_named(said.coax), ENDS_OF_A_RUN * len(runs), _long_m(outcome, runs)
    budget = coax_budget(cable, long_m, said.frequency, said.loss_allowed, plugs)
    yield PlanBudget(
        kind="loss",
        circuit=said.id,
        runs=runs,
        of=said.coax,
        value=round(budget.lost_db, 4),
        bound=said.loss_allowed,
        sense="at most",
        unit="dB",
        frequency_mhz=said.frequency,
        plugs=plugs,
        says=f"{long_m:.2f} m x {coax_db_per_m(cable, said.frequency):.4f} dB/m at {said.frequency:g} MHz + {plugs} plugs x "
        f"{CONNECTOR_DB:g} dB; {budget.arrives_percent:.0f} % of the power arrives; {budget.longest_m:.2f} m would be the most",
    )


def _bus(outcome: Outcome, feed: Feed, runs: tuple[str, ...]) -> Iterator[PlanBudget]:
    least_v, conductor = feed.circuit.bus_least_volts, outcome.cable_of[runs[0]].conductor
    if least_v is None or conductor is None:
        return
    devices = [outcome.sizer.devices[outcome.run_by_id[run].b] for run in runs]
    feed_v = feed.circuit.volts or outcome.project.shop.volts
    amps = [own_amps(device, feed_v)[0] for device in devices]
    ohm_per_m = hot_ohm_per_m(conductor, conductor.insulation_c)
    bus = bus_volts(feed_v, ohm_per_m, [outcome.cuts[run].cut_m for run in runs], amps, least_v)
    worst = min(range(len(runs)), key=lambda place: bus.volts[place])
    yield PlanBudget(
        kind="volts",
        circuit=feed.circuit.id,
        runs=runs,
        of=devices[worst].id,
        value=round(bus.volts[worst], 4),
        bound=least_v,
        sense="at least",
        unit="V",
        drawn_a=tuple(round(one, 4) for one in amps),
        says=f"{feed_v:g} V less what {1000 * ohm_per_m:.2f} mohm/m there and back lose to {sum(amps):g} A in all",
    )


def unknown_buses(outcome: Outcome) -> Iterator[tuple[str, ...]]:
    """Runs of buses of whose copper nothing is known, so that no volts can be reckoned."""
    for feed in outcome.feeds:
        if feed.circuit.bus_least_volts is not None and all(run in outcome.cuts for run in feed.runs):
            for runs in _ways(feed):
                if outcome.cable_of[runs[0]].conductor is None:
                    yield runs


def _leads(outcome: Outcome) -> Iterator[PlanBudget]:
    for run, lead_m in fixed_lengths(outcome).items():
        if run in outcome.cuts:
            yield PlanBudget(
                kind="lead",
                circuit=outcome.run_by_id[run].circuit,
                runs=(run,),
                of="",
                value=round(outcome.cuts[run].cut_m, 4),
                bound=lead_m,
                sense="at most",
                unit="m",
                says="what its way needs with slack and tails, against the maker's lead, which is never cut or extended",
            )
