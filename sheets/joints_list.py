"""Joints and their pins: what comes in, what goes on, contact by contact."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice, PlanRun
from ribway.models.printed import length
from ribway.sheets.csv_file import Value
from ribway.sheets.lugs_list import lugs_record
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, Values, tick
from ribway.sheets.places import device_place
from ribway.sheets.terminals_list import crimped_record, terminals_record
from ribway.sheets.words import NOTHING, amps, carried_amps

_NO_WIRE = "no wire"


def joints_record(plan: Plan) -> Record:
    """The joints of a plan.

    Args:
        plan: the plan.

    Returns:
        One row for each contact, joint by joint; no rows if no run ends at a joint that goes on from there.
    """
    units = plan.rules.units

    def metres(value: Value) -> str:
        return NOTHING if value is None else length(float(value), units)

    fields = (
        Field("pin", "Pin", weight=0.2, align="right", strong=True),
        Field("comes_in_with", "Comes in with", weight=1.0),
        Field("conductor_for", "Conductor for", weight=1.0),
        Field("colour", "Colour", weight=0.7),
        Field("goes_on_with", "Goes on with", weight=1.0),
        Field("design_a", "Design", lambda value: amps(_number(value)), "A", 0.3, "right"),
        Field("contact_bears_a", "Contact bears", lambda value: carried_amps(_number(value)), "A", 0.4, "right"),
        Field("tail_in_m", "Tail in", metres, weight=0.4, align="right"),
        Field("tail_on_m", "Tail on", metres, weight=0.4, align="right"),
        tick("Pinned", "pinned"),
    )
    sections = []
    for device in plan.devices:
        rows = _rows(plan, device) if device.kind == "joint" else ()
        if rows:
            behind = f", behind: {device.behind}" if device.behind else ""
            sections.append(Section(f"{device.name}: {device_place(device, units)}{behind}", rows))
    notes = ("Pins are numbered in the order of the runs and of the conductors in them; both halves alike.",)
    return Record("joints", "Joints and pins", fields, tuple(sections), notes)


def _rows(plan: Plan, joint: PlanDevice) -> tuple[Values, ...]:
    out: list[Values] = []
    onward = [run for run in plan.runs if run.from_ == joint.id]
    for run in (one for one in plan.runs if one.to == joint.id):
        further = next((one for one in onward if one.circuit == run.circuit and one.kind == run.kind), None)
        if further is not None:
            out += _pins(joint, run, further, len(out))
    return tuple(out)


def _pins(joint: PlanDevice, run: PlanRun, further: PlanRun, before: int) -> list[Values]:
    return [
        (
            before + number,
            run.id,
            function or NOTHING,
            colour or NOTHING,
            further.id if number <= further.cores else _NO_WIRE,
            run.design_a if run.kind != "data" else None,
            joint.contact_a,
            run.tail_b_m,
            further.tail_a_m,
            None,
        )
        for number, (function, colour) in enumerate(_cores(run), start=1)
    ]


def _cores(run: PlanRun) -> list[tuple[str, str]]:
    known = list(zip(run.wire_functions, run.wire_colours, strict=True))
    return known or [("", "")] * run.cores


def _number(value: Value) -> float | None:
    return None if value is None else float(value)


JOINTS = paper_of_records(
    "joints",
    "Lugs, terminals and joints",
    lambda plan, _wishes: (lugs_record(plan), crimped_record(plan), terminals_record(plan), joints_record(plan)),
)
