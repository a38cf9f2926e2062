"""Makers' leads: bought with their plugs on, never cut, never made longer; what is over lies as a coil, and where."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.sheets.csv_file import Value
from ribway.sheets.cutting_order import NEVER_CUT, makers_leads, with_plugs
from ribway.sheets.finishing.budgets import budgets_record
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, tick
from ribway.sheets.places import cable_name, cables_by_id, device_names, device_place, end_text, through_text
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import NOTHING, bare_length, bare_thick, left_length, length_unit, size_unit


def coil_m(run: PlanRun) -> float:
    """What a maker's lead is longer than its way with both tails needs [m]; negative if it does not reach."""
    return (run.fixed_length_m or 0.0) - run.cut_m


def coil_at(plan: Plan, run: PlanRun) -> str:
    """Where the coil lies: at the end with the longer tail, which has more room behind it; of equal ones, at the load.

    Common practice, no source.
    """
    return run.from_ if run.tail_a_m > run.tail_b_m + 1e-9 else run.to


def leads_record(plan: Plan) -> Record:
    """Every run that is a maker's lead of fixed length, and every run whose cable has a plug on.

    Args:
        plan: the plan.

    Returns:
        One row for each; no rows if there is none.
    """
    units = plan.rules.units
    unit = length_unit(units)

    def metres(value: Value) -> str:
        return NOTHING if value is None else bare_length(float(value), units)

    def lead(value: Value) -> str:
        return "any" if value is None else bare_length(float(value), units)

    def left(value: Value) -> str:
        return NOTHING if value is None else left_length(float(value), units)

    def plug(value: Value) -> str:
        return bare_thick(float(value), units) if value else NOTHING

    fields = (
        Field("run", "Run", strong=True, weight=0.4),
        Field("from", "From", weight=1.4),
        Field("to", "To", weight=1.4),
        Field("lead", "Lead", weight=0.8),
        Field("lead_m", "Lead is", lead, unit, 0.3, "right", True),
        Field("needs_m", "Way with tails needs", metres, unit, 0.4, "right"),
        Field("coil_m", "Spare, as a coil", left, unit, 0.4, "right", True),
        Field("coil_at", "Coil lies at", weight=1.4),
        Field("plug_mm", "Plug", plug, size_unit(units), 0.3, "right"),
        Field("openings", "Openings in order", weight=1.8),
        tick("Reaches", "reaches"),
        tick("Coil tied", "coil_tied"),
    )
    cables = cables_by_id(plan)
    fixed = makers_leads(plan)
    sections = (
        Section(
            NEVER_CUT,
            tuple(_row(plan, run, cable_name(cables[run.cable])) for run in fixed),
        ),
        Section(
            "With plugs, of free length: bought ready-made, the next longer than the way needs; or cut, and plugs fitted behind "
            "the holes",
            tuple(_row(plan, run, cable_name(cables[run.cable])) for run in with_plugs(plan)),
        ),
    )
    notes = (
        "A maker's lead is never cut and never made longer: the device or its sensor may read wrong, and the maker no longer "
        "answers for it. Lay the spare in one flat coil, not tighter than the cable's least bend, apart from power cables, and "
        "tie it. Each plug goes through its openings before the cables that lie beside it.",
    )
    return Record("leads", "Makers' leads", fields, sections, notes, LARGE_PT)


def _row(plan: Plan, run: PlanRun, name: str) -> tuple[Value, ...]:
    spare = None if run.fixed_length_m is None else coil_m(run)
    place = None
    if spare is not None and spare > 0.0:
        end = coil_at(plan, run)
        where = next((device_place(one, plan.rules.units) for one in plan.devices if one.id == end), "")
        place = f"{device_names(plan).get(end, end)}\n{where}".rstrip()
    elif spare is not None:
        place = "DOES NOT REACH: move a device, or buy a longer lead"
    return (
        run.id, end_text(plan, run.from_), end_text(plan, run.to), name, run.fixed_length_m, run.cut_m,
        None if spare is None else round(max(0.0, spare), 4), place, run.plug_mm or None, through_text(plan, run), None,
        None,
    )  # fmt: skip


LEADS = paper_of_records(
    "leads", "Makers' leads and data", lambda plan, _wishes: (leads_record(plan), budgets_record(plan))
)
