"""Fuses beyond their rating: what a short draws at each, what its kind breaks, and how far along the wire it is sure to blow."""

from __future__ import annotations

import math

from ribway.models.circuits import NEGATIVES
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit
from ribway.models.printed import rounded_down
from ribway.sheets.buying.parts import kind_of_fuse
from ribway.sheets.circuits_list import fuse_text, window_text
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.record import Field, Record, Section, Values
from ribway.sheets.places import device_names
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import NOTHING, amps, bare_length, carried_amps, glued, left_length, length_unit


def fuses_record(plan: Plan) -> Record:
    """Every DC fuse with the shorts that it has to deal with.

    Args:
        plan: the plan.
    """
    units = plan.rules.units
    unit = length_unit(units)

    def sure(value: Value) -> str:
        return NOTHING if value is None else left_length(float(value), units)

    def metres(value: Value) -> str:
        return NOTHING if value is None else bare_length(float(value), units)

    fields = (
        Field("circuit", "Circuit", strong=True, weight=0.4),
        Field("at", "Fuse at", weight=1.2),
        Field("fuse", "Fuse", unit="A", weight=0.4, strong=True),
        Field("kind", "Kind", weight=0.8),
        Field("window", "May be", unit="A", weight=0.8),
        Field("short_near_a", "Short at the fuse", _loads, "A", 0.4, "right"),
        Field("breaks_a", "It breaks", _carries, "A", 0.4, "right"),
        Field("breaks_from", "By", weight=0.6),
        Field("short_far_a", "Short at the far end", _carries, "A", 0.4, "right"),
        Field("far_run", "End of run", weight=0.4),
        Field("run_m", "Run's cut length", metres, unit, 0.3, "right"),
        Field("sure_to_m", "Sure to blow up to", sure, unit, 0.4, "right"),
        Field("lets_through_a2s", ""),
        Field("wire_stands_a2s", ""),
        Field("nearest_run", ""),
        Field("", "Of what the wire stands", weight=0.5),
    )
    rows = tuple(
        _row(plan, one)
        for one in plan.circuits
        if one.kind == "dc" and one.pattern not in NEGATIVES and one.fuse_a is not None
    )
    notes = (
        "A fuse has to break more than a short at it draws, or it burns on as an arc; by its kind, as its maker says, or "
        "together with the fuse before it (behind that one). Sure to blow: up to so far along the run a "
        "short draws twice the fuse's rating or more, cold copper, a weak source; beyond it the wire may only get warm. A dash: "
        "the battery's short-circuit current is not known; ask its maker, and write short_circuit_a into the project. Of what "
        "the wire stands: the heat that the fuse lets through in a short against the heat that the wire survives.",
    )
    return Record("fuses", "Fuses and shorts", fields, (Section("", rows),), notes, LARGE_PT)


def _row(plan: Plan, one: PlanCircuit) -> Values:
    cut_m = next((run.cut_m for run in plan.runs if run.id == one.short_far_run), None)
    by = NOTHING if one.fuse_breaks_a is None else ("its maker" if one.fuse_breaks_given else "its kind")
    if one.fuse_backed_by:
        by = f"behind {one.fuse_backed_by}"
    breaks_a = one.fuse_backed_to_a if one.fuse_backed_by and one.fuse_backed_to_a is not None else one.fuse_breaks_a
    return (
        one.id, device_names(plan).get(one.source, one.source), fuse_text(one),
        glued(kind_of_fuse(one).replace(" fuse", "", 1)), window_text(one),
        one.short_near_a, breaks_a, by, one.short_far_a, one.short_far_run or NOTHING, cut_m, one.short_sure_to_m,
        one.short_through_a2s, one.short_stands_a2s, one.short_heat_run or None, _share(one),
    )  # fmt: skip


def _share(one: PlanCircuit) -> str:
    """How much of what the run nearest to its limit stands the fuse lets through, rounded up."""
    if not one.short_stands_a2s or one.short_through_a2s is None:
        return NOTHING
    return f"{math.ceil(100.0 * one.short_through_a2s / one.short_stands_a2s - 1e-9)} %"


def _loads(value: Value) -> str:
    return amps(None if value is None else float(value))


def _carries(value: Value) -> str:
    return (
        NOTHING
        if value is None
        else carried_amps(float(value))
        if float(value) < 100.0
        else rounded_down(float(value), 0)
    )
