"""The test sheet: what a meter should show, and room for what it shows."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanRun
from ribway.models.printed import rounded_down, rounded_up
from ribway.sheets.csv_file import Value
from ribway.sheets.cutting_order import piece_name
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, Values, blank, tick
from ribway.sheets.places import cables_by_id, device_names
from ribway.sheets.words import NOTHING

LEAD_OHM = 0.05
"""Two crimps, probes and the short at the far end, set aside (common practice, no source) [ohm]."""
NO_SOURCE = (
    "Before anything is shorted no source may reach it: cables off the batteries, shore lead and chargers out, panels covered "
    "and unplugged, all fuses out. Then take both ends of the run off their devices, short the far end, zero the meter's leads."
)


def loop_ohm(plan: Plan, run: PlanRun) -> float:
    """Resistance of a run, there and back, its far end shorted, over its whole cut length at 20 C.

    R = 2 r L, r the resistance of one conductor for each metre (IEC 60228 gives its greatest value).

    Args:
        plan: the plan.
        run: a run of two conductors that a current goes out and back by.

    Returns:
        [ohm]; a piece that is trimmed has less.
    """
    return 2.0 * cables_by_id(plan)[run.cable].ohm_per_m_20c * run.cut_m


def volts_at(circuit: PlanCircuit, run: PlanRun) -> float:
    """Volts at a run's far end while everything runs: the circuit's less all that is lost up to there [V]."""
    return circuit.volts - run.drop_v


def proving_record(plan: Plan) -> Record:
    """A row for each run with a conductor; AC is left to the licensed person.

    Args:
        plan: the plan.
    """
    fields = (
        Field("run", "Run", strong=True, weight=0.4),
        Field("from_to", "From – to", weight=3.0),
        Field("loop_ohm_expected", "Ohms there and back, at most", _ohms, "Ω", 0.4, "right", True),
        blank("Ohms found", "loop_ohm_found", "Ω"),
        tick("No short to body", "no_short_to_body"),
        tick("Polarity", "polarity"),
        blank("Volts, no load", "volts_no_load", "V"),
        Field("volts_expected", "Volts under load, at least", _volts, "V", 0.4, "right", True),
        blank("Volts found", "volts_found", "V"),
        blank("Amps found", "amps_found", "A"),
        tick("Pass", "pass"),
        blank("Name, date", "name_date", weight=1.0),
    )
    circuits, names = {one.id: one for one in plan.circuits}, device_names(plan)
    dc: list[Values] = []
    data: list[Values] = []
    for run in plan.runs:
        if run.cores == 0 or run.kind == "ac":
            continue
        ends = f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}"
        circuit = circuits.get(run.circuit) if run.role != "control" else None
        powered = run.kind == "dc"
        row: Values = (
            run.id, ends, round(loop_ohm(plan, run), 5) if powered and run.cores > 1 else None, None, None,
            None if powered else False, None if powered else NOTHING,
            round(volts_at(circuit, run), 3) if powered and circuit else None, None if powered else NOTHING,
            None if powered else NOTHING, None, None,
        )  # fmt: skip
        (dc if powered else data).append(row)
    notes = (
        f"{NO_SOURCE} The ohms are for the whole cut length at 20 °C; joints and probes may add {LEAD_OHM:g} Ω. Much more is a "
        "bad crimp, much less a short on the way.",
        "Then without the short: each conductor against the body shows open. Take every short out before power. Volts under "
        "load: at the device, with everything on that circuit running. Data: continuity and no short; the meter's ohms depend "
        "on its cable. AC is tested by the licensed person.",
    )
    sections = (Section("DC", tuple(dc)), Section("Data: continuity core by core", tuple(data)))
    return Record("test-sheet", "Test sheet", fields, sections, notes, 10.5)


def tested_names(plan: Plan) -> tuple[str, ...]:
    """The pieces that are tested: what a signed sheet has to cover."""
    return tuple(piece_name(run, piece) for run in plan.runs if run.cores for piece in range(run.pieces))


def _ohms(value: Value) -> str:
    return NOTHING if value is None else rounded_up(float(value), 3)


def _volts(value: Value) -> str:
    return NOTHING if value is None else rounded_down(float(value), 2)


TEST_SHEET = paper_of_records("test-sheet", "Test sheet", lambda plan, _wishes: (proving_record(plan),))
