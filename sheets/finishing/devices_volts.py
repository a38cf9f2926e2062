"""Volts at every device as the van's network was solved, and what feeds it."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice
from ribway.models.printed import rounded_down, rounded_up
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.record import Field, Record, Section, Values, blank
from ribway.sheets.places import device_names
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import NOTHING, amps, joined


def device_volts_record(plan: Plan) -> Record:
    """Every device with its volts while everything runs, and the least while anything starts.

    Args:
        plan: the plan.

    Returns:
        One row for each device whose volts were solved; those that come nearest to switching off first.
    """
    fields = (
        Field("device", "Device", strong=True, weight=2.0),
        Field("fed_by", "Fed by", weight=0.8),
        Field("amps", "Runs at", lambda value: amps(_number(value)), "A", 0.3, "right"),
        Field("start_amps", "Starts at", lambda value: amps(_number(value)), "A", 0.3, "right"),
        Field("volts_running", "With all running", _left, "V", 0.4, "right", True),
        Field("volts_lowest", "Lowest", _left, "V", 0.4, "right", True),
        Field("lowest_when", "Lowest while", weight=1.4),
        Field("switches_off_below_v", "Switches off below", _needed, "V", 0.4, "right"),
        Field("volts_to_spare", "To spare", _left, "V", 0.3, "right"),
        Field("keeps", ""),
        blank("Volts found, running", "volts_found", "V"),
    )
    solved = [one for one in plan.devices if one.running_v is not None]
    rows = tuple(_row(plan, one) for one in sorted(solved, key=_nearest))
    notes = (
        "Solved for the whole van at once, hot copper, feeds and returns with it. With all running: all that runs together "
        "draws. Lowest: the least while one thing starts and all others run. To spare: how far that is above where the device "
        "switches off; without a figure of its maker, nobody knows. Volts are rounded down.",
    )
    return Record("device-volts", "Volts at each device", fields, (Section("", rows),), notes, LARGE_PT)


def supplies_record(plan: Plan) -> Record:
    """Batteries, chargers and solar fields: what they give, and what they drive into a short.

    Args:
        plan: the plan.
    """
    fields = (
        Field("device", "What feeds", strong=True, weight=1.6),
        Field("kind", "Kind", weight=0.6),
        Field("feeds", "Circuits it feeds", weight=1.6),
        Field("gives_a", "Gives at most", lambda value: amps(_number(value)), "A", 0.4, "right"),
        Field("draws_a", "Draws or gives as on its plate", lambda value: amps(_number(value)), "A", 0.4, "right"),
        Field("short_a", "Short at its fuses", lambda value: amps(_number(value)), "A", 0.4, "right"),
        Field("internal_ohm", "Its resistance in a short", _ohm, "Ω", 0.4, "right"),
        Field("sag_ohm", "Reckoned for its sag", _ohm, "Ω", 0.4, "right"),
    )
    rows = tuple(_supply(plan, one) for one in plan.devices if one.kind in ("source", "charger", "inverter"))
    notes = (
        "Gives at most: what it drives into its cable by itself, a charger's output or a solar field in the sun. A short at its "
        "fuses is what the fuses there have to break; a dash: its maker has not been asked.",
    )
    return Record("supplies", "What feeds", fields, (Section("", rows),), notes, LARGE_PT, follows=True)


def _nearest(one: PlanDevice) -> tuple[float, str]:
    spare = _spare(one)
    return (1e9 if spare is None else spare), one.id


def _spare(one: PlanDevice) -> float | None:
    return None if one.lowest_v is None or one.cut_out_v is None else one.lowest_v - one.cut_out_v


def _row(plan: Plan, one: PlanDevice) -> Values:
    names = device_names(plan)
    fed_by = tuple(circuit.id for circuit in plan.circuits if one.id in circuit.loads and circuit.kind != "data")
    spare = _spare(one)
    when = f"{names.get(one.lowest_when, one.lowest_when)} starts" if one.lowest_when else "all run"
    return (
        one.name, joined(fed_by), one.amps or None, one.start_amps or None, one.running_v, one.lowest_v, when, one.cut_out_v,
        None if spare is None else round(spare, 4), one.load, None,
    )  # fmt: skip


def _supply(plan: Plan, one: PlanDevice) -> Values:
    shorts = [c.short_near_a for c in plan.circuits if c.source == one.id and c.short_near_a is not None]
    return (
        one.name, one.kind, joined(one.feeds), one.gives_a, one.amps or None, max(shorts, default=None),
        one.internal_ohm, one.sag_ohm or None,
    )  # fmt: skip


def _number(value: Value) -> float | None:
    return None if value is None else float(value)


def _left(value: Value) -> str:
    return NOTHING if value is None else rounded_down(float(value), 2)


def _needed(value: Value) -> str:
    return NOTHING if value is None else rounded_up(float(value), 2)


def _ohm(value: Value) -> str:
    return NOTHING if value is None else f"{float(value):.4f}"
