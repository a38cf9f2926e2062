"""How a number of the plan came about: a run's length line by line and its size, a circuit's current and fuse."""

from __future__ import annotations

from collections.abc import Iterator

from rich.padding import Padding
from rich.table import Table

from ribway.circuit_explanation import budget_parts, circuit_parts
from ribway.console import clean, table_of
from ribway.models.nearest import nearest_word
from ribway.models.plan.measuring import way_words
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanRun
from ribway.models.printed import length, radius_down, radius_up
from ribway.models.rates.rates import Rates
from ribway.reckoning import margin_words, reckoning_parts
from ribway.summary import findings_lines
from ribway.units import amps, carried_amps, fine_length, percent, volts

LED_ROUND = "led-round"
"""Code of the note on a run that goes a longer way so that a thinner cable does."""
SAID = frozenset({"inside", "outside", "furniture"})
"""Kinds of way whose place the name alone does not say."""
MEASURED = {
    "computed": "length and way: computed",
    "by hand": "length computed along the ways named by hand",
    "taped": "length taped by hand, no way computed: it fills no opening, and slack and tails are added to the tape's "
    "length; the line in the pictures is a sketch",
}

Part = Table | str | Padding
NO_RATES = Rates()


class UnknownNameError(LookupError):
    """The plan has neither run nor circuit of this name."""


def explanation_parts(plan: Plan, name: str, rates: Rates = NO_RATES) -> Iterator[Part]:
    """Explain a run, a circuit, or both if they share the name.

    Args:
        plan: the plan.
        name: id of a run or circuit.
        rates: the workshop's prices.

    Yields:
        Tables and lines of text.

    Raises:
        UnknownNameError: there is no such run or circuit; the message names the nearest.
    """
    circuits = [circuit for circuit in plan.circuits if circuit.id == name]
    runs = [run for run in plan.runs if run.id == name]
    unlaid = any(name in circuit.runs for circuit in plan.circuits) and not runs
    if unlaid:
        yield clean(f"Run {name} has no route.")
        yield from findings_lines(
            tuple(finding for finding in plan.findings if name in finding.about.split(", ")), plan.rules.units
        )
    if not circuits and not runs and not unlaid:
        known = [*(run.id for run in plan.runs), *(circuit.id for circuit in plan.circuits)]
        meant = nearest_word(name, known)
        advice = f"did you mean {meant}?" if meant else f"runs are {', '.join(run.id for run in plan.runs)}"
        raise UnknownNameError(f"the plan has no run and no circuit {name}: {advice}")
    for circuit in circuits:
        yield from circuit_parts(plan, circuit)
    for run in runs:
        yield from run_parts(plan, run, rates)


def run_parts(plan: Plan, run: PlanRun, rates: Rates) -> Iterator[Part]:
    """Explain a run: its way, its cut length and its size.

    Args:
        plan: the plan.
        run: one of its runs.
        rates: the workshop's prices.

    Yields:
        Tables and lines of text.
    """
    units = plan.rules.units
    words = {way.id: way_words(way) for way in plan.ways}
    names = {device.id: device.name for device in plan.devices}
    cable = next(cable for cable in plan.cables if cable.id == run.cable)
    pieces = f"{run.pieces} of " if run.pieces > 1 else ""
    ends = f"from {names.get(run.from_, run.from_)} to {names.get(run.to, run.to)}"
    yield clean(f"Run {run.id}: {ends}, {pieces}{cable.name}, loom {run.loom or '-'}")
    legs = [
        (
            leg.kind,
            f"{leg.name} ({words[leg.name]})" if leg.kind in SAID else leg.name,
            leg.lay or "-",
            f"{leg.zone}, {leg.ambient_c:g} °C",
            fine_length(leg.sharp_m, units),
        )
        for leg in run.legs
    ]
    yield clean(MEASURED[run.measured] if run.measured != "by hand" else f"{MEASURED['by hand']}: {_named(run)}")
    yield table_of("Way", ("stretch", "name", "laid", "where", "length>"), legs)
    bends = "1 bend" if run.bends == 1 else f"{run.bends} bends"
    bend = f"{bends}, {run.bend_angle_deg:g}° in all; least radius {radius_up(run.least_bend_radius_mm, units)}"
    tightest = f", tightest {radius_down(run.tightest_radius_mm, units)}" if run.tightest_radius_mm is not None else ""
    yield f"{bend}{tightest}"
    for finding in plan.findings:
        if finding.code == LED_ROUND and finding.about == run.id:
            yield clean(f"{finding.message}; {finding.remedy}")
    yield ""
    lines = [(line.what, fine_length(line.metres, units)) for line in run.reckoning]
    yield table_of("Cut length", ("", ">"), [*lines, ("cut", fine_length(run.cut_m, units))], head=False)
    yield f"cut: {length(run.cut_m, 'metric')} = {run.cut_feet_inches} = {run.cut_arms}"
    yield f"device to device, one way: {length(run.one_way_m, units)}; there and back: {_both(run, plan)}"
    yield f"straight through the air {length(run.straight_m, units)}, taut along the metal {length(run.taut_m, units)}"
    if run.cut_to_template:
        yield "this size is stiff: cut it to a template on the van, and take the length as an estimate"
    yield ""
    yield from _size(plan, run, cable, price_words(run, rates))


def price_words(run: PlanRun, rates: Rates) -> str:
    """What a run's cable costs by the metre of the cheapest reel; empty where the rates have none of it.

    Args:
        run: the run.
        rates: the workshop's prices.
    """
    offers = [(reel.price / reel.length, reel.length) for reel in rates.reels if reel.cable == run.cable]
    if not offers:
        return ""
    per_m, reel_m = min(offers)
    total = per_m * run.cut_m * run.pieces
    return f"{total:.2f} {rates.currency}".rstrip() + f", by the metre of its cheapest reel of {reel_m:g} m"


def _named(run: PlanRun) -> str:
    return ", ".join(run.by_hand) or "none, straight through the bay"


def _both(run: PlanRun, plan: Plan) -> str:
    return length(run.there_and_back_m, plan.rules.units)


def _size(plan: Plan, run: PlanRun, cable: PlanCable, price: str) -> Iterator[Part]:
    circuit = next((circuit for circuit in plan.circuits if circuit.id == run.circuit), None)
    if circuit is None or run.kind == "data":
        yield clean(f"size {run.size_name}, {run.deciding}" if run.cores else "a cord to draw a cable by: no conductor")
        if price:
            yield clean(f"price of the cable: {price}")
        yield from budget_parts(plan, run.id)
        return
    area = f" ({run.conductor_area_mm2:.3g} mm2)" if cable.system != "metric" else ""
    rows = [
        ("current at most", amps(run.design_a)),
        ("circuit", f"{circuit.volts:g} V"),
        ("conductor", f"{run.size_name}{area}, {run.cores} of them"),
        ("  for", ", ".join(run.wire_functions)),
        ("  colours", ", ".join(run.wire_colours)),
        ("insulation", f"{cable.insulation_c:g} °C"),
        ("drop from the source to here", f"{volts(run.drop_v)} = {percent(run.drop_percent)}"),
        ("  limit", percent(run.drop_limit_percent)),
    ]
    if run.drop_limit_percent is not None:
        rows.append(("  left", margin_words(run.drop_limit_percent - run.drop_percent, "%")))
    rows.append(("carries where it lies", carried_amps(run.derated_a)))
    if run.derated_a is not None and circuit.fuse_a is not None:
        rows.append(("  its fuse", amps(circuit.fuse_a)))
        rows.append(("  left", margin_words(run.derated_a - circuit.fuse_a, "A")))
    if cable.held:
        rows.append(("its reel, as it really is", cable.held))
    rows.append(("decided by", run.deciding))
    if run.fixed_length_m is not None:
        rows.append(("maker's lead, never cut", length(run.fixed_length_m, plan.rules.units)))
    if price:
        rows.append(("price of the cable", price))
    yield table_of("Size", ("", ">"), rows, head=False)
    yield from reckoning_parts(plan, run, circuit)
