"""Ends whose terminal nobody said, device by device: to be looked at before anything is crimped."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.sheets.paper.record import Field, Record, Section, Values, blank, tick
from ribway.sheets.places import device_names, device_place
from ribway.sheets.table import LARGE_PT
from ribway.sheets.terminals import ASK, WHAT_TAKES, crimped_on, takes_at, terminal_at
from ribway.sheets.words import glued, typeset

_TYPE_PT = 10.0


def terminals_record(plan: Plan) -> Record:
    """The ends of wires that end at a device of which nobody said what takes them.

    Args:
        plan: the plan.

    Returns:
        One row for each such device, in the plan's order; no rows if every terminal is known.
    """
    fields = (
        Field("device", "Device", weight=1.2, strong=True),
        Field("place", "Where", weight=2.6),
        Field("wires", "Wires there: run, how many of what size", weight=2.6),
        Field("ends", "Ends", weight=0.3, align="right", strong=True),
        blank("What takes them", "what_takes_them", weight=1.2),
        tick("In hand", "in_hand"),
        tick("Crimped", "crimped"),
    )
    notes = (
        "Nobody said what takes these wires. Look at the device, or ask its maker, write it down, and buy what fits wire and "
        f"terminal. {WHAT_TAKES}",
    )
    return Record("terminals", "Terminals to ask for", fields, (Section("", _rows(plan)),), notes, _TYPE_PT, True)


def _rows(plan: Plan) -> tuple[Values, ...]:
    rows: list[Values] = []
    for device in plan.devices:
        here = [
            run
            for run in plan.runs
            for end in (run.from_, run.to)
            if end == device.id and terminal_at(plan, run, end) == ASK
        ]
        if here:
            wires = ", ".join(glued(f"{run.id}: {run.cores} of {typeset(run.size_name)}") for run in here)
            where = device_place(device, plan.rules.units)
            rows.append((device.name, where, wires, sum(run.cores for run in here), None, None, None))
    return tuple(rows)


def crimped_record(plan: Plan) -> Record:
    """What is crimped on wires that a tab or a clamp screw takes.

    Args:
        plan: the plan.

    Returns:
        One row for each conductor and what goes on it; no rows if no device has tabs or clamp screws.
    """
    fields = (
        Field("conductor", "Conductor", weight=0.6, strong=True),
        Field("on_the_wire", "On the wire", weight=0.8, strong=True),
        Field("ends", "Ends", weight=0.3, align="right", strong=True),
        Field("where", "Where: run, device, how many", weight=4.0),
        tick("In hand", "in_hand"),
        tick("Crimped", "crimped"),
    )
    notes = (
        "A tab takes a push-on terminal of its own width, pushed home and tugged; a clamp screw takes fine strands in a "
        "ferrule of their size. Sizes of tabs: IEC 61210; of ferrules: DIN 46228; crimp each with the tool made for it.",
    )
    title = "Push-on terminals and ferrules"
    return Record("crimped-ends", title, fields, (Section("", _crimped(plan)),), notes, LARGE_PT, True)


def _crimped(plan: Plan) -> tuple[Values, ...]:
    names = device_names(plan)
    where: dict[tuple[float, str, str], list[tuple[str, int]]] = {}
    for run in plan.runs:
        for end in (run.from_, run.to):
            takes = takes_at(plan, run, end)
            said = terminal_at(plan, run, end)
            if takes and said == crimped_on(plan, run, takes):
                key = (-run.conductor_area_mm2, typeset(run.size_name), said)
                where.setdefault(key, []).append((f"{run.id} at {names.get(end, end)}", run.cores))
    return tuple(
        (key[1], key[2], sum(n for _, n in ends), "; ".join(f"{at}: {n}" for at, n in ends), None, None)
        for key, ends in sorted(where.items())
    )
