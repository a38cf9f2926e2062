"""A plan at a glance, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from rich.console import Console
from rich.padding import Padding
from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.chances import chance_text, runs_text
from ribway.models.plan.bound import bound_words
from ribway.models.plan.measuring import measured_note
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.models.plan.shell import PlanOpening
from ribway.models.plan.unconfirmed import LEGEND, Unconfirmed, marked, open_assumptions, unconfirmed
from ribway.models.printed import Units, in_shops_units, length, mass, size_down, size_up
from ribway.units import amps, carried_amps, percent, volts

FULLEST_SHOWN = 5
ALIKE_SHOWN = 3
MEASURE_SHOWN = 5
LEAST_GAIN = 0.0005
Level = Literal["error", "warning", "note"]
_LEVELS: tuple[tuple[Level, str], ...] = (("error", "Not safe"), ("warning", "Take care"), ("note", "To know"))


def print_summary(plan: Plan, console: Console) -> None:
    """Print totals, runs, circuits, the fullest openings, and findings.

    Args:
        plan: the plan.
        console: where to.
    """
    for part in summary_parts(plan):
        console.print(part)


def summary_parts(plan: Plan) -> Iterator[Table | str | Padding]:
    """The summary, part by part.

    Args:
        plan: the plan.

    Yields:
        Tables and lines of text.
    """
    variant = f", {plan.alternative}" if plan.alternative else ""
    yield clean(f"{plan.name}{variant}, revision {plan.revision}: {plan.shell}")
    if not plan.complete:
        yield "NOT READY: this plan is not complete. Nothing may be cut by it."
    still = unconfirmed(plan)
    yield totals_table(plan)
    if plan.bound is not None:
        yield clean(bound_words(plan.bound, plan.rules.units))
        yield ""
    yield runs_table(plan, still)
    yield clean(measured_note(plan))
    yield circuits_table(plan, still)
    yield openings_table(plan)
    yield from assumed_parts(plan)
    yield from findings_lines(plan.findings, plan.rules.units)


def totals_table(plan: Plan) -> Table:
    """The sums over a plan."""
    totals, units = plan.totals, plan.rules.units
    worst = f"{percent(totals.worst_drop_percent)} ({volts(totals.worst_drop_v)}), {totals.worst_drop_run or '-'}"
    fullest = f"{totals.fullest_opening or '-'}, {percent(totals.fullest_percent)} full"
    rows = [
        ("Copper", mass(totals.copper_kg, units), "Cable, cut lengths", length(totals.cable_m, units)),
        ("  mains", mass(totals.copper_mains_kg, units), "Draw cord, cut lengths", length(totals.draw_cord_m, units)),
        ("  circuits", mass(totals.copper_circuits_kg, units), "Looms, along them", length(totals.loom_m, units)),
        ("  spares", mass(totals.copper_spares_kg, units), "Openings used", str(totals.openings_used)),
        ("  of it tails, slack", mass(totals.copper_tails_kg, units), "Fullest opening", fullest),
        ("  of it AC", mass(totals.copper_ac_kg, units), "Holes to drill", str(totals.holes_drilled)),
        ("Runs, draw cords too", str(totals.runs), "Bends", str(totals.bends)),
        ("", "", "Worst drop", worst),
    ]
    if totals.other_metal_kg > 0.0:
        rows.append(("Aluminium besides", mass(totals.other_metal_kg, units), "", ""))
    return table_of("Totals", ("", ">", "", ">"), rows, head=False)


def runs_table(plan: Plan, still: Unconfirmed) -> Table:
    """Every run: ends, cable, lengths, bends, drop, chance of being short; what is assumed is marked."""
    names = {device.id: marked(device.name, device.id in still.places) for device in plan.devices}
    cables = {cable.id: marked(cable.name, cable.assumed) for cable in plan.cables}
    units = plan.rules.units
    rows = []
    for run in plan.runs:
        pieces = f"{run.pieces} of " if run.pieces > 1 else ""
        drop = percent(run.drop_percent) if run.kind != "data" and run.purpose != "spare" else "-"
        rows.append(
            (
                run.id,
                f"{names.get(run.from_, run.from_)} -> {names.get(run.to, run.to)}",
                f"{pieces}{cables.get(run.cable, run.cable)}",
                length(run.one_way_m, units),
                length(run.cut_m, units),
                str(run.bends),
                drop,
                chance_text(run.short_chance, "-"),
            )
        )
    return table_of("Runs", ("run", "from -> to", "cable", "one way>", "cut>", "bends>", "drop>", "short>"), rows)


def circuits_table(plan: Plan, still: Unconfirmed) -> Table:
    """Every circuit with its currents and fuse."""
    rows = []
    for circuit in plan.circuits:
        given = " (given)" if circuit.fuse_given else ""
        fuse = f"{amps(circuit.fuse_a)}{given}" if circuit.fuse_a is not None else "none"
        known = circuit.kind != "data" and any(run.circuit == circuit.id for run in plan.runs)
        drop = percent(circuit.worst_drop_percent) if known else "-"
        rows.append(
            (
                circuit.id,
                circuit.name,
                circuit.kind,
                marked(amps(circuit.design_a), circuit.id in still.circuit_amps),
                marked(amps(circuit.start_a), circuit.id in still.circuit_starts),
                marked(fuse, circuit.id in still.fuses),
                carried_amps(circuit.weakest_derated_a),
                drop,
            )
        )
    columns = ("circuit", "feeds", "kind", "runs at>", "starts at>", "fuse>", "wire carries>", "drop>")
    return table_of("Circuits", columns, rows)


def openings_table(plan: Plan) -> Table:
    """The openings that are nearest to their fill limits."""
    used = [opening for opening in plan.openings if opening.runs]
    units = plan.rules.units
    used.sort(key=lambda opening: (-opening.fill_percent / opening.fill_limit_percent, opening.id))
    rows = [
        (
            marked(opening.id, opening.state == "assumed"),
            opening.state,
            clear_size(opening, units),
            size_up(opening.bundle_diameter_mm, units),
            percent(opening.fill_percent),
            percent(opening.fill_limit_percent),
            ", ".join(opening.runs),
        )
        for opening in used[:FULLEST_SHOWN]
    ]
    title = f"Fullest openings ({len(rows)} of {len(used)} used)"
    return table_of(title, ("opening", "state", "clear>", "bundle>", "full>", "limit>", "runs"), rows)


def assumed_parts(plan: Plan) -> Iterator[Table | str]:
    """What the mark means, how likely a run is short, and what to measure next."""
    if open_assumptions(plan):
        yield clean(f"{LEGEND} Still open: {len(open_assumptions(plan))}.")
    best = [one for one in plan.measurements if one.gain >= LEAST_GAIN][:MEASURE_SHOWN]
    if not best:
        return
    sums = plan.totals
    yield clean(
        f"By the stated errors {runs_text(sums.short_runs)} of {sums.runs} runs are cut too short; "
        f"chance that any is: {chance_text(sums.short_chance)}."
    )
    units = plan.rules.units
    rows = [
        (one.what, length(one.error_m, units), length(one.after_m, units), f"{one.gain:.2f}", _resting(plan, one.id))
        for one in best
    ]
    yield table_of("Measure next", ("what", "off by>", "then>", "short, fewer>", "runs"), rows)


def _resting(plan: Plan, measurement: str) -> str:
    """Runs that may be short and rest on a measurement, the likeliest first."""
    runs = [
        one for one in plan.runs if one.short_chance > 0.0 and any(e.measurement == measurement for e in one.errors)
    ]
    runs.sort(key=lambda one: (-one.short_chance, one.id))
    names = [one.id for one in runs]
    return ", ".join(names if len(names) <= FULLEST_SHOWN else [*names[:4], f"{len(names) - 4} more"])


def clear_size(opening: PlanOpening, units: Units) -> str:
    """Clear size of an opening inside its grommet, a slot with width and length."""
    if opening.slot_length_mm is None:
        return size_down(opening.clear_bore_mm, units)
    return f"{size_down(opening.clear_bore_mm, units).removesuffix(' mm')} x {size_down(opening.slot_length_mm, units)}"


def findings_lines(findings: tuple[Finding, ...], units: Units = "metric") -> Iterator[str | Padding]:
    """Findings by weight, each with what to do.

    Args:
        findings: of a plan or an audit.

    Yields:
        A heading for each weight that occurs, and a line for each finding; of lighter ones of one kind the first few.
    """
    for level, heading in _LEVELS:
        chosen = [finding for finding in findings if finding.level == level]
        if not chosen:
            continue
        yield f"{heading} ({len(chosen)})"
        kinds: dict[str, list[Finding]] = {}
        for finding in chosen:
            kinds.setdefault(finding.code, []).append(finding)
        for alike in kinds.values():
            shown = alike if level == "error" or len(alike) <= ALIKE_SHOWN + 1 else alike[:ALIKE_SHOWN]
            for finding in shown:
                yield _indented(in_shops_units(_sentence(finding), units))
            if len(shown) < len(alike):
                rest = ", ".join(finding.about for finding in alike[len(shown) :])
                yield _indented(f"and {len(alike) - len(shown)} more of this kind: {rest}")
        yield ""


def _sentence(finding: Finding) -> str:
    about = f"{finding.about}: " if finding.about else ""
    if not finding.remedy:
        return f"{about}{finding.message}"
    return f"{about}{finding.message}{'' if finding.message.endswith('.') else ':'} {finding.remedy}"


def _indented(text: str) -> Padding:
    return Padding(clean(text), (0, 0, 0, 2))
