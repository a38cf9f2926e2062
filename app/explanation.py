"""How a number of the plan came about: a run's length line by line and its size, a circuit's current and fuse."""

from __future__ import annotations

from collections.abc import Iterator

from rich.padding import Padding
from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.nearest import nearest_word
from ribway.models.plan.measuring import way_words
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.models.printed import length
from ribway.reckoning import margin_words, protection_rows, reckoning_parts, volts_parts
from ribway.summary import findings_lines
from ribway.units import amps, carried_amps, fine_length, percent, volts

SAID = frozenset({"inside", "outside", "furniture"})
"""Kinds of way whose place the name alone does not say."""
MEASURED = {
    "computed": "length and way: computed",
    "by hand": "length computed along the ways named by hand",
    "taped": "length taped by hand, no way computed: it fills no opening, and slack and tails are added to the tape's "
    "length; the line in the pictures is a sketch",
}

Part = Table | str | Padding


class UnknownNameError(LookupError):
    """The plan has neither run nor circuit of this name."""


def explanation_parts(plan: Plan, name: str) -> Iterator[Part]:
    """Explain a run, a circuit, or both if they share the name.

    Args:
        plan: the plan.
        name: id of a run or circuit.

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
        yield from findings_lines(tuple(finding for finding in plan.findings if finding.about == name))
    if not circuits and not runs and not unlaid:
        known = [*(run.id for run in plan.runs), *(circuit.id for circuit in plan.circuits)]
        meant = nearest_word(name, known)
        advice = f"did you mean {meant}?" if meant else f"runs are {', '.join(run.id for run in plan.runs)}"
        raise UnknownNameError(f"the plan has no run and no circuit {name}: {advice}")
    for circuit in circuits:
        yield from circuit_parts(plan, circuit)
    for run in runs:
        yield from run_parts(plan, run)


def run_parts(plan: Plan, run: PlanRun) -> Iterator[Part]:
    """Explain a run: its way, its cut length and its size.

    Args:
        plan: the plan.
        run: one of its runs.

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
    bend = f"{bends}, {run.bend_angle_deg:g}° in all; least radius {run.least_bend_radius_mm:g} mm"
    tightest = f", tightest {run.tightest_radius_mm:g} mm" if run.tightest_radius_mm is not None else ""
    yield f"{bend}{tightest}"
    yield ""
    lines = [(line.what, fine_length(line.metres, units)) for line in run.reckoning]
    yield table_of("Cut length", ("", ">"), [*lines, ("cut", fine_length(run.cut_m, units))], head=False)
    yield f"cut: {length(run.cut_m, 'metric')} = {run.cut_feet_inches} = {run.cut_arms}"
    yield f"device to device, one way: {length(run.one_way_m, units)}; there and back: {_both(run, plan)}"
    yield f"straight through the air {length(run.straight_m, units)}, taut along the metal {length(run.taut_m, units)}"
    if run.cut_to_template:
        yield "this size is stiff: cut it to a template on the van, and take the length as an estimate"
    yield ""
    yield from _size(plan, run, cable)


def _named(run: PlanRun) -> str:
    return ", ".join(run.by_hand) or "none, straight through the bay"


def _both(run: PlanRun, plan: Plan) -> str:
    return length(run.there_and_back_m, plan.rules.units)


def _size(plan: Plan, run: PlanRun, cable: PlanCable) -> Iterator[Part]:
    circuit = next((circuit for circuit in plan.circuits if circuit.id == run.circuit), None)
    if circuit is None or run.kind == "data":
        yield clean(f"size {run.size_name}, {run.deciding}")
        return
    own = run.drop_v - circuit.upstream_drop_v
    area = f" ({run.conductor_area_mm2:g} mm2)" if cable.system != "metric" else ""
    rows = [
        ("current at most", amps(run.design_a)),
        ("circuit", f"{circuit.volts:g} V"),
        ("conductor", f"{run.size_name}{area}, {run.cores} of them"),
        ("  for", ", ".join(run.wire_functions)),
        ("  colours", ", ".join(run.wire_colours)),
        ("resistance at 20 °C", f"{1000 * cable.ohm_per_m_20c:.3g} mΩ/m"),
        ("insulation", f"{cable.insulation_c:g} °C"),
        ("lost before the circuit's source", volts(circuit.upstream_drop_v)),
        ("lost from there on", volts(max(0.0, own))),
        ("drop from the source to here", f"{volts(run.drop_v)} = {percent(run.drop_percent)}"),
        ("  limit", percent(run.drop_limit_percent)),
    ]
    if run.drop_limit_percent is not None:
        rows.append(("  margin", margin_words(run.drop_limit_percent - run.drop_percent, "%")))
    rows.extend(
        [
            ("factor for the air's heat", f"{run.ambient_factor:g}"),
            ("factor for loaded neighbours", f"{run.bundle_factor:g}"),
            ("factor of the heat balance", f"{run.heat_factor:g}"),
            ("carries, all factors applied", carried_amps(run.derated_a)),
            ("  fuse", amps(circuit.fuse_a)),
        ]
    )
    if run.derated_a is not None and circuit.fuse_a is not None:
        rows.append(("  margin", margin_words(run.derated_a - circuit.fuse_a, "A")))
    rows.append(("decided by", run.deciding))
    if run.fixed_length_m is not None:
        rows.append(("maker's lead, never cut", length(run.fixed_length_m, plan.rules.units)))
    yield table_of("Size", ("", ">"), rows, head=False)
    yield from reckoning_parts(plan, run, cable, circuit)


def circuit_parts(plan: Plan, circuit: PlanCircuit) -> Iterator[Part]:
    """Explain a circuit: its currents, its fuse and its drop.

    Args:
        plan: the plan.
        circuit: one of its circuits.

    Yields:
        Tables and lines of text.
    """
    names = {device.id: device.name for device in plan.devices}
    loads = ", ".join(names.get(load, load) for load in circuit.loads)
    yield clean(f"Circuit {circuit.id}: {circuit.name}, {circuit.kind}, {circuit.volts:g} V")
    yield clean(f"from {names.get(circuit.source, circuit.source)} to {loads}, pattern {circuit.pattern}")
    if circuit.order:
        yield clean(f"order: {circuit.order}")
    if circuit.supply:
        other = f", but what feeds it gives: {circuit.supply_given}" if circuit.supply_given != circuit.supply else ""
        yield clean(f"power: {circuit.supply}{other}")
    chosen = "given" if circuit.fuse_given else "chosen"
    rows = [("running current", amps(circuit.design_a)), ("starting current", amps(circuit.start_a))]
    if circuit.fuse_a is not None:
        rows.extend(
            [
                ("fuse", f"{amps(circuit.fuse_a)}, {chosen}"),
                ("  at least", amps(circuit.fuse_low_a)),
                ("  at most", carried_amps(circuit.fuse_high_a)),
                ("  rule", plan.rules.fuse_rule),
                ("weakest conductor carries", carried_amps(circuit.weakest_derated_a)),
                ("  bundle rule", plan.rules.bundle_rule),
                *protection_rows(circuit),
            ]
        )
    runs = [run for run in plan.runs if run.circuit == circuit.id]
    missing = [id for id in circuit.runs if id not in {run.id for run in runs}]
    if circuit.kind != "data" and not missing:
        rows.extend(
            [
                ("lost before its source", volts(circuit.upstream_drop_v)),
                ("lost at the worst device", f"{volts(circuit.worst_drop_v)} = {percent(circuit.worst_drop_percent)}"),
                ("  limit", percent(circuit.drop_limit_percent)),
                ("lost there while starting", percent(circuit.start_drop_percent)),
            ]
        )
    yield table_of("Currents, fuse and drop", ("", ">"), rows, head=False)
    units = plan.rules.units
    lines = [
        (run.id, f"{names.get(run.from_, run.from_)} -> {names.get(run.to, run.to)}", run.size_name,
         length(run.cut_m, units), amps(run.design_a), percent(run.drop_percent))
        for run in runs
    ]  # fmt: skip
    yield table_of("Its runs", ("run", "from -> to", "size", "cut>", "current>", "drop>"), lines)
    yield from volts_parts(plan, circuit)
    if missing:
        yield clean(f"without a route: {', '.join(missing)}")
