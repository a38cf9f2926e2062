"""The AC sheet for the licensed person: where the cables lie, what was assumed, and what is theirs to decide."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.plan.unconfirmed import LEGEND
from ribway.sheets.csv_file import Value
from ribway.sheets.findings_list import said
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, blank, tick
from ribway.sheets.places import cable_text, cables_by_id, end_text, measured_from
from ribway.sheets.pulling.paper import opening_text
from ribway.sheets.words import NOTHING, amps, bare_length, carried_amps, glued, length_unit, percent

_TYPE_PT = 10.0


def ac_record(plan: Plan) -> Record:
    """Every AC run with its openings by name and place.

    Args:
        plan: the plan.
    """
    units = plan.rules.units
    unit = length_unit(units)

    def metres(value: Value) -> str:
        return NOTHING if value is None else bare_length(float(value), units)

    fields = (
        Field("run", "Run", strong=True, weight=0.3),
        Field("from", "From", weight=5.0),
        Field("to", "To", weight=5.0),
        Field("cable", "Cable", weight=1.0),
        Field("one_way_m", "One way", metres, unit, 0.3, "right"),
        Field("cut_m", "Cut length", metres, unit, 0.3, "right", True),
        Field("openings", "Openings in order: back / up", weight=2.6),
        Field("design_a", "Flows", lambda value: amps(_number(value)), "A", 0.2, "right"),
        Field("lost_percent", "Lost", lambda value: percent(_number(value)), "%", 0.2, "right"),
        Field("carries_a", "Carries where it lies", lambda value: carried_amps(_number(value)), "A", 0.3, "right"),
        blank("Breaker", "breaker_a", "A"),
        tick("Protected (RCD)", "rcd"),
    )
    rows = tuple(
        (
            run.id, end_text(plan, run.from_), end_text(plan, run.to),
            cable_text(run, cables_by_id(plan)[run.cable], plan.rules.units),
            run.one_way_m, run.cut_m, _openings(plan, run), run.design_a, run.drop_percent, run.derated_a, None, None,
        )
        for run in plan.runs
        if run.kind == "ac"
    )  # fmt: skip
    found = [f"{one.about}: {said(plan, one.message)}." for one in plan.findings if _about_ac(plan, one.about)]
    notes = (
        "Routed, measured and kept apart for information: to be designed, protected and connected by a licensed person. No "
        f"breaker may be larger than what the cable carries where it lies. {measured_from(plan)}",
        *found,
        "Signed: ______________________________   Licence: ____________________   Date: ______________",
        LEGEND,
    )
    return Record("ac-routes", "AC routes, for the licensed person", fields, (Section("", rows),), notes, _TYPE_PT)


def _about_ac(plan: Plan, about: str) -> bool:
    """Whether a finding is about AC runs or circuits alone."""
    kinds = {one.id: one.kind for one in plan.circuits} | {one.id: one.kind for one in plan.runs}
    named = [kinds.get(name.strip()) for name in about.split(",")]
    return bool(named) and all(kind == "ac" for kind in named)


def _openings(plan: Plan, run: PlanRun) -> str:
    holes = {one.id: one for one in plan.openings}
    return (
        ", ".join(glued(opening_text(holes[name], plan)) if name in holes else name for name in run.openings) or "none"
    )


def _number(value: Value) -> float | None:
    return None if value is None else float(value)


AC_ROUTES = paper_of_records("ac-routes", "AC routes", lambda plan, _wishes: (ac_record(plan),))
