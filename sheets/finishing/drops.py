"""The volts sheet: what arrives at each device, what feeds the van, and what is lost where."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.printed import rounded_down
from ribway.sheets.csv_file import Value
from ribway.sheets.finishing.devices_volts import device_volts_record, supplies_record
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section
from ribway.sheets.places import device_names
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import NOTHING, limit, percent, volts


def drops_record(plan: Plan) -> Record:
    """A row for each DC run: the device at its end, what is lost in its feed and in the circuit, and what is left.

    Args:
        plan: the plan.
    """
    fields = (
        Field("device", "Device", strong=True, weight=2.0),
        Field("run", "Run", weight=0.4),
        Field("source_v", "Source", lambda value: NOTHING if value is None else f"{float(value):g}", "V", 0.3, "right"),
        Field("lost_in_feed_v", "Lost in its feed", _lost, "V", 0.4, "right"),
        Field("lost_in_circuit_v", "Lost in the circuit", _lost, "V", 0.4, "right"),
        Field("volts_running", "Left, running", _left, "V", 0.4, "right", True),
        Field("drop_percent", "Drop, running", lambda value: percent(_number(value)), "%", 0.3, "right"),
        Field("limit_percent", "Limit", lambda value: limit(_number(value)), "%", 0.3, "right"),
        Field("start_drop_percent", "Drop, starting", lambda value: percent(_number(value)), "%", 0.3, "right"),
        Field("volts_starting", "Left, starting", _left, "V", 0.4, "right", True),
        Field("good", "Good", weight=0.2, align="centre"),
    )
    names, circuits = device_names(plan), {one.id: one for one in plan.circuits}
    rows = []
    for run in plan.runs:
        circuit = circuits.get(run.circuit)
        if circuit is None or run.kind != "dc" or run.cores == 0:
            continue
        start_v = circuit.start_drop_percent / 100.0 * circuit.volts
        good = run.drop_limit_percent is None or run.drop_percent <= run.drop_limit_percent + 1e-6
        rows.append(
            (
                names.get(run.to, run.to), run.id, circuit.volts, round(circuit.upstream_drop_v, 4),
                round(max(0.0, run.drop_v - circuit.upstream_drop_v), 4), round(circuit.volts - run.drop_v, 4),
                run.drop_percent, run.drop_limit_percent, circuit.start_drop_percent, round(circuit.volts - start_v, 4),
                good,
            )
        )  # fmt: skip
    notes = (
        "There and back, hot copper, over the whole cut length, feeders included. Starting: at the circuit's farthest device, "
        "with its start current; nearer ones get more. Volts are rounded down, what is lost is rounded up.",
    )
    return Record("drop-sheet", "Volts lost, run by run", fields, (Section("", tuple(rows)),), notes, LARGE_PT, True)


def _number(value: Value) -> float | None:
    return None if value is None else float(value)


def _lost(value: Value) -> str:
    return NOTHING if value is None else volts(float(value))


def _left(value: Value) -> str:
    return NOTHING if value is None else rounded_down(float(value), 2)


DROP_SHEET = paper_of_records(
    "drop-sheet",
    "Volts at each device",
    lambda plan, _wishes: (device_volts_record(plan), supplies_record(plan), drops_record(plan)),
)
