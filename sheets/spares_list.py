"""What is left in place for later: spare cables and draw cords, zone by zone, and the room beside them."""

from __future__ import annotations

from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, tick
from ribway.sheets.places import cable_text, cables_by_id, end_text, through_text
from ribway.sheets.words import NOTHING, bare_length, length_unit, limit

_TYPE_PT = 10.0


def spares_record(plan: Plan) -> Record:
    """Spare cables and draw cords, by the zone that they lead to.

    Args:
        plan: the plan.

    Returns:
        One row for each spare; no rows if there is none.
    """
    units = plan.rules.units

    def metres(value: Value) -> str:
        return NOTHING if value is None else bare_length(float(value), units)

    fields = (
        Field("zone", "Zone", weight=0.7, strong=True),
        Field("spare", "Spare", weight=0.5, strong=True),
        Field("from", "From", weight=4.0),
        Field("to", "To", weight=4.0),
        Field("what", "What", weight=0.3),
        Field("cut_m", "Cut length, each piece", metres, length_unit(units), 0.4, "right", True),
        Field("openings", "Openings in order", weight=2.0),
        Field("tightest", "Tightest opening", weight=0.5),
        Field("room_percent", "Room left there", lambda value: limit(_number(value)), "%", 0.3, "right"),
        tick("In place", "in_place"),
        tick("Both ends tied, marked", "marked"),
    )
    to = {device.id: device.zone for device in plan.devices}
    own = [(to.get(run.to, "elsewhere"), run) for run in plan.runs if run.purpose == "spare"]
    rows = tuple(_row(plan, zone, run) for zone, run in sorted(own, key=lambda one: (one[0], one[1].id)))
    notes = (
        "Room left is what may still go through the tightest opening on the way, of its clear area, before its limit. A draw "
        "cord is tied off at both ends so that nobody pulls it out; pull a new one in with whatever is drawn through.",
    )
    return Record("spares", "Spares and draw cords", fields, (Section("", rows),), notes, _TYPE_PT)


def _row(plan: Plan, zone: str, run: PlanRun) -> tuple[Value, ...]:
    cable = cables_by_id(plan)[run.cable]
    what = "draw cord" if is_draw_cord(run) else cable_text(run, cable, plan.rules.units)
    tight, room = tightest(plan, run)
    return (
        zone, run.id, end_text(plan, run.from_), end_text(plan, run.to), what, run.cut_m, through_text(plan, run), tight, room,
        None, None,
    )  # fmt: skip


def tightest(plan: Plan, run: PlanRun) -> tuple[str | None, float | None]:
    """The opening on a run's way with the least room left, and that room [% of its clear area]; None if it passes none."""
    passed = [
        *((one.fill_limit_percent - one.fill_percent, one.id) for one in plan.openings if one.id in run.openings),
        *((one.fill_limit_percent - one.fill_percent, one.id) for one in plan.ways if one.id in run.openings),
    ]
    if not passed:
        return None, None
    room, name = min(passed)
    return name, round(max(0.0, room), 3)


def _number(value: Value) -> float | None:
    return None if value is None else float(value)


SPARES = paper_of_records("spares", "Spares and draw cords", lambda plan, _wishes: (spares_record(plan),))
