"""Joints and their pins: what comes in, what goes on, contact by contact."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice, PlanRun
from ribway.models.printed import length
from ribway.sheets.places import device_place
from ribway.sheets.table import Column, Group, Row, Table
from ribway.sheets.words import NOTHING, amps

_NO_WIRE = "no wire"


def joints_list(plan: Plan) -> Table:
    """The joints of a plan.

    Args:
        plan: the plan.

    Returns:
        One row for each contact, joint by joint; no rows if no run ends at a joint that goes on from there.
    """
    columns = (
        Column("Pin", weight=0.2, align="right", strong=True),
        Column("Comes in with", weight=1.0),
        Column("Conductor for", weight=1.0),
        Column("Colour", weight=0.7),
        Column("Goes on with", weight=1.0),
        Column("Design", "A", weight=0.3, align="right"),
        Column("Contact bears", "A", weight=0.4, align="right"),
        Column("Tail in", weight=0.4, align="right"),
        Column("Tail on", weight=0.4, align="right"),
        Column("Pinned", weight=0.1, align="box"),
    )
    groups = []
    for device in plan.devices:
        rows = _rows(plan, device) if device.kind == "joint" else ()
        if rows:
            behind = f", behind: {device.behind}" if device.behind else ""
            groups.append(Group(f"{device.name}: {device_place(device, plan.rules.units)}{behind}", rows))
    notes = ("Pins are numbered in the order of the runs and of the conductors in them; both halves alike.",)
    return Table("Joints and pins", columns, tuple(groups), notes)


def _rows(plan: Plan, joint: PlanDevice) -> tuple[Row, ...]:
    out: list[Row] = []
    onward = [run for run in plan.runs if run.from_ == joint.id]
    for run in (one for one in plan.runs if one.to == joint.id):
        further = next((one for one in onward if one.circuit == run.circuit and one.kind == run.kind), None)
        if further is not None:
            out += _pins(plan, joint, run, further, len(out))
    return tuple(out)


def _pins(plan: Plan, joint: PlanDevice, run: PlanRun, further: PlanRun, before: int) -> list[Row]:
    units = plan.rules.units
    bears = NOTHING if joint.contact_a is None else amps(joint.contact_a)
    return [
        (
            str(before + number),
            run.id,
            function or NOTHING,
            colour or NOTHING,
            further.id if number <= further.cores else _NO_WIRE,
            amps(run.design_a) if run.kind != "data" else NOTHING,
            bears,
            length(run.tail_b_m, units),
            length(further.tail_a_m, units),
            "",
        )
        for number, (function, colour) in enumerate(_cores(run), start=1)
    ]


def _cores(run: PlanRun) -> list[tuple[str, str]]:
    known = list(zip(run.wire_functions, run.wire_colours, strict=True))
    return known or [("", "")] * run.cores
